/**
 * The proof: a program's text, read back, replayed and measured against the drawing. It knows the outlines, the block
 * and the job; it has never seen the plan, and it trusts no comment but the feature's name in a stop.
 */
import { cappedFindings, type Finding, hasErrors } from "../base/finding.js";
import { MAX_GOUGE } from "../base/tolerance.js";
import { pair, type Vec } from "../geometry/vec.js";
import type { Feature, Layout, Slit } from "../plan/feature.js";
import type { Job } from "../plan/job/job.js";
import type { ProgramText } from "../program/moves.js";
import { arcsExchanged, elsewhere, nothingFollowed } from "./astray.js";
import { stockLeft, traceTolerance } from "./coverage.js";
import { followOutlines } from "./follow.js";
import { checkGouge, type GougeCheck } from "./gouge.js";
import { groundOf } from "./ground.js";
import { type Judged, judgeThreads, type Progress } from "./judged.js";
import type { Corner } from "./parallels.js";
import type { CompensatedCorners, Proof, ReplayedMove } from "./proof.js";
import { slitLines } from "./slits.js";
import { checkTravel } from "./travel.js";
import { replayWire, type Thread } from "./wire.js";

/** Findings of one code beyond this are counted, not listed. */
const MOST_OF_A_CODE = 20;

/**
 * Proves a program against the drawing's layout under a job. Lengths mm, masses kg. Every reason to doubt is a finding;
 * `ok` only without an error among them, and with gouge and excess within their tolerances.
 *
 * @throws {InputError} `program/tangled` where moves lie on each other by the thousand.
 */
export function prove(
  program: ProgramText,
  layout: Layout,
  job: Job,
  onProgress?: Progress,
): Proof {
  return proveMoves(program, layout, job, onProgress).proof;
}

export interface Proved {
  readonly proof: Proof;
  readonly moves: readonly ReplayedMove[];
}

/** The same, with the moves that were judged, for a picture of what was cut. */
export function proveMoves(
  program: ProgramText,
  layout: Layout,
  job: Job,
  onProgress?: Progress,
): Proved {
  const ground = groundOf(layout);
  const lines = slitLines(ground, job);
  const { threads, findings: wire, corners } = replayWire(program, job);
  const judge = (of: readonly Thread[], tell?: Progress): Judged =>
    judgeThreads(of, wire, program, ground, lines, job, tell);
  const gougeOf = (of: readonly Thread[]): GougeCheck =>
    checkGouge(followOutlines(of, ground, lines, job), of, ground, job);
  const exchanged = arcsExchanged(threads, gougeOf);
  const judged = judge(exchanged?.threads ?? threads, onProgress);
  const { path, gouge, people, threadPlaces, covered, slits, passes } = judged;
  // Of a program that lies elsewhere as a whole, only that is told, and what is wrong with it besides.
  const found = exchanged
    ? { finding: exchanged.finding, judged }
    : elsewhere(judged, threads, gougeOf, judge);
  const astray = found ? [found.finding] : nothingFollowed(path, layout, job);
  const { cuts, left } = found?.judged ?? judged;
  const findings = cappedFindings(
    [
      ...program.findings,
      ...(layout.features.length + layout.slits.length === 0
        ? [nothingToProve()]
        : []),
      ...astray,
      ...cuts,
      ...checkTravel(program.actions, threads, job),
      // Of a program for something else, that no pass is there goes without saying.
      ...(astray.length > 0 && !found ? [] : left),
    ],
    MOST_OF_A_CODE,
  );
  const worst = passes.reduce<{ maxExcess: number; excessAt: Vec | null }>(
    (a, b) => (b.maxExcess > a.maxExcess ? b : a),
    { maxExcess: 0, excessAt: null },
  );
  const { maxExcess } = worst;
  const reached = covered.map((c) => ({
    feature: (layout.features[c.feature] as Feature).id,
    pass: c.pass + 1,
    reached: c.reachable === 0 ? 1 : c.reached / c.reachable,
    left: stockLeft(c, path, job),
  }));
  const proof: Proof = {
    ok:
      !hasErrors(findings) &&
      gouge.maxGouge <= MAX_GOUGE &&
      maxExcess <= traceTolerance(job) &&
      people.pieces.every((p) => p.attended || p.crumb),
    maxGouge: gouge.maxGouge,
    gougeAt: gouge.gougeAt && pair(gouge.gougeAt),
    maxExcess,
    excessAt: worst.excessAt && pair(worst.excessAt),
    coverage: Math.min(
      1,
      ...slits.map((s) => s.reached / s.long),
      ...reached
        .filter((r) => r.pass === job.passes.length)
        .map((r) => r.reached),
    ),
    passes: [
      ...reached,
      ...slits.map((s) => ({
        feature: (layout.slits[s.slit] as Slit).id,
        pass: 1,
        reached: s.reached / s.long,
        left: null,
        stretch: "slit" as const,
      })),
    ],
    loosePieces: people.pieces
      .filter((p) => !p.crumb)
      .map(({ feature, attended, line, mass, at }) => ({
        feature,
        attended,
        line,
        mass,
        at: pair(at),
      })),
    unreached: passes.flatMap((p) => p.unreached),
    corners: cornersOf(corners),
    threadPlaces: threadPlaces.places,
    words: program.words,
    blocks: program.blocks,
    findings,
  };
  return {
    proof,
    moves: path.moves.map((m) => ({
      segment: m.segment,
      line: m.line,
      kerf: job.wire.diameter / 2 + m.gap,
      pass: m.follows && m.follows.pass + 1,
    })),
  };
}

/**
 * How other controls differ at sharp corners. Outside, one that runs on to the crossing of two offsets d stands off
 * d / cos(turn / 2) instead of d; inside, one without look-ahead goes on to the point square to the segment's end,
 * d (1 - cos turn) too deep, all of d from a square corner on (plane geometry).
 */
function cornersOf(corners: readonly Corner[]): CompensatedCorners | null {
  if (corners.length === 0) return null;
  const of = (side: Corner["side"]): Corner[] =>
    corners.filter((c) => c.side === side);
  return {
    outside: of("outside").length,
    inside: of("inside").length,
    standOff: Math.max(
      0,
      ...of("outside").map((c) => c.offset / Math.cos(c.turn / 2) - c.offset),
    ),
    overcut: Math.max(
      0,
      ...of("inside").map(
        (c) => c.offset * (1 - Math.max(0, Math.cos(c.turn))),
      ),
    ),
  };
}

function nothingToProve(): Finding {
  return {
    code: "proof/no-outline",
    severity: "error",
    message:
      "the drawing has no outline to be cut: there is nothing to prove the program against",
  };
}
