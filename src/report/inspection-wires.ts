/** Wire by wire: what of the drawing it would leave uncut, and where. Lengths mm. */
import { MAX_GOUGE, SAME_POINT } from "../base/tolerance.js";
import type { Contour } from "../geometry/contour.js";
import { deepestPoint } from "../geometry/deepest.js";
import { unreachedStretches } from "../geometry/reach.js";
import { pair } from "../geometry/vec.js";
import type { Feature } from "../plan/feature.js";
import type { Job } from "../plan/job/job.js";
import { SLOT_TURN } from "../plan/track/reached.js";
import { passLoops, trackContour } from "../plan/track/track.js";
import { findSchedule } from "../process/lookup.js";
import { MAX_SCHEDULED_PASSES } from "../process/schedules.js";
import type { ProcessTable } from "../process/table.js";
import { WIRE_DIAMETERS } from "../process/wires.js";

type Place = readonly [number, number];

export interface WireFit {
  readonly diameter: number;
  /** The job's wire, or, where that is not made so thin or so thick, the first of the table that is. */
  readonly material: string;
  /** From the outline to the wire's centre on the last pass: radius and spark gap. */
  readonly offset: number;
  /** Inside corners in which stock stays, the most first. All of them: what is counted must be there to look up. */
  readonly uncut: readonly {
    readonly feature: string;
    readonly at: Place;
    readonly left: number;
  }[];
  /** Slots and necks that it cannot get into, and outlines that it has no room in at all. */
  readonly slots: readonly { readonly feature: string; readonly at: Place }[];
}

/** Every usual wire of the table, the thickest first. */
export function wireFits(
  features: readonly Feature[],
  job: Job,
  table: ProcessTable,
): WireFit[] {
  const count = Math.min(job.passes.length, MAX_SCHEDULED_PASSES);
  // What a wire reaches, a thinner one reaches too: an outline that is clear is done with.
  let open = features.map((feature) => ({
    feature,
    contour: trackContour(feature),
  }));
  return [...WIRE_DIAMETERS]
    .sort((a, b) => b - a)
    .flatMap((diameter) => {
      const material = materialFor(diameter, job, table);
      const gap = findSchedule(table, count, {
        wire: { material, diameter },
        material: job.stock.material,
        height: job.stock.thickness,
        flushing: job.process.flushing,
      })?.passes.at(-1)?.gap;
      if (gap === undefined) return [];
      const offset = diameter / 2 + gap;
      const left = open.map((o) => leftUncut(o.feature, o.contour, offset));
      open = open.filter((_, i) => {
        const { uncut, slots } = left[i] as Left;
        return uncut.length + slots.length > 0;
      });
      return [
        {
          diameter,
          material,
          offset,
          uncut: left.flatMap((l) => l.uncut).sort(mostFirst),
          slots: left.flatMap((l) => l.slots),
        },
      ];
    });
}

/** Equal ones by place, so that noise in the last digit settles nothing. */
function mostFirst(
  a: WireFit["uncut"][number],
  b: WireFit["uncut"][number],
): number {
  const more = b.left - a.left;
  if (Math.abs(more) > SAME_POINT) return more;
  return a.at[0] - b.at[0] || a.at[1] - b.at[1];
}

function materialFor(
  diameter: number,
  job: Job,
  { wires }: ProcessTable,
): string {
  const isMade = (name: string): boolean => {
    const [least, most] = wires[name]?.diameters ?? [0, 0];
    return diameter >= least && diameter <= most;
  };
  const { material } = job.wire;
  if (isMade(material)) return material;
  return Object.keys(wires).find(isMade) ?? material;
}

type Left = Pick<WireFit, "uncut" | "slots">;

function leftUncut(feature: Feature, contour: Contour, offset: number): Left {
  const { main, others } = passLoops(feature, contour, offset);
  if (!main)
    return {
      uncut: [],
      slots: [{ feature: feature.id, at: pair(deepestPoint(contour).at) }],
    };
  const missed = unreachedStretches(contour, [main], offset).filter(
    (u) => u.left > MAX_GOUGE,
  );
  const slots = missed
    .filter((u) => u.turn >= SLOT_TURN)
    .map((u) => ({ feature: feature.id, at: pair(u.wireAt) }));
  const [lobe] = others;
  const behind = lobe?.segments[0]?.segment.start;
  return {
    uncut: missed
      .filter((u) => u.turn < SLOT_TURN)
      .map((u) => ({ feature: feature.id, at: pair(u.at), left: u.left })),
    slots:
      slots.length === 0 && behind
        ? [{ feature: feature.id, at: pair(behind) }]
        : slots,
  };
}
