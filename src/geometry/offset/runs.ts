/**
 * Step 4 of the offset: which slices belong to it. A slice that leads nowhere does not. The rest hang together in
 * runs, from one place where several ways meet to the next; along a run nothing is met, so that it is all of it in
 * or all of it out, and one question is enough, asked where it is answered most surely: in the middle of the longest
 * slice. Is anything of the outlines nearer than d?
 */
import type { Candidates } from "./candidates.js";
import { at } from "./curves.js";
import { middleOf, rowsOf, type Slices } from "./slices.js";

/** Slices by the places where they begin and where they end. */
export interface Ways {
  readonly out: { start: Int32Array; item: Int32Array };
  readonly into: { start: Int32Array; item: Int32Array };
  /** How many of them are alive. */
  readonly outgoing: Int32Array;
  readonly incoming: Int32Array;
}

export function waysOf(
  { from, to }: Slices,
  alive: Uint8Array,
  places: number,
): Ways {
  const outgoing = new Int32Array(places);
  const incoming = new Int32Array(places);
  for (let s = 0; s < from.length; s++) {
    if (!alive[s]) continue;
    outgoing[from[s] as number] = at(outgoing, from[s] as number) + 1;
    incoming[to[s] as number] = at(incoming, to[s] as number) + 1;
  }
  return {
    out: rowsOf(from, places),
    into: rowsOf(to, places),
    outgoing,
    incoming,
  };
}

/** Takes slices away that come from nowhere or lead nowhere, and what then does. */
export function pruneLooseEnds(
  { from, to }: Slices,
  alive: Uint8Array,
  { out, into, outgoing, incoming }: Ways,
): void {
  const loose: number[] = [];
  for (let p = 0; p < outgoing.length; p++)
    if ((outgoing[p] === 0) !== (incoming[p] === 0)) loose.push(p);
  for (let p = loose.pop(); p !== undefined; p = loose.pop()) {
    if (outgoing[p] === 0) {
      for (let r = at(into.start, p); r < at(into.start, p + 1); r++) {
        const s = at(into.item, r);
        if (!alive[s]) continue;
        alive[s] = 0;
        const before = from[s] as number;
        outgoing[before] = at(outgoing, before) - 1;
        if (outgoing[before] === 0 && incoming[before] !== 0)
          loose.push(before);
      }
      incoming[p] = 0;
    } else if (incoming[p] === 0) {
      for (let r = at(out.start, p); r < at(out.start, p + 1); r++) {
        const s = at(out.item, r);
        if (!alive[s]) continue;
        alive[s] = 0;
        const behind = to[s] as number;
        incoming[behind] = at(incoming, behind) - 1;
        if (incoming[behind] === 0 && outgoing[behind] !== 0)
          loose.push(behind);
      }
      outgoing[p] = 0;
    }
  }
}

/** Of the slices alive, leaves those whose run keeps clear of the outlines. */
export function keepClearRuns(
  slices: Slices,
  all: Candidates,
  alive: Uint8Array,
  ways: Ways,
  isClear: (x: number, y: number) => boolean,
): void {
  const { candidate, t0, t1, from, to } = slices;
  const seen = new Uint8Array(from.length);
  const passing = (p: number): boolean =>
    ways.outgoing[p] === 1 && ways.incoming[p] === 1;
  const follow = (first: number): void => {
    const run: number[] = [];
    let longest = first;
    let most = -1;
    for (let s = first; ; ) {
      seen[s] = 1;
      run.push(s);
      const size =
        ((t1[s] as number) - (t0[s] as number)) *
        at(all.curves.length, candidate[s] as number);
      if (size > most) {
        most = size;
        longest = s;
      }
      const p = to[s] as number;
      if (!passing(p)) break;
      const next = nextAlive(ways, alive, p);
      if (seen[next]) break;
      s = next;
    }
    const middle = middleOf(slices, all.curves, longest);
    if (!isClear(middle.x, middle.y)) dropped.push(...run);
  };
  const dropped: number[] = [];
  for (let s = 0; s < from.length; s++)
    if (alive[s] && !passing(from[s] as number)) follow(s);
  // What is left runs round and round.
  for (let s = 0; s < from.length; s++) if (alive[s] && !seen[s]) follow(s);
  for (const s of dropped) alive[s] = 0;
}

/** The only slice alive that leaves place `p`. */
function nextAlive({ out }: Ways, alive: Uint8Array, p: number): number {
  let r = at(out.start, p);
  while (!alive[at(out.item, r)]) r++;
  return at(out.item, r);
}
