/**
 * Does the wire's sweep pass a finished edge? Distances in closed form from every threaded move to every finished
 * outline; the sweep's radius is that of the wire and the gap of the move's pass.
 */
import type { Finding } from "../base/finding.js";
import { FEW } from "../base/folded.js";
import { fixed, placeText } from "../base/numbers.js";
import { MAX_GOUGE, SAME_POINT } from "../base/tolerance.js";
import type { Segment } from "../geometry/segment.js";
import { pair, type Vec } from "../geometry/vec.js";
import type { Job } from "../plan/job/job.js";
import { traceTolerance } from "./coverage.js";
import type { Move } from "./follow.js";
import {
  clearanceAt,
  type Edge,
  type Ground,
  innermostAt,
  regionAt,
} from "./ground.js";
import { between } from "./measure.js";
import { xAt, yAt } from "./stretches.js";
import type { Thread } from "./wire.js";

export interface GougeCheck {
  /** mm at the worst place; 0 when nowhere. */
  readonly maxGouge: number;
  readonly gougeAt: Vec | null;
  readonly findings: readonly Finding[];
}

interface Fault {
  readonly code: "proof/gouge" | "proof/wrong-side" | "proof/in-kept-metal";
  readonly move: Move;
  readonly depth: number;
  readonly at: Vec;
  readonly feature: string | undefined;
}

export function checkGouge(
  moves: readonly Move[],
  threads: readonly Thread[],
  ground: Ground,
  job: Job,
): GougeCheck {
  const wire = job.wire.diameter / 2;
  const tolerance = Math.min(traceTolerance(job), MAX_GOUGE);
  const faults: Fault[] = [];
  let maxGouge = 0;
  let worst: Move | Vec | null = null;
  let thread = -1;
  let kept = false;
  for (const move of moves) {
    if (move.thread !== thread) {
      thread = move.thread;
      kept = regionAt(ground, (threads[thread] as Thread).at) === "kept";
    }
    if (move.slit !== null) {
      // The strip that a slit clears is drawn; what it may not take is looked at in `checkSlits`.
      kept = regionAt(ground, move.segment.end) === "kept";
      continue;
    }
    const sweep = wire + move.gap + move.slack;
    const crosses = move.clearance === 0;
    if (!crosses && !kept) {
      const depth = sweep - move.clearance;
      if (depth <= SAME_POINT) continue;
      if (depth > maxGouge) [maxGouge, worst] = [depth, move];
      if (depth > tolerance) faults.push(edgeFault(move, depth, ground));
      continue;
    }
    const fault = keptFault(move, sweep, ground);
    if (fault) {
      if (fault.depth > maxGouge) [maxGouge, worst] = [fault.depth, fault.at];
      if (fault.depth > tolerance) faults.push(fault);
    }
    if (crosses) kept = regionAt(ground, move.segment.end) === "kept";
  }
  const gougeAt =
    worst && "segment" in worst ? edgeFault(worst, 0, ground).at : worst;
  return { maxGouge, gougeAt, findings: joined(faults).map(findingOf) };
}

/** The wire on the right side, but too near. */
function edgeFault(move: Move, depth: number, ground: Ground): Fault {
  let nearest = Number.POSITIVE_INFINITY;
  let at = move.segment.start;
  let feature: string | undefined;
  for (const k of move.edges) {
    const edge = ground.edges[k] as Edge;
    const found = between(move.segment, edge.segment);
    if (found.distance >= nearest) continue;
    nearest = found.distance;
    at = found.at;
    feature = ground.layout.features[edge.feature]?.id;
  }
  return { code: "proof/gouge", move, depth, at, feature };
}

/** How many looks along a move that leaves the waste. */
const LOOKS = 32;

/** mm: farther inside kept metal than this nobody asks how deep. */
const DEEP = 5;

/** The wire across an outline or in kept metal: the deepest of a number of looks along the move. */
function keptFault(move: Move, sweep: number, ground: Ground): Fault | null {
  let deepest: { depth: number; at: Vec } | null = null;
  let inside = 0;
  for (let k = 0; k <= LOOKS; k++) {
    const at = pointOf(move.segment, k / LOOKS);
    const kept = regionAt(ground, at) === "kept";
    if (kept) inside++;
    const reach = kept ? DEEP : sweep;
    const clearance = Math.min(clearanceAt(ground, at, reach), reach);
    const depth = kept ? sweep + clearance : sweep - clearance;
    if (!deepest || depth > deepest.depth) deepest = { depth, at };
  }
  // A crossing between two looks still has the wire's middle on the outline.
  if (move.clearance === 0 && (!deepest || deepest.depth < sweep))
    deepest = { depth: sweep, at: edgeFault(move, sweep, ground).at };
  if (!deepest || deepest.depth <= 0) return null;
  const followed = move.follows
    ? ground.layout.features[move.follows.feature]?.id
    : undefined;
  const feature =
    followed ??
    edgeFault(move, 0, ground).feature ??
    innermostAt(ground, deepest.at)?.id;
  return {
    code:
      inside === 0
        ? "proof/gouge"
        : move.follows && inside > LOOKS / 2
          ? "proof/wrong-side"
          : "proof/in-kept-metal",
    move,
    ...deepest,
    feature,
  };
}

const pointOf = (s: Segment, t: number): Vec => ({
  x: xAt(s, t),
  y: yAt(s, t),
});

/** The deepest of moves that do the same wrong to one feature. */
interface Faults extends Fault {
  readonly moves: number;
  /** Line in which each run of such moves begins. */
  readonly lines: readonly number[];
}

/** One fault for a run of moves of one thread; many runs of a feature are one, too. */
function joined(faults: readonly Fault[]): Faults[] {
  const runs = runsOf(faults);
  const same = new Map<string, Faults[]>();
  for (const r of runs) {
    const key = `${r.code} ${r.feature}`;
    const list = same.get(key);
    if (list) list.push(r);
    else same.set(key, [r]);
  }
  return [...same.values()].flatMap((list) =>
    list.length <= FEW
      ? list
      : {
          ...list.reduce((a, b) => (b.depth > a.depth ? b : a)),
          moves: list.reduce((sum, r) => sum + r.moves, 0),
          lines: list.flatMap((r) => r.lines),
        },
  );
}

function runsOf(faults: readonly Fault[]): Faults[] {
  const runs: Faults[] = [];
  for (const f of faults) {
    const last = runs.at(-1);
    if (
      last &&
      last.code === f.code &&
      last.feature === f.feature &&
      last.move.thread === f.move.thread
    )
      runs[runs.length - 1] = {
        ...(f.depth > last.depth ? f : last),
        moves: last.moves + 1,
        lines: last.lines,
      };
    else runs.push({ ...f, moves: 1, lines: [f.move.line] });
  }
  return runs;
}

/** Lines that are named where there are many. */
const LINES_NAMED = 5;

function findingOf(f: Faults): Finding {
  const { move, depth, at, feature } = f;
  const where = placeText(pair(at));
  const pass = move.follows ? `, on pass ${move.follows.pass + 1}` : "";
  const places =
    f.lines.length > 1
      ? ` in ${f.lines.length} places (lines ${f.lines.slice(0, LINES_NAMED).join(", ")}${f.lines.length > LINES_NAMED ? ", …" : ""})`
      : "";
  const more = f.moves > 1 ? `; the worst of ${f.moves} moves${places}` : "";
  const of = feature ? `${feature}: ` : "";
  const allowed = depth <= MAX_GOUGE;
  const what = {
    "proof/gouge": `the wire cuts ${fixed(depth, 4)} mm into the finished edge at ${where}${pass}${more}; ${
      allowed
        ? `no more than ${MAX_GOUGE} mm, which is allowed, but more than rounding explains: look at the line`
        : "move it off, or correct the line"
    }`,
    "proof/wrong-side": `the wire runs on the kept side of the outline at ${where}${pass}${more}; change the side (or G41 for G42)`,
    "proof/in-kept-metal": `the wire cuts through metal that is kept, ${fixed(depth, 4)} mm deep at ${where}${more}; begin in the waste and stay in it`,
  }[f.code];
  return {
    code: f.code,
    severity: allowed ? "warning" : "error",
    message: `program line ${move.line}: ${of}${what}`,
    where: pair(at),
    ...(feature ? { feature } : {}),
  };
}
