/**
 * The offset's own tolerances. They answer for the rounding of doubles only, never for how well something is drawn,
 * and grow with the size of the drawing. Each is there for one question.
 */
import type { Box } from "../segment.js";

export interface OffsetTolerance {
  /** Two curves that come this near touch: closed forms about a local origin are good for 14 of a double's 16 digits. */
  readonly touch: number;
  /** A run is kept when its middle is no nearer than d − clear: ten touches, under anything a wire could notice. */
  readonly clear: number;
  /**
   * Places this near along a curve are one node; curves shorter than half of this are points. Crossings under the
   * smallest angles that are computed at all (`NEARLY_TANGENT`) are known to 1e-16 / 1e-5 of the size.
   */
  readonly node: number;
  /**
   * Slices shorter than this lie where their ends are, which may be a few nodes off: a loop of only such ones is none,
   * and what is farther than d by more is surely farther.
   */
  readonly crumb: number;
  /** A slice from a place to itself is a loop when longer than this: well over what a handful of nodes may be off. */
  readonly loop: number;
}

/**
 * Turns under this (rad) are trimmed on the spot, not crossed: putting the joint on the bisector errs by d·turn²/8
 * across, the crossing by 1e-16·size/turn along, and here the two are about the same.
 */
export const NEARLY_TANGENT = 1e-5;

/**
 * What is trimmed on the spot is at most this part of the moved radius: by then an arc is longer than its tangent by
 * 1e-2³/6 of its radius, which is under a node for the lengths that so small turns trim.
 */
export const SHORT_OF_RADIUS = 1e-2;

/**
 * Turns this near to half a turn (rad) are straight back: what four digits after the point leave of a cusp's angle, so that
 * the curves must tell on which side of each other they go.
 */
export const STRAIGHT_BACK = 1e-4;

/** Angles under this (rad) are the rounding of directions: two curves exactly back to back, an arc of just half a turn. */
export const NO_ANGLE = 1e-12;

/** Directions at a node that differ by less (rad) are the same one, and bending decides. */
export const SAME_HEADING = 1e-6;

/** `size`: half the extent of the outlines and d, mm; `far`: greatest coordinate, whose rounding is in the input. */
export function offsetTolerance(box: Box, d: number): OffsetTolerance {
  const size = Math.max(box.maxX - box.minX, box.maxY - box.minY) / 2 + d;
  const far = Math.max(
    Math.abs(box.minX),
    Math.abs(box.maxX),
    Math.abs(box.minY),
    Math.abs(box.maxY),
  );
  const grain = Number.EPSILON * far;
  return {
    touch: 2e-14 * size + 2 * grain,
    clear: 2e-13 * size + 8 * grain,
    node: 1e-10 * size + 16 * grain,
    crumb: 1e-9 * size + 160 * grain,
    loop: 1e-8 * size + 64 * grain,
  };
}
