/** One slit → its cut: where the wire is threaded, along the line once, out where the line runs out of the metal. */
import type { Finding } from "../../base/finding.js";
import { placeText, trimmed } from "../../base/numbers.js";
import { AT_EDGE, SAME_POINT } from "../../base/tolerance.js";
import { contourLength, reverseContour } from "../../geometry/contour.js";
import { line, type Segment } from "../../geometry/segment.js";
import { along, distance, left, pair, type Vec } from "../../geometry/vec.js";
import type { Slit } from "../feature.js";
import { type Job, roughKerf } from "../job/job.js";
import { holeSizes } from "../job/start-holes.js";
import { type Cut, entriesOf, type PlannedSlit } from "../plan.js";
import type { Planned } from "../plan-feature.js";
import type { Surroundings } from "../surroundings.js";
import { type Begin, beginsOf, holesDrawn, type SlitSite } from "./begin.js";
import {
  aroundHolders,
  beyond,
  type LineEnd,
  lineEnds,
  regionOf,
} from "./ground.js";
import { tooClose } from "./near.js";
import {
  freedPieces,
  holdersOf,
  type LeadIn,
  nearsEdge,
  slugCut,
} from "./pieces.js";

export interface SlitPlan {
  readonly slit: PlannedSlit;
  readonly cut: Cut;
  /** Opening whose slug has to be out before: the wire is threaded there, or runs right through. */
  readonly after: string | null;
  /** Parts and openings in whose kept metal it runs; null: the block. */
  readonly holders: readonly (string | null)[];
}

export interface SlitPlans {
  readonly planned: readonly SlitPlan[];
  readonly findings: readonly Finding[];
}

/** `planned`: the outlines about the slits, which are planned before them. */
export function planSlits(
  planned: readonly Planned[],
  around: Surroundings,
  job: Job,
): SlitPlans {
  const { layout } = around;
  const parts = planned.filter((p) => p.feature.role === "part");
  const holes = [
    ...holesDrawn(around, job),
    ...parts.flatMap((p) => entriesOf(p.feature).map((e) => e.startHole)),
  ];
  const slits: SlitPlan[] = [];
  const findings: Finding[] = [];
  for (const slit of layout.slits) {
    const one = planSlit(
      { slit, around, job, holes, holders: holdersOf(layout, slit) },
      job,
    );
    findings.push(...one.findings);
    if (!one.planned) continue;
    slits.push(one.planned);
    const { startHole } = one.planned.slit;
    if (!startHole.drawn && startHole.diameter > 0) holes.push(startHole);
  }
  const discs = holes
    .filter((h, i) => holes.findIndex((o) => distance(o.at, h.at) === 0) === i)
    .map((h) => ({ at: h.at, radius: h.diameter / 2 }));
  return {
    planned: slits,
    findings: [
      ...findings,
      ...tooClose(layout, job),
      ...freedPieces(
        layout,
        discs,
        parts.flatMap(leadsOf),
        new Map(slits.map((s) => [s.slit.id, s.cut.thread])),
        job,
      ),
    ],
  };
}

function leadsOf({ feature, cuts }: Planned): LeadIn[] {
  return [...cuts.unattended, ...cuts.attended].flatMap((step) => {
    if (step.kind !== "cut") return [];
    const [first] = step.strokes;
    const on = first
      ? [first.from, ...first.path.slice(0, 1).map((s) => s.start)]
      : [];
    const way = [step.thread, ...step.lead, ...on];
    return [
      {
        feature: feature.id,
        segments: way
          .slice(1)
          .map((to, i) => line(way[i] as Vec, to))
          .filter((s) => distance(s.start, s.end) > SAME_POINT),
      },
    ];
  });
}

function planSlit(
  site: SlitSite,
  job: Job,
): {
  readonly planned: SlitPlan | null;
  readonly findings: readonly Finding[];
} {
  const { slit } = site;
  const { layout } = site.around;
  const { holders } = site;
  if (holders.length === 0) return { planned: null, findings: [inWaste(slit)] };
  const wish = job.features[slit.id]?.startHole ?? null;
  const begin = beginsOf(site, wish).reduce<Begin | null>(
    (a, b) => (a && a.rank <= b.rank ? a : b),
    null,
  );
  if (!begin)
    return {
      planned: null,
      findings: [wish ? refused(slit, wish, job) : noStart(slit, job)],
    };
  const contour = begin.end === 0 ? slit.contour : reverseContour(slit.contour);
  const [start, end] = lineEnds(contour);
  const out = runOut(end, site.around, job);
  const path = [
    ...contour.segments,
    ...(out > 0 ? [line(end.at, along(end.at, end.out, out))] : []),
  ];
  const to = (path.at(-1) as Segment).end;
  const around = aroundHolders(layout, holders);
  const bridged = around.find((o) => nearsEdge(layout, path, o, job));
  if (bridged) return { planned: null, findings: [inSlug(slit, bridged.id)] };
  const after = begin.after ?? slugCut(layout, path, around, job);
  return {
    planned: {
      slit: {
        ...slit,
        startHole: begin.hole,
        length: contourLength(slit.contour),
        width: roughKerf(job),
      },
      cut: {
        kind: "cut",
        feature: slit.id,
        attended: false,
        thread: begin.hole.at,
        lead: [],
        strokes: [
          {
            pass: 1,
            stretch: "slit",
            direction: "along",
            side: "left",
            from: start.at,
            path,
            outline: [],
            to,
          },
        ],
      },
      after,
      holders,
    },
    findings: begin.findings,
  };
}

/** mm from place to place on the way on. */
const STEP = 0.05;

/**
 * mm that the wire runs on past an open end, until the slit's two walls are both out of the metal: more than nothing
 * where the edge there is round or slants.
 */
function runOut(end: LineEnd, { layout }: Surroundings, job: Job): number {
  if (beyond(layout, end).kind === "kept") return 0;
  const half = roughKerf(job) / 2;
  const isOut = (p: Vec): boolean => regionOf(layout, p).kind !== "kept";
  const on = (far: number): Vec => along(end.at, end.out, far);
  for (let far = 0; far <= MOST_RUN_OUT * half; far += STEP) {
    // Where the way on soon leads into metal again, the edge is too round for one.
    if (!isOut(on(far + AT_EDGE)) || !isOut(on(far + 2 * STEP))) return 0;
    const wallsOut = [half, -half].every((off) =>
      isOut(along(on(far), left(end.out), off)),
    );
    if (wallsOut) return far;
  }
  return MOST_RUN_OUT * half;
}

/** Half widths of the slit: an edge that slants by 70° still is run out of. */
const MOST_RUN_OUT = 3;

function inWaste(slit: Slit): Finding {
  const where = pair(lineEnds(slit.contour)[0].at);
  return {
    code: "slit/in-waste",
    severity: "error",
    message: `${slit.id} at ${placeText(where)} runs through nothing that is kept: check the roles of the layers, or leave it out with features.${slit.id}.role "ignore"`,
    where,
    feature: slit.id,
  };
}

function inSlug({ id, contour }: Slit, opening: string): Finding {
  const where = pair(lineEnds(contour)[0].at);
  return {
    code: "slit/in-slug",
    severity: "error",
    message: `${id} at ${placeText(where)} runs in a part and on through the slug of ${opening}, which holds that part until it is cut free, and might come apart: end the slit at the edge of the part`,
    where,
    feature: id,
  };
}

function noStart(slit: Slit, job: Job): Finding {
  const where = pair(lineEnds(slit.contour)[0].at);
  const least = holeSizes(job).at(-1) ?? 0;
  return {
    code: "slit/no-start",
    severity: "error",
    message: `${slit.id} at ${placeText(where)}: at neither end can the wire be threaded: a hole of ${trimmed(least, 3)} mm wants ${trimmed(least / 2 + job.startHoles.clearance, 3)} mm to every edge, slit and hole, and no way straight on leads into an opening or out of the block with room to thread in. Draw a hole at an end on startHoles.layer, or draw the line on into an opening`,
    where,
    feature: slit.id,
  };
}

function refused(slit: Slit, wish: Vec, job: Job): Finding {
  const [start, end] = lineEnds(slit.contour).map((e) => placeText(pair(e.at)));
  const least = holeSizes(job).at(-1) ?? 0;
  return {
    code: "start-hole/refused",
    severity: "error",
    message: `${slit.id}: its start hole cannot be at ${placeText(pair(wish))}, where features.${slit.id}.startHole puts it: a slit begins at one of its ends, ${start} or ${end}, and a hole of ${trimmed(least, 3)} mm wants ${trimmed(least / 2 + job.startHoles.clearance, 3)} mm to every edge, slit and hole there`,
    where: pair(wish),
    feature: slit.id,
  };
}
