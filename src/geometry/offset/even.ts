/**
 * Step 4a of the offset: as many ways lead to each place as from it, or the slices kept are no loops.
 *
 * Rounding may let a run pass that is too near by next to nothing, and where curves cross at angles of next to nothing
 * the crossings may come in another order along each of them, so that several ways are kept where there is one:
 *
 *        ──▶ p ────▶ q ──▶      From a place with too many ways out (p) to one with too many ways in (q) leads one
 *             ╲__▶__╱           way too many. The cheapest is taken away: a run costs its length, or nothing where it
 *                               is too near. O(what lies around p) each; there are hardly ever any.
 */
import { InternalError } from "../../base/finding.js";
import type { ClearOf } from "./clearance.js";
import { at, type Curves } from "./curves.js";
import type { Graph } from "./graph.js";
import { type Rows, rowsOf } from "./rows.js";
import { clearanceOfRun, type Run, runsOf, takeRunAway } from "./runs.js";
import { sliceLength } from "./slices.js";

/** `exactly`: runs that are clear by less than this, mm, are too near. */
export function evenOut(
  g: Graph,
  c: Curves,
  clearOf: ClearOf,
  exactly: number,
): void {
  if (isEven(g)) return;
  const ways = waysOf(g, c, clearOf, exactly);
  for (let p = 0; p < g.outgoing.length; p++)
    while (surplus(g, p) > 0)
      for (const r of cheapestWay(g, ways, p))
        takeRunAway(g, ways.runs[r] as Run);
  if (!isEven(g)) throw new InternalError("offset: a loop does not close");
}

function isEven(g: Graph): boolean {
  for (let p = 0; p < g.outgoing.length; p++)
    if (surplus(g, p) !== 0) return false;
  return true;
}

/** Ways out of a place over ways into it. */
function surplus({ outgoing, incoming }: Graph, place: number): number {
  return at(outgoing, place) - at(incoming, place);
}

/** The runs as ways from place to place; `out` are those that begin at each. */
interface Ways {
  readonly runs: readonly Run[];
  readonly to: readonly number[];
  readonly cost: readonly number[];
  readonly out: Rows;
}

function waysOf(g: Graph, c: Curves, clearOf: ClearOf, exactly: number): Ways {
  const { slices, outgoing } = g;
  const runs = runsOf(g);
  return {
    runs,
    to: runs.map((run) => slices.to[run.at(-1) as number] as number),
    cost: runs.map((run) =>
      clearanceOfRun(run, g, c, clearOf, exactly) < exactly
        ? 0
        : run.reduce((sum, s) => sum + sliceLength(slices, c, s), 0),
    ),
    out: rowsOf(
      runs.map((run) => slices.from[run[0] as number] as number),
      outgoing.length,
    ),
  };
}

/** A place that has been come to, over `run` from the one before. */
interface Step {
  readonly place: number;
  readonly cost: number;
  readonly run: number;
  readonly before: Step | null;
}

/** The runs of the cheapest way from a place to one with too many ways in (Dijkstra 1959). */
function cheapestWay(g: Graph, ways: Ways, from: number): number[] {
  const seen = new Set<number>();
  const reached: Step[] = [{ place: from, cost: 0, run: -1, before: null }];
  for (;;) {
    const next = takeCheapest(reached);
    if (!next) throw new InternalError("offset: a way leads nowhere");
    if (seen.has(next.place)) continue;
    if (surplus(g, next.place) < 0) return runsTo(next);
    seen.add(next.place);
    const last = at(ways.out.start, next.place + 1);
    for (let r = at(ways.out.start, next.place); r < last; r++) {
      const run = at(ways.out.item, r);
      if (!g.alive[(ways.runs[run] as Run)[0] as number]) continue;
      reached.push({
        place: ways.to[run] as number,
        cost: next.cost + (ways.cost[run] as number),
        run,
        before: next,
      });
    }
  }
}

function takeCheapest(steps: Step[]): Step | undefined {
  let best = 0;
  for (let i = 1; i < steps.length; i++)
    if ((steps[i] as Step).cost < (steps[best] as Step).cost) best = i;
  return steps.splice(best, 1)[0];
}

function runsTo(last: Step): number[] {
  const runs: number[] = [];
  for (let step = last; step.before; step = step.before) runs.push(step.run);
  return runs;
}
