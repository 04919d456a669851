/**
 * What a control makes of G41 and G42: the proof's own model. The first block with it is a straight ramp: at its end
 * the wire's centre stands square to the start of the next segment, D off it. Outside corners are rolled about the
 * corner, at inside corners the centre turns where the two neighbouring offsets meet. The G40 block leads straight from
 * the point square to the end of the last segment. What stands in the D registers the job says; if it does not, register k
 * holds the offset of pass k.
 */
import type { Finding } from "../base/finding.js";
import { fixed, placeText } from "../base/numbers.js";
import {
  ARC_RADIUS_AGREEMENT,
  FLAT_CORNER,
  SAME_DIRECTION,
  SAME_POINT,
  SHARP_TURN,
  TURNED_BACK,
} from "../base/tolerance.js";
import {
  arcFromTo,
  type Segment,
  segmentLength,
  line as straight,
  tangentAt,
} from "../geometry/segment.js";
import {
  along,
  angleBetween,
  distance,
  left,
  lerp,
  pair,
  sub,
  type Vec,
} from "../geometry/vec.js";
import { type Job, registersOf } from "../plan/job.js";
import type { Compensation } from "../program/moves.js";
import { crossings, pointTo } from "./measure.js";

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

/** A sharp corner of a compensated outline, where controls differ. */
export interface Corner {
  readonly line: number;
  readonly at: Vec;
  /** Outside: the wire goes round the corner. Inside: it turns where the two offsets meet. */
  readonly side: "outside" | "inside";
  /** rad, above 0 */
  readonly turn: number;
  /** mm */
  readonly offset: number;
}

type Tell = (feed: Feed, message: string) => void;

/** The wire centre's moves for the feeds of one thread; what a control would refuse becomes `proof/compensation`. */
export function compensate(
  feeds: readonly Feed[],
  start: Vec,
  job: Job,
  findings: Finding[],
  corners: Corner[],
): WireMove[] {
  const moves: WireMove[] = [];
  const tell: Tell = (feed, message) => {
    findings.push({
      code: "proof/compensation",
      severity: "error",
      message: `program line ${feed.line}: ${message}`,
      where: pair(feed.segment.start),
    });
  };
  let at = start;
  let k = 0;
  while (k < feeds.length) {
    const feed = feeds[k] as Feed;
    if (feed.compensation === null) {
      // After a compensated run the centre may stand elsewhere than the program's point.
      const s = feed.segment;
      const whole =
        distance(at, s.start) <= SAME_POINT || s.kind === "arc"
          ? s
          : straight(at, s.end);
      if (segmentLength(whole) > SAME_POINT) moves.push(moveOf(feed, whole));
      at = s.end;
      k++;
      continue;
    }
    const from = k;
    while (
      k < feeds.length &&
      sameCompensation((feeds[k] as Feed).compensation, feed.compensation)
    )
      k++;
    at = compensatedRun(feeds.slice(from, k), at, job, moves, tell, corners);
    const next = feeds[k];
    if (!next)
      tell(
        feeds[k - 1] as Feed,
        "the wire is cut with G41 or G42 still in force; lead out with G40 first",
      );
    else if (next.compensation !== null)
      tell(
        next,
        "G41 or G42 changes while it is in force; switch it off with G40 in between",
      );
    else if (next.segment.kind === "arc")
      tell(next, "G40 stands with an arc; the ramp must be straight");
    else {
      const d = offsetIn(feed.compensation.register, job) ?? 0;
      const long = segmentLength(next.segment);
      if (long < d)
        tell(
          next,
          `the ramp of the G40 is ${fixed(long, 4)} mm long, shorter than the offset ${fixed(d, 4)} mm it has to swing out`,
        );
    }
  }
  return moves;
}

const sameCompensation = (
  a: Compensation | null,
  b: Compensation | null,
): boolean => a?.side === b?.side && a?.register === b?.register;

function moveOf(feed: Feed, segment: Segment): WireMove {
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

/** Ramp on and the segments after it; returns where the centre stands at the end. */
function compensatedRun(
  run: readonly Feed[],
  at: Vec,
  job: Job,
  moves: WireMove[],
  tell: Tell,
  corners: Corner[],
): Vec {
  const ramp = run[0] as Feed;
  const { side, register } = ramp.compensation as Compensation;
  const d = offsetIn(register, job);
  if (d === undefined) {
    tell(
      ramp,
      `nobody says what stands in register D${register}: ${
        job.program.registers
          ? `the job's program.registers has ${Object.keys(
              job.program.registers,
            )
              .map((n) => `D${n}`)
              .join(", ")}`
          : `the job has ${job.passes.length} passes and no program.registers`
      }`,
    );
    for (const f of run) moves.push(moveOf(f, f.segment));
    return (run.at(-1) as Feed).segment.end;
  }
  if (ramp.segment.kind === "arc")
    tell(ramp, "G41 or G42 stands with an arc; the ramp must be straight");
  else if (segmentLength(ramp.segment) < d)
    tell(
      ramp,
      `the ramp is ${fixed(segmentLength(ramp.segment), 4)} mm long, shorter than the offset ${fixed(d, 4)} mm it has to swing in`,
    );
  const body = run.slice(1);
  const first = body[0];
  if (!first) {
    tell(ramp, "G41 or G42 has no segment to follow before it is switched off");
    moves.push(moveOf(ramp, ramp.segment));
    return ramp.segment.end;
  }
  const sign = side === "left" ? 1 : -1;
  const paths = body.map((f) => shifted(f, sign * d, tell));
  const joined = joinAll(body, paths, sign * d, tell, corners);
  const begin = (joined[0] as WireMove).segment.start;
  if (distance(at, begin) > SAME_POINT)
    moves.push(moveOf(ramp, straight(at, begin)));
  moves.push(...joined);
  return (joined.at(-1) as WireMove).segment.end;
}

/** mm that stand in a register: as the job says, or else the offset of the pass of that number. */
function offsetIn(register: number, job: Job): number | undefined {
  const { registers } = job.program;
  return registers
    ? registers[register]
    : registersOf(job).find((r) => r.number === register)?.pass.offset;
}

/** Point `d` left of a segment's end of the given fraction. */
function beside(s: Segment, t: 0 | 1, d: number): Vec {
  return along(t === 0 ? s.start : s.end, left(tangentAt(s, t)), d);
}

/** A segment's parallel, `d` to the left (negative: right). */
function shifted(feed: Feed, d: number, tell: Tell): Segment {
  const s = feed.segment;
  const a = beside(s, 0, d);
  const b = beside(s, 1, d);
  if (s.kind === "line") return straight(a, b);
  const radius = s.radius - Math.sign(s.sweep) * d;
  if (radius > SAME_POINT) return { ...s, start: a, end: b, radius };
  tell(
    feed,
    `the arc of radius ${fixed(s.radius, 4)} mm is tighter than the offset ${fixed(Math.abs(d), 4)} mm: no control can follow it`,
  );
  return straight(a, b);
}

function joinAll(
  body: readonly Feed[],
  paths: readonly Segment[],
  d: number,
  tell: Tell,
  corners: Corner[],
): WireMove[] {
  const moves: WireMove[] = [];
  let current = paths[0] as Segment;
  for (let k = 0; k < body.length; k++) {
    const feed = body[k] as Feed;
    const next = body[k + 1];
    const after = paths[k + 1];
    if (!next || !after) {
      push(moves, feed, current);
      break;
    }
    const corner = feed.segment.end;
    const turn = angleBetween(
      tangentAt(feed.segment, 1),
      tangentAt(next.segment, 0),
    );
    if (Math.abs(turn) > TURNED_BACK)
      tell(
        next,
        `the outline turns back on itself at ${placeText(pair(corner))}: is a G02 a G03, or a coordinate wrong? No control can tell on which side to go on`,
      );
    if (Math.abs(turn) > SHARP_TURN)
      corners.push({
        line: feed.line,
        at: corner,
        side: turn * d <= 0 ? "outside" : "inside",
        turn: Math.abs(turn),
        offset: Math.abs(d),
      });
    if (turn * d <= 0) {
      push(moves, feed, current);
      if (Math.abs(turn) > SAME_DIRECTION)
        push(moves, next, {
          ...arcFromTo(corner, current.end, after.start, turn > 0),
          radius: Math.abs(d),
        });
      current = after;
    } else {
      const meeting = insideCorner(
        current,
        after,
        corner,
        (Math.abs(d) * turn * turn) / 2,
      );
      if (!meeting) {
        tell(
          next,
          `at the inside corner ${placeText(pair(corner))} the two offsets do not meet: the segments are too short for the wire`,
        );
        push(moves, feed, current);
        push(moves, next, straight(current.end, after.start));
        current = after;
        continue;
      }
      push(moves, feed, trimmedTo(current, current.start, meeting));
      current = trimmedTo(after, meeting, after.end);
    }
  }
  return moves;
}

function push(moves: WireMove[], feed: Feed, segment: Segment): void {
  if (segmentLength(segment) > SAME_POINT || moves.length === 0)
    moves.push(moveOf(feed, segment));
}

/**
 * Where the parallels of two segments that meet in `corner` cross: on both of them and nearest to the corner. Where the
 * corner is so flat that half-way between their ends is as good (`rise`, dθ²/2, is how far that is off), there: nearly
 * tangent circles cross somewhere along them, wherever rounding puts it.
 */
function insideCorner(
  a: Segment,
  b: Segment,
  corner: Vec,
  rise: number,
): Vec | null {
  if (rise <= FLAT_CORNER) return lerp(a.end, b.start, 0.5);
  const found = crossings(a, b)
    .filter(
      (p) =>
        pointTo(a, p.x, p.y) <= ARC_RADIUS_AGREEMENT &&
        pointTo(b, p.x, p.y) <= ARC_RADIUS_AGREEMENT,
    )
    .sort((p, q) => distance(p, corner) - distance(q, corner));
  return found[0] ?? null;
}

/** A parallel whose ends move to two other points of its line or circle, by little against a turn. */
function trimmedTo(s: Segment, start: Vec, end: Vec): Segment {
  if (s.kind === "line") return straight(start, end);
  const about = (p: Vec): Vec => sub(p, s.center);
  const sweep =
    s.sweep -
    angleBetween(about(s.start), about(start)) +
    angleBetween(about(s.end), about(end));
  return sweep * s.sweep > 0
    ? { ...s, start, end, sweep }
    : straight(start, end);
}
