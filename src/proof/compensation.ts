/**
 * What a control makes of G41 and G42: the proof's own model. The first block with it is a straight ramp: at its end
 * the wire's centre stands square to the start of the next segment, D off it. Outside corners are rolled about the
 * corner, at inside corners the centre turns where the two neighbouring offsets meet. The G40 block leads straight from
 * the point square to the end of the last segment. What stands in the D registers the job says; if it does not, register k
 * holds the offset of pass k.
 */
import type { Finding } from "../base/finding.js";
import { fixed } from "../base/numbers.js";
import { SAME_POINT } from "../base/tolerance.js";
import { segmentLength, line as straight } from "../geometry/segment.js";
import { distance, pair, type Vec } from "../geometry/vec.js";
import { type Job, registersOf } from "../plan/job/job.js";
import type { Compensation } from "../program/moves.js";
import { type Feed, moveOf, type WireMove } from "./feed.js";
import { type Corner, joinAll, shifted, type Tell } from "./parallels.js";

/** The wire centre's moves for the feeds of one thread; what a control would refuse becomes `proof/compensation`. */
export function compensate(
  feeds: readonly Feed[],
  start: Vec,
  job: Job,
  findings: Finding[],
  corners: Corner[],
): WireMove[] {
  const moves: WireMove[] = [];
  const tell: Tell = (feed, message, severity = "error") => {
    findings.push({
      code: "proof/compensation",
      severity,
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
        "the wire is cut with G41 or G42 still in force: no move with G40 has led it off before; lead out with G40 first",
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
