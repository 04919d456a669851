/** What a control that offsets the wire by itself (G41/G42) could not follow. */
import type { Finding } from "../../base/finding.js";
import { placeText, trimmed } from "../../base/numbers.js";
import {
  ARC_RADIUS_AGREEMENT,
  FLAT_CORNER,
  PROGRAM_RESOLUTION,
  SAME_POINT,
} from "../../base/tolerance.js";
import { type GridMove, gridPath } from "../../geometry/grid-path.js";
import { intersectSegments } from "../../geometry/intersect.js";
import {
  arcFromTo,
  line,
  type Segment,
  subSegment,
  tangentAt,
} from "../../geometry/segment.js";
import {
  along,
  angleBetween,
  distance,
  left,
  pair,
  type Vec,
} from "../../geometry/vec.js";
import type { Job } from "../job/job.js";
import type { Stroke } from "../plan.js";

export function noCorner(feature: string, pass: number, at: Vec): Finding {
  return {
    code: "control/no-corner",
    severity: "error",
    message: `${feature}, pass ${pass}: at ${placeText(pair(at))} the outline is as tight as the wire or tighter, and its neighbours have no meeting point that a control could find by itself; use program.compensation "path"`,
    where: pair(at),
    feature,
  };
}

/** `null` where the outline, written on the job's grid, can be followed at `offset`. */
export function tooCoarse(
  feature: string,
  { pass, outline, side }: Stroke,
  offset: number,
  { program }: Job,
): Finding | null {
  const step = program.resolution;
  const d = side === "left" ? offset : -offset;
  // Controls take an arc's radius from its start, from its end, or between.
  const at =
    outline.length > 0
      ? [0, 0.5, 1].reduce<Vec | null>(
          (found, share) =>
            found ?? stuckAt(blocksOf(outline, step, side, share), d),
          null,
        )
      : null;
  if (!at) return null;
  const fine = step > 2 * PROGRAM_RESOLUTION.mm;
  return {
    code: "control/coarse-grid",
    severity: "error",
    message: `${feature}, pass ${pass}: at ${placeText(pair(at))} the outline, rounded to the grid of ${trimmed(step, 5)} mm that the control counts in (program.resolution), has a block too short or an arc too tight for a control that offsets the wire by ${trimmed(offset, 4)} mm itself: ${fine ? "set a finer program.resolution, if the control has one, or " : ""}use program.compensation "path"`,
    where: pair(at),
    feature,
  };
}

/** The outline as it will be written; `share` of the way from an arc's radius at its start to that at its end. */
function blocksOf(
  outline: readonly Segment[],
  step: number,
  side: Stroke["side"],
  share: number,
): Segment[] {
  const { start, moves } = gridPath(outline, step, side);
  let at = start;
  return moves.map((move: GridMove): Segment => {
    const from = { x: at.x * step, y: at.y * step };
    const to = { x: move.to.x * step, y: move.to.y * step };
    at = move.to;
    if (move.kind === "line") return line(from, to);
    const center = along(from, { x: move.i, y: move.j }, step);
    const radius =
      (1 - share) * distance(center, from) + share * distance(center, to);
    return { ...arcFromTo(center, from, to, move.counterClockwise), radius };
  });
}

/**
 * Where the parallels of two blocks that make an inside corner do not meet, or an arc is no wider than the offset; `d` to
 * the left, mm. Corners as flat as rounding makes them of a smooth joint are none.
 */
function stuckAt(blocks: readonly Segment[], d: number): Vec | null {
  let current: Segment | null = null;
  for (const [k, block] of blocks.entries()) {
    const next = parallel(block, d);
    if (!next) return block.start;
    const before = blocks[k - 1];
    const turn = before
      ? angleBetween(tangentAt(before, 1), tangentAt(block, 0))
      : 0;
    if (
      current &&
      turn * d > 0 &&
      (Math.abs(d) * turn * turn) / 2 > FLAT_CORNER
    ) {
      const [meeting] = intersectSegments(current, next, {
        touch: SAME_POINT,
        snap: 0.8 * ARC_RADIUS_AGREEMENT,
      }).sort(
        (p, q) => distance(p.at, block.start) - distance(q.at, block.start),
      );
      if (!meeting) return block.start;
      current = subSegment(next, Math.min(meeting.tb, 1 - 1e-9), 1);
    } else current = next;
  }
  return null;
}

function parallel(s: Segment, d: number): Segment | null {
  const start = along(s.start, left(tangentAt(s, 0)), d);
  const end = along(s.end, left(tangentAt(s, 1)), d);
  if (s.kind === "line") return line(start, end);
  const radius = s.radius - Math.sign(s.sweep) * d;
  return radius > SAME_POINT ? { ...s, start, end, radius } : null;
}
