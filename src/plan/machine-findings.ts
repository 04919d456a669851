/** Does the plan go with what the job says of the machine: the box the wire can be moved in, the control's registers, and its grid? */
import type { Finding } from "../base/finding.js";
import { placeText, trimmed } from "../base/numbers.js";
import { COARSE_STEPS, MAX_GOUGE, SAME_POINT } from "../base/tolerance.js";
import {
  type Box,
  pointAt,
  type Segment,
  segmentBox,
} from "../geometry/segment.js";
import { distance, pair, type Vec } from "../geometry/vec.js";
import { type Job, registersOf } from "./job.js";
import type { Cut, Step } from "./plan.js";

/** `job` with the passes that its features have. */
export function machineFindings(steps: readonly Step[], job: Job): Finding[] {
  return [
    ...travelFindings(steps, job),
    ...registerFindings(job),
    ...gridFindings(steps, job),
  ];
}

/**
 * On a grid so coarse that rounding alone may pass the edge, everything of the last pass must lie on it or near enough.
 * An arc takes the rounding of its ends and that of its centre. A finer grid is left to the proof, which measures.
 */
function gridFindings(steps: readonly Step[], job: Job): Finding[] {
  const { resolution, compensation } = job.program;
  if (Math.SQRT1_2 * resolution <= MAX_GOUGE) return [];
  const last = job.passes.length;
  const off = (p: Vec): number =>
    distance(p, {
      x: Math.round(p.x / resolution) * resolution,
      y: Math.round(p.y / resolution) * resolution,
    });
  const shift = (s: Segment): number =>
    s.kind === "line"
      ? Math.max(off(s.start), off(s.end))
      : Math.max(off(s.start), off(pointAt(s, 0.5)) * long(s), off(s.end)) +
        off(s.center);
  let worst: { by: number; at: Vec; feature: string } | null = null;
  for (const step of steps) {
    if (step.kind !== "cut") continue;
    for (const { pass, path, outline } of step.strokes) {
      if (pass !== last) continue;
      for (const s of compensation === "control" ? outline : path) {
        const by = shift(s);
        if (by > Math.max(MAX_GOUGE, worst?.by ?? 0))
          worst = { by, at: s.start, feature: step.feature };
      }
    }
  }
  if (!worst) return [];
  const where = pair(worst.at);
  return [
    {
      code: "program/coarse-grid",
      severity: "error",
      message: `coordinates in steps of ${trimmed(resolution, 6)} mm put the last pass up to ${trimmed(worst.by, 5)} mm beside where it has to run, at ${placeText(where)}, more than the ${MAX_GOUGE} mm that the finished edge is kept to; set program.resolution to ${trimmed(MAX_GOUGE / COARSE_STEPS, 4)} mm or finer`,
      where,
      feature: worst.feature,
    },
  ];
}

/** 1 for an arc that is written in parts, so that its middle is rounded too. */
function long(s: Segment): number {
  return s.kind === "arc" && Math.abs(s.sweep) > Math.PI ? 1 : 0;
}

/** The D that the program calls up stands in the control already: one that holds another offset cuts another part. */
function registerFindings(job: Job): Finding[] {
  const { registers, compensation, resolution } = job.program;
  if (!registers || compensation !== "control") return [];
  return registersOf(job).flatMap(({ number, pass, feature }) => {
    const held = registers[number];
    if (held !== undefined && Math.abs(held - pass.offset) <= resolution)
      return [];
    const holds =
      held === undefined
        ? `is not among them`
        : `holds ${trimmed(held, 4)} mm there`;
    const whose = feature === null ? "" : ` of ${feature}`;
    return [
      {
        code: "control/register",
        severity: "error",
        message: `program.registers says what stands in the control's registers, and D${number} ${holds}: pass ${pass.number}${whose} needs ${trimmed(pass.offset, 4)} mm. Correct it, there and in the control, or leave program.registers out; the setup sheet lists what every register has to hold`,
        ...(feature === null ? {} : { feature }),
      },
    ];
  });
}

/** One finding for each feature that takes the wire out of the box, at the worst place. */
function travelFindings(
  steps: readonly Step[],
  { travel }: Pick<Job, "travel">,
): Finding[] {
  if (!travel) return [];
  const worst = new Map<string, Reached>();
  for (const step of steps) {
    if (step.kind !== "cut") continue;
    const reached = farthest(step, travel);
    const before = worst.get(step.feature);
    if (!before || reached.beyond > before.beyond)
      worst.set(step.feature, reached);
  }
  return [...worst]
    .filter(([, { beyond }]) => beyond > SAME_POINT)
    .map(([feature, { at, beyond }]) => {
      const where = pair(at);
      return {
        code: "machine/travel",
        severity: "error",
        message: `to cut ${feature} the wire has to go ${trimmed(beyond, 3)} mm beyond the machine's travel (machine.travel in the job) near ${placeText(where)}; move the drawing's origin to where the block lies on the table, clamp the block elsewhere, or cut it in two clampings`,
        where,
        feature,
      };
    });
}

interface Reached {
  readonly at: Vec;
  /** mm outside the box; below 0 inside it. */
  readonly beyond: number;
}

function farthest({ thread, lead, strokes }: Cut, box: Box): Reached {
  return [
    thread,
    ...lead,
    ...strokes.flatMap(({ from, path, to }) => [
      from,
      to,
      ...path.map(segmentBox).flatMap((b) => [
        { x: b.minX, y: b.minY },
        { x: b.maxX, y: b.maxY },
      ]),
    ]),
  ]
    .map((at) => ({
      at,
      beyond: Math.max(
        box.minX - at.x,
        at.x - box.maxX,
        box.minY - at.y,
        at.y - box.maxY,
      ),
    }))
    .reduce((a, b) => (b.beyond > a.beyond ? b : a));
}
