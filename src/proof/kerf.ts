/**
 * The kerf that decides what comes loose: the program's moves without those that only widen a kerf that is there
 * already. A skim takes a thin layer off the finished edge; what holds a piece is what the first cut along a stretch
 * left standing.
 */
import { InputError } from "../base/finding.js";
import { placeText } from "../base/numbers.js";
import { FOLLOWING, SAME_POINT } from "../base/tolerance.js";
import {
  type Segment,
  segmentBox,
  segmentLength,
  subSegment,
} from "../geometry/segment.js";
import { pair } from "../geometry/vec.js";
import type { Job } from "../plan/job/job.js";
import type { Path } from "./coverage.js";
import type { Move } from "./follow.js";
import {
  type Stretch,
  stretchesWithin,
  union,
  WHOLE,
  without,
} from "./stretches.js";

/** A piece of a move that cuts metal which nothing before it had cut. */
export interface KerfMove {
  readonly segment: Segment;
  /** Wire radius and gap. */
  readonly radius: number;
  /** Index into the program's moves. */
  readonly move: number;
}

/** Moves within a kerf of one: splines in fine arcs, cut six times over, come to some three hundred. */
const MOST_NEIGHBOURS = 500;
/** Pieces into which a move is parted by what is cut before it: of a program's moves most are one, and skims none. */
const MOST_PIECES = 2;
/** Pieces from which on the average is asked. */
const MANY_PIECES = 20_000;
/** Pairs of neighbours from which on the average is asked. */
const MANY_PAIRS = 2_000_000;

/**
 * The kerf's moves in program order.
 *
 * @throws {InputError} `program/tangled` where so many moves lie on each other that no wire program can be meant.
 */
export function freshKerf(path: Path, job: Job): KerfMove[] {
  const wire = job.wire.diameter / 2;
  const { moves } = path;
  const owner = moves.map((m, k) => ownerOf(moves, k) ?? m.follows);
  const radius = moves.map((m) => wire + m.gap);
  const widest = radius.reduce((most, r) => Math.max(most, r), 0);
  // Only what is kept can swallow later moves: no chain of part-cuts may hide a cut.
  const kept: Segment[][] = [];
  const kerf: KerfMove[] = [];
  let pairs = 0;
  /** The stretches of a move that nothing before it has cut. */
  const fresh = (m: Move, k: number): readonly Stretch[] => {
    const cut: Stretch[] = [];
    const near = path.index.near(segmentBox(m.segment), widest);
    // Cut to pieces by those before it, a move counts for as many.
    for (const j of near)
      pairs += j < k ? (kept[j] as Segment[]).length + 1 : 1;
    if (pairs > MANY_PAIRS && pairs > MOST_NEIGHBOURS * (k + 1))
      throw tangled(m, near.length);
    for (const j of near) {
      const earlier = j < k ? (kept[j] as Segment[]) : [];
      if (earlier.length === 0) continue;
      const reach = swallowed(
        radius[k] as number,
        owner[k] ?? null,
        radius[j] as number,
        owner[j] ?? null,
      );
      if (reach === 0) continue;
      for (const s of earlier)
        for (const within of stretchesWithin(m.segment, s, reach)) {
          if (within.from === 0 && within.to === 1) return [];
          cut.push(within);
        }
    }
    return cut.length === 0
      ? [WHOLE]
      : joinedUp(without([WHOLE], union(cut)), segmentLength(m.segment));
  };
  moves.forEach((m, k) => {
    const pieces = fresh(m, k).map((s) => subSegment(m.segment, s.from, s.to));
    kept[k] = pieces;
    for (const segment of pieces)
      kerf.push({ segment, radius: radius[k] as number, move: k });
    if (kerf.length > MANY_PIECES && kerf.length > MOST_PIECES * (k + 1))
      throw crossed(m, k + 1, kerf.length);
  });
  return kerf;
}

/**
 * What is cut already of a move that goes on where the one before ended is no more than that end's width: without such
 * gaps the kerf is one way, and not thousands of pieces. `long`: mm of the move.
 */
function joinedUp(fresh: readonly Stretch[], long: number): Stretch[] {
  const joint = (2 * FOLLOWING) / long;
  return fresh.map(({ from, to }) => ({
    from: from <= joint ? 0 : from,
    to: to >= 1 - joint ? 1 : to,
  }));
}

const tangled = ({ line, segment }: Move, others: number): InputError =>
  new InputError(
    "program/tangled",
    `program line ${line}: ${others} moves lie within a wire's width of the one to ${placeText(pair(segment.end))}; no wire is meant to go there so often, and what it leaves cannot be told: is it the right file?`,
  );

const crossed = ({ line }: Move, moves: number, pieces: number): InputError =>
  new InputError(
    "program/tangled",
    `program line ${line}: up to here ${moves} moves are cut into ${pieces} pieces by the moves before them; a wire may cross its own cut here and there, but not with every move, and what it leaves cannot be told: is it the right file?`,
  );

type Owner = Move["follows"];

/** The followed outline a move belongs to: its own, or for a lead that of the move it touches. */
function ownerOf(moves: readonly Move[], k: number): Owner {
  const m = moves[k] as Move;
  if (m.follows) return m.follows;
  for (const n of [moves[k + 1], moves[k - 1]])
    if (n && n.thread === m.thread && n.follows) return n.follows;
  return null;
}

/**
 * How near (mm) to an earlier move the wire's centre must run for its kerf to be nothing new. On a later pass of the
 * same outline, anywhere in the earlier kerf: the wire then only widens it towards the finished edge. Else on the same
 * line, with a kerf no wider.
 */
function swallowed(r: number, own: Owner, before: number, of: Owner): number {
  if (own && of && own.feature === of.feature && own.pass > of.pass)
    return before;
  return r <= before + SAME_POINT ? FOLLOWING : 0;
}
