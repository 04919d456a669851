/** Does the plan go with what the job says of the machine: the box the wire can be moved in, and the control's registers? */
import type { Finding } from "../base/finding.js";
import { placeText, trimmed } from "../base/numbers.js";
import { SAME_POINT } from "../base/tolerance.js";
import { type Box, segmentBox } from "../geometry/segment.js";
import { pair, type Vec } from "../geometry/vec.js";
import { type Job, registersOf } from "./job/job.js";
import type { Cut, Step } from "./plan.js";

/** `job` with the passes that its features have. */
export function machineFindings(steps: readonly Step[], job: Job): Finding[] {
  return [...travelFindings(steps, job), ...registerFindings(job)];
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
