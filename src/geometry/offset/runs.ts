/**
 * Step 4 of the offset: which slices belong to it. What is left after pruning hangs together in runs, from one place
 * where several ways meet to the next. Along a run nothing is met, so that it is all of it in or all of it out, and
 * one question is enough, asked where it is answered most surely: in the middle of the longest slice. Is anything of
 * the outlines nearer than d? Arcs that go far round are asked besides.
 */
import type { ClearOf } from "./clearance.js";
import { at, type Curves } from "./curves.js";
import { type Graph, takeAway } from "./graph.js";
import { goesFarRound, placesToAsk, sliceLength } from "./slices.js";

/** Slices in a row. */
export type Run = readonly number[];

/** Takes away the runs that are clear by less than `enough` mm. */
export function keepClearRuns(
  g: Graph,
  c: Curves,
  clearOf: ClearOf,
  enough: number,
): void {
  for (const run of runsOf(g))
    if (clearanceOfRun(run, g, c, clearOf, enough) < enough)
      takeRunAway(g, run);
}

export function takeRunAway(g: Graph, run: Run): void {
  for (const s of run) takeAway(g, s);
}

export function clearanceOfRun(
  run: Run,
  g: Graph,
  c: Curves,
  clearOf: ClearOf,
  enough: number,
): number {
  let least = Number.POSITIVE_INFINITY;
  const longest = longestOf(run, g, c);
  for (const s of run) {
    if (s !== longest && !goesFarRound(g.slices, c, s)) continue;
    for (const { x, y } of placesToAsk(g.slices, c, s)) {
      least = Math.min(least, clearOf(x, y, enough));
      if (least < enough) return least;
    }
  }
  return least;
}

function longestOf(run: Run, g: Graph, c: Curves): number {
  let longest = run[0] as number;
  let most = -1;
  for (const s of run) {
    const length = sliceLength(g.slices, c, s);
    if (length <= most) continue;
    most = length;
    longest = s;
  }
  return longest;
}

export function runsOf(g: Graph): Run[] {
  const { slices, alive, outgoing, incoming } = g;
  const seen = new Uint8Array(alive.length);
  const runs: Run[] = [];
  // From places where ways meet; what is left then goes round and round.
  for (const anywhere of [false, true]) {
    for (let first = 0; first < alive.length; first++) {
      if (!alive[first] || seen[first]) continue;
      const p = slices.from[first] as number;
      if (!anywhere && outgoing[p] === 1 && incoming[p] === 1) continue;
      runs.push(runFrom(g, first, seen));
    }
  }
  return runs;
}

function runFrom(
  { slices, alive, out, outgoing, incoming }: Graph,
  first: number,
  seen: Uint8Array,
): number[] {
  const run: number[] = [];
  let s = first;
  do {
    seen[s] = 1;
    run.push(s);
    const p = slices.to[s] as number;
    if (outgoing[p] !== 1 || incoming[p] !== 1) break;
    let r = at(out.start, p);
    while (!alive[at(out.item, r)]) r++;
    s = at(out.item, r);
  } while (s !== first);
  return run;
}
