/**
 * The largest offset that still reaches everything, and so the thickest wire for an outline.
 *
 * What a smaller disc cannot touch, a larger one cannot either, and once the way round is parted in two it stays parted
 * until one of the two is gone with all it touched. So the offsets that do are all those up to one, which halving finds
 * by asking the offset itself: O(n log n) for each of some twenty steps. Where no sharp corner has a say the answer is
 * the outline's reach, the smaller of its smallest inside radius and half its narrowest gap (Federer, "Curvature
 * measures", 1959; Aamari et al., "Estimating the reach of a manifold", 2019).
 */
import { SAME_POINT, SHARP_TURN } from "../base/tolerance.js";
import type { Contour } from "./contour.js";
import { offsetLeft } from "./offset.js";
import { type Unreached, unreachedStretches } from "./reach.js";
import type { Vec } from "./vec.js";

export interface LargestOffset {
  /** mm. */
  readonly offset: number;
  /** Where a larger wire would stand when it leaves something out or can go no further; `null` when `most` will do. */
  readonly at: Vec | null;
}

/**
 * @param contour closed, the wire's side on its left
 * @param most mm, > 0: no larger one is looked for
 * @param leave mm of stock that may stay in a sharp inside corner, as some does at any offset; `Infinity` leaves such
 * corners out of account. Everything else must be touched on one way round, but for joints that hardly turn.
 */
export function largestOffset(
  contour: Contour,
  most: number,
  leave: number,
): LargestOffset {
  if (reachesAll(contour, most)(leave)) return { offset: most, at: null };
  let fits = 0;
  let fails = most;
  let way: Vec | null = null;
  let barrier: Vec | null = null;
  while (fails - fits > SAME_POINT) {
    const d = (fits + fails) / 2;
    const tried = trialOf(contour, d)(leave);
    if (tried.reaches) {
      fits = d;
      way = tried.way;
    } else {
      fails = d;
      barrier = tried.barrier;
    }
  }
  return { offset: fits, at: barrier ?? way };
}

interface Trial {
  /** Everything is touched on one way round. */
  readonly reaches: boolean;
  /** Some place of the way, `null` where there is none. */
  readonly way: Vec | null;
  /** Where the wire turns back with something left out, `null` where nothing is. */
  readonly barrier: Vec | null;
}

/**
 * Tells of the offset by `d` mm, which is made once, whether it reaches everything but `leave` mm in sharp corners, as
 * `largestOffset` has it.
 */
export function reachesAll(
  contour: Contour,
  d: number,
): (leave: number) => boolean {
  const trial = trialOf(contour, d);
  return (leave) => trial(leave).reaches;
}

function trialOf(contour: Contour, d: number): (leave: number) => Trial {
  const loops = offsetLeft([contour], d);
  const unreached = unreachedStretches(contour, loops, d);
  return (leave) => {
    const missed = unreached.filter(
      ({ turn, corners, left }) =>
        turn > SHARP_TURN && left > (corners === 1 ? leave : 0) + SAME_POINT,
    );
    // A neck is told from both its sides: it lies where the outline turns most before the wire meets it again.
    const worst = missed.reduce<Unreached | null>(
      (a, b) => (a && a.turn >= b.turn ? a : b),
      null,
    );
    return {
      reaches: loops.length === 1 && worst === null,
      way: loops[0]?.segments[0]?.segment.start ?? null,
      barrier: worst?.wireAt ?? null,
    };
  };
}
