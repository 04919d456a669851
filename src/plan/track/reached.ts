/** How much of an outline a wire at one pass's offset gets to. */
import { MAX_GOUGE } from "../../base/tolerance.js";
import type { Contour } from "../../geometry/contour.js";
import type { OffsetLoop } from "../../geometry/offset.js";
import { type Unreached, unreachedStretches } from "../../geometry/reach.js";
import type { Feature } from "../feature.js";
import type { Pass } from "../job/job.js";
import { passLoops } from "./track.js";

/**
 * An outline that turns by less than this between the two places the wire touches opens towards the wire: a
 * corner, where some stock is bound to stay. From here on the walls run alongside each other: a slot that the
 * wire does not enter, and the part is not what was drawn. 175°: five degrees of draft still count as a slot.
 */
export const SLOT_TURN = (175 * Math.PI) / 180;

/** What a wire at one pass's offset gets to. */
export interface Reached {
  readonly pass: Pass;
  /** The loop the wire follows; null when there is no room for it at all. */
  readonly main: OffsetLoop | null;
  /** Loops behind a neck or a mouth. */
  readonly others: readonly OffsetLoop[];
  /** Stretches of outline it does not touch. */
  readonly left: readonly Unreached[];
}

export function reachOf(
  feature: Feature,
  contour: Contour,
  pass: Pass,
): Reached {
  const { main, others } = passLoops(feature, contour, pass.offset);
  const left = main
    ? unreachedStretches(contour, [main], pass.offset).filter(
        (u) => u.left > MAX_GOUGE,
      )
    : [];
  return { pass, main, others, left };
}

/** Does the wire follow all of the outline but its corners? */
export function fits({ main, others, left }: Reached): boolean {
  return main !== null && others.length === 0 && !left.some(isSlot);
}

/** Walls that run alongside each other, with no room for the wire between them. */
export function isSlot(u: Unreached): boolean {
  return u.turn >= SLOT_TURN;
}
