/** Does the wire stay in the box that the machine can move it in? Asked only where the job gives the box. */
import type { Finding } from "../base/finding.js";
import { fixed, placeText } from "../base/numbers.js";
import { SAME_POINT } from "../base/tolerance.js";
import { segmentBox } from "../geometry/segment.js";
import { pair, type Vec } from "../geometry/vec.js";
import type { Job } from "../plan/job/job.js";
import type { Action } from "../program/moves.js";
import type { Thread } from "./wire.js";

interface Reached {
  readonly line: number;
  readonly at: Vec;
  /** mm outside the box. */
  readonly beyond: number;
}

/** One error with the worst place, and the first line that leaves the box. */
export function checkTravel(
  actions: readonly Action[],
  threads: readonly Thread[],
  { travel }: Job,
): Finding[] {
  if (!travel) return [];
  const outside = (at: Vec, line: number): Reached => ({
    line,
    at,
    beyond: Math.max(
      travel.minX - at.x,
      at.x - travel.maxX,
      travel.minY - at.y,
      at.y - travel.maxY,
    ),
  });
  const reached = [
    ...actions.flatMap((a) =>
      a.kind === "rapid" ? [outside(a.to, a.line)] : [],
    ),
    ...threads.flatMap(({ moves }) =>
      moves.flatMap(({ segment, line }) => {
        const b = segmentBox(segment);
        return [
          outside({ x: b.minX, y: b.minY }, line),
          outside({ x: b.maxX, y: b.maxY }, line),
        ];
      }),
    ),
  ].filter((r) => r.beyond > SAME_POINT);
  if (reached.length === 0) return [];
  const first = reached.reduce((a, b) => (b.line < a.line ? b : a));
  const worst = reached.reduce((a, b) => (b.beyond > a.beyond ? b : a));
  return [
    {
      code: "proof/travel",
      severity: "error",
      message: `program line ${first.line}: the wire leaves the machine's travel (machine.travel in the job), by ${fixed(worst.beyond, 4)} mm at the worst, near ${placeText(pair(worst.at))} in line ${worst.line}; move the datum, or clamp the block elsewhere`,
      where: pair(worst.at),
    },
  ];
}
