/**
 * The proof: a program's text, read back, replayed and measured against the drawing. It knows the outlines, the block
 * and the job; it has never seen the plan, and it trusts no comment but the feature's name in a stop.
 */
import { cappedFindings, type Finding, hasErrors } from "../base/finding.js";
import { foldedByCause } from "../base/folded.js";
import { trimmed } from "../base/numbers.js";
import { COARSE_STEPS, MAX_GOUGE } from "../base/tolerance.js";
import { MM_PER_INCH } from "../base/units.js";
import { contourBox } from "../geometry/contour.js";
import { type Box, segmentBox } from "../geometry/segment.js";
import { pair, type Vec } from "../geometry/vec.js";
import type { Feature, Layout, Slit } from "../plan/feature.js";
import type { Job } from "../plan/job.js";
import type { ProgramText } from "../program/moves.js";
import { cutAgain } from "./again.js";
import {
  coverFeatures,
  type FeaturePass,
  type Path,
  pathOf,
  stockLeft,
  traceTolerance,
} from "./coverage.js";
import { followOutlines } from "./follow.js";
import { checkGouge } from "./gouge.js";
import { groundOf } from "./ground.js";
import { freshKerf } from "./kerf.js";
import { checkOverlap, strokesByFeature } from "./overlap.js";
import type { Corner } from "./parallels.js";
import { checkPasses } from "./passes.js";
import { checkPeople, mainFeatures } from "./people.js";
import { findPieces } from "./pieces.js";
import type { CompensatedCorners, Proof, ReplayedMove } from "./proof.js";
import { checkSlits, slitLines } from "./slits.js";
import { checkTabs } from "./tabs.js";
import { checkThreadPlaces } from "./thread-places.js";
import { checkTravel } from "./travel.js";
import { replayWire } from "./wire.js";

/** Findings of one code beyond this are counted, not listed. */
const MOST_OF_A_CODE = 20;

/** How far a proof is, in steps of about equal work. */
export type Progress = (done: number, total: number) => void;

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

/** The same, with the moves that were judged, for a picture of what was cut. */
export function proveMoves(
  program: ProgramText,
  layout: Layout,
  job: Job,
  onProgress?: Progress,
): { readonly proof: Proof; readonly moves: readonly ReplayedMove[] } {
  const ground = groundOf(layout);
  const lines = slitLines(ground, job);
  const { threads, findings: wire, corners } = replayWire(program, job);
  // Threads are followed; then pieces, coverage and passes are each looked at outline by outline.
  const outlines = layout.features.length;
  const total = threads.length + 3 * outlines;
  let done = 0;
  const step = (): void => onProgress?.(++done, total);
  const path = pathOf(followOutlines(threads, ground, lines, job, step));
  const gouge = checkGouge(path.moves, threads, ground, job);
  const clusters = findPieces(
    freshKerf(path, job),
    layout.stock,
    layout.holes,
    (i, of) => {
      done = threads.length + Math.floor((outlines * i) / of);
      onProgress?.(done, total);
    },
  );
  const owners = mainFeatures(path.moves);
  const people = checkPeople(
    clusters,
    path.moves,
    owners,
    program.actions,
    ground,
    job,
  );
  const threadPlaces = checkThreadPlaces(
    threads,
    owners,
    path,
    clusters,
    ground,
    lines,
    job,
  );
  done = threads.length + outlines;
  const covered = coverFeatures(ground, path, job, step);
  const slits = checkSlits(lines, path, ground, job);
  const n = job.passes.length;
  const strokes = strokesByFeature(path, n - 1);
  const passes = layout.features.map((feature, i) => {
    step();
    const own = covered.slice(i * n, (i + 1) * n);
    const final = own.at(-1) as FeaturePass;
    return {
      ...checkPasses(feature, own, path, job, people.pieces),
      overlap: checkOverlap(feature, final, strokes.get(i) ?? [], path, job),
    };
  });
  const astray = nothingFollowed(path, layout, job);
  const findings = cappedFindings(
    [
      ...program.findings,
      ...(layout.features.length + layout.slits.length === 0
        ? [nothingToProve()]
        : []),
      ...astray,
      ...foldedByCause([...wire, ...threadPlaces.findings]),
      ...checkTravel(program.actions, threads, job),
      ...gouge.findings,
      ...(hasErrors([...wire, ...gouge.findings]) ? coarseGrid(job) : []),
      ...people.findings,
      ...checkTabs(people.pieces, path.moves, ground, job),
      // Of a program for something else, that no pass is there goes without saying.
      ...(astray.length > 0
        ? []
        : [
            ...passes.flatMap((p) => [...p.findings, ...p.overlap]),
            ...slits.flatMap((s) => s.findings),
            ...cutAgain(covered, path, layout, job),
          ]),
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

/** Where no move keeps to an outline, the likely reason is told before all that follows from it. */
function nothingFollowed(
  { moves }: Path,
  { features }: Layout,
  { passes }: Job,
): Finding[] {
  if (moves.length === 0 || features.length === 0) return [];
  if (moves.some((m) => m.follows !== null || m.slit !== null)) return [];
  const offsets = passes.map((p) => `${trimmed(p.offset, 4)} mm`).join(", ");
  const ratio =
    size(moves.map((m) => segmentBox(m.segment))) /
    size(features.map((f) => contourBox(f.contour)));
  const unit =
    ratio > MM_PER_INCH / 2 && ratio < MM_PER_INCH * 2
      ? "; it is some 25 times as large as they are: does G70 stand for G71, or is the drawing read in a wrong unit?"
      : ratio > 1 / MM_PER_INCH / 2 && ratio < 2 / MM_PER_INCH
        ? "; it is some 25 times as small as they are: does G71 stand for G70, or is the drawing read in a wrong unit?"
        : ": are drawing, job, wire and unit those that it was made for?";
  return [
    {
      code: "proof/follows-nothing",
      severity: "error",
      message: `no move of the program keeps to an outline of the drawing at an offset of the job (${offsets})${unit}`,
    },
  ];
}

/** mm across all the boxes together. */
function size(boxes: readonly Box[]): number {
  const all = boxes.reduce((a, b) => ({
    minX: Math.min(a.minX, b.minX),
    minY: Math.min(a.minY, b.minY),
    maxX: Math.max(a.maxX, b.maxX),
    maxY: Math.max(a.maxY, b.maxY),
  }));
  return Math.max(all.maxX - all.minX, all.maxY - all.minY);
}

/** Rounding shifts an end by up to 0.7 steps and an arc by as much again: the likely cause of small faults on a coarse grid. */
function coarseGrid(job: Job): Finding[] {
  const { resolution } = job.program;
  if (COARSE_STEPS * resolution <= MAX_GOUGE) return [];
  return [
    {
      code: "proof/coarse-grid",
      severity: "warning",
      message: `coordinates rounded to steps of ${trimmed(resolution, 6)} mm may lie up to ${trimmed(COARSE_STEPS * resolution, 4)} mm off, and ${MAX_GOUGE} mm is what the finished edge allows; set program.resolution to ${trimmed(MAX_GOUGE / COARSE_STEPS, 4)} mm or finer, or round away from the edge`,
    },
  ];
}
