/** For each node of a route, the nodes it could sensibly stand beside, nearest first. */
import Flatbush from "flatbush";
import { type Route, way } from "./route.js";

/** Ten are as good as all in two dimensions (Johnson & McGeoch 1997: 8 to 20). */
const OWN_RANK = 10;
/** Beside a node of the next or the last rank stands only the one at the border. */
const NEXT_RANK = 4;

/** Start and end are beside anything of the first and the last rank. */
export function neighbourLists(r: Route): Int32Array[] {
  const ranks = byRank(r);
  const indexes = ranks.map((nodes) => indexOf(r, nodes));
  const lists: number[][] = Array.from({ length: r.n + 2 }, () => []);
  ranks.forEach((nodes, k) => {
    for (const node of nodes)
      for (const rank of [k - 1, k, k + 1]) {
        const beside = ranks[rank];
        const index = indexes[rank];
        if (!beside || !index) continue;
        const found = index.neighbors(
          r.x[node] as number,
          r.y[node] as number,
          rank === k ? OWN_RANK + 1 : NEXT_RANK,
        );
        for (const i of found)
          if (beside[i] !== node) lists[node]?.push(beside[i] as number);
      }
  });
  for (const [end, nodes] of [
    [r.n, ranks[0]],
    [r.n + 1, ranks.at(-1)],
  ] as const)
    for (const node of nodes ?? []) {
      lists[node]?.push(end);
      lists[end]?.push(node);
    }
  return lists.map((list, a) =>
    Int32Array.from(list.sort((b, c) => way(r, a, b) - way(r, a, c) || b - c)),
  );
}

function byRank(r: Route): number[][] {
  const ranks: number[][] = [];
  let last = Number.NaN;
  for (const node of r.at.subarray(1, r.n + 1)) {
    const rank = r.rank[node] as number;
    if (rank !== last) ranks.push([]);
    ranks.at(-1)?.push(node);
    last = rank;
  }
  return ranks;
}

function indexOf(r: Route, nodes: readonly number[]): Flatbush {
  const index = new Flatbush(nodes.length);
  for (const node of nodes)
    index.add(
      r.x[node] as number,
      r.y[node] as number,
      r.x[node] as number,
      r.y[node] as number,
    );
  index.finish();
  return index;
}
