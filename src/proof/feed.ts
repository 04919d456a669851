/** What a program's feeds are to the wire: programmed segments, and the moves of its centre that come of them. */
import type { Segment } from "../geometry/segment.js";
import { distance } from "../geometry/vec.js";
import type { Compensation } from "../program/moves.js";

/** A G01 to G03 as programmed. */
export interface Feed {
  readonly segment: Segment;
  readonly line: number;
  readonly action: number;
  readonly compensation: Compensation | null;
}

/** One piece of the wire centre's way, burning. */
export interface WireMove {
  readonly segment: Segment;
  readonly line: number;
  /** Index of the action it comes from: what came before what. */
  readonly action: number;
  /** mm by which the arc's radius is uncertain: half of what its two radii differ. */
  readonly slack: number;
}

export function moveOf(feed: Feed, segment: Segment): WireMove {
  return {
    segment,
    line: feed.line,
    action: feed.action,
    slack:
      segment.kind === "line"
        ? 0
        : Math.abs(
            distance(segment.start, segment.center) -
              distance(segment.end, segment.center),
          ) / 2,
  };
}
