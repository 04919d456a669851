/**
 * Step 4 of the offset: which slices belong to it. What is left after pruning hangs together in runs, from one place
 * where several ways meet to the next. Along a run nothing is met, so that it is all of it in or all of it out, and
 * one question is enough, asked where it is answered most surely: in the middle of the longest slice. Is anything of
 * the outlines nearer than d?
 *
 * Rounding may let a run pass that is too near by next to nothing. It shows where as many ways lead to a place as
 * from it no longer: of the runs there, the least clear one is taken away, until all is even.
 */
import { at, type Curves } from "./curves.js";
import { type Graph, takeAway } from "./graph.js";
import { sliceLength, sliceMiddle } from "./slices.js";

/** `clearOf`: by how much a point is farther than d from the outlines; `enough`: the least that is kept. */
export function keepClearRuns(
  g: Graph,
  c: Curves,
  clearOf: (x: number, y: number) => number,
  enough: number,
): void {
  const kept: { run: readonly number[]; clear: number }[] = [];
  for (const run of runsOf(g)) {
    const { x, y } = sliceMiddle(g.slices, c, longestOf(run, g, c));
    const clear = clearOf(x, y);
    if (clear < enough) for (const s of run) takeAway(g, s);
    else kept.push({ run, clear });
  }
  if (isEven(g)) return;
  kept.sort((a, b) => a.clear - b.clear);
  for (const { run, clear } of kept) {
    if (clear >= 0) return;
    const from = g.slices.from[run[0] as number] as number;
    const to = g.slices.to[run.at(-1) as number] as number;
    if (
      at(g.outgoing, from) > at(g.incoming, from) ||
      at(g.incoming, to) > at(g.outgoing, to)
    )
      for (const s of run) takeAway(g, s);
  }
}

function longestOf(run: readonly number[], g: Graph, c: Curves): number {
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

function isEven({ outgoing, incoming }: Graph): boolean {
  for (let p = 0; p < outgoing.length; p++)
    if (outgoing[p] !== incoming[p]) return false;
  return true;
}

function runsOf(g: Graph): number[][] {
  const { slices, alive, outgoing, incoming } = g;
  const seen = new Uint8Array(alive.length);
  const runs: number[][] = [];
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
