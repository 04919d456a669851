/**
 * Step 3a of the offset: where the candidates meet, found through a tree of their boxes (Flatbush, a packed Hilbert
 * R-tree). Neighbours along the outline lie near each other, so that a row of them asks the tree once.
 */
import Flatbush from "flatbush";
import type { Candidates } from "./candidates.js";
import { at, type Curves, turningX, turningY } from "./curves.js";
import { type Meetings, meet, newMeetings } from "./meet.js";
import { addNode, unite } from "./nodes.js";
import type { OffsetTolerance } from "./tolerance.js";

/** All arrays by cut: the candidate, the fraction along it and the node there. */
export interface Cuts {
  readonly candidate: number[];
  readonly t: number[];
  readonly node: number[];
}

/** Candidates that ask the tree together. */
const ROW = 8;

export function findCuts(all: Candidates, tol: OffsetTolerance): Cuts {
  const { curves, smooth } = all;
  const cuts: Cuts = { candidate: [], t: [], node: [] };
  const n = curves.count;
  if (n === 0) return cuts;
  const { tree, boxes } = indexCurves(curves, tol.node);
  const found = newMeetings();
  for (let row = 0; row < n; row += ROW) {
    const end = Math.min(n, row + ROW);
    const [minX, minY, maxX, maxY] = boxAround(boxes, row, end);
    const near = tree.search(minX, minY, maxX, maxY);
    for (let i = row; i < end; i++) {
      for (const j of near) {
        if (j <= i || smooth[i] === j || smooth[j] === i) continue;
        if (!overlap(boxes, i, j)) continue;
        meet(curves, i, j, tol, found);
        cutBoth(all, i, j, found, cuts);
      }
    }
  }
  return cuts;
}

/** Cuts candidates i and j where they meet; at an end of one, its own node is that of the meeting. */
function cutBoth(
  all: Candidates,
  i: number,
  j: number,
  found: Meetings,
  cuts: Cuts,
): void {
  for (let m = 0; m < found.count; m++) {
    const ti = found.ta[m] as number;
    const tj = found.tb[m] as number;
    const a = nodeAtEnd(all, i, ti);
    const b = nodeAtEnd(all, j, tj);
    if (a >= 0 && b >= 0) unite(all.nodes, a, b);
    else {
      const own = Math.max(a, b);
      const node =
        own >= 0
          ? own
          : addNode(all.nodes, found.x[m] as number, found.y[m] as number);
      if (a < 0) addCut(cuts, i, ti, node);
      if (b < 0) addCut(cuts, j, tj, node);
    }
  }
}

function addCut(cuts: Cuts, candidate: number, t: number, node: number): void {
  cuts.candidate.push(candidate);
  cuts.t.push(t);
  cuts.node.push(node);
}

function nodeAtEnd(all: Candidates, i: number, t: number): number {
  if (t === 0) return at(all.start, i);
  return t === 1 ? at(all.end, i) : -1;
}

/** The curves' boxes with a margin round them, four numbers each, and a tree over them. At least one curve. */
export function indexCurves(
  c: Curves,
  margin: number,
): { tree: Flatbush; boxes: Float64Array } {
  const boxes = new Float64Array(4 * c.count);
  const tree = new Flatbush(c.count);
  for (let i = 0; i < c.count; i++) {
    const x = turningX(c, i);
    const y = turningY(c, i);
    const minX = Math.min(at(c.x0, i), at(c.x1, i), x) - margin;
    const minY = Math.min(at(c.y0, i), at(c.y1, i), y) - margin;
    const maxX = Math.max(at(c.x0, i), at(c.x1, i), x) + margin;
    const maxY = Math.max(at(c.y0, i), at(c.y1, i), y) + margin;
    boxes[4 * i] = minX;
    boxes[4 * i + 1] = minY;
    boxes[4 * i + 2] = maxX;
    boxes[4 * i + 3] = maxY;
    tree.add(minX, minY, maxX, maxY);
  }
  tree.finish();
  return { tree, boxes };
}

function boxAround(
  boxes: Float64Array,
  first: number,
  end: number,
): [number, number, number, number] {
  let minX = at(boxes, 4 * first);
  let minY = at(boxes, 4 * first + 1);
  let maxX = at(boxes, 4 * first + 2);
  let maxY = at(boxes, 4 * first + 3);
  for (let i = first + 1; i < end; i++) {
    minX = Math.min(minX, at(boxes, 4 * i));
    minY = Math.min(minY, at(boxes, 4 * i + 1));
    maxX = Math.max(maxX, at(boxes, 4 * i + 2));
    maxY = Math.max(maxY, at(boxes, 4 * i + 3));
  }
  return [minX, minY, maxX, maxY];
}

function overlap(boxes: Float64Array, i: number, j: number): boolean {
  return (
    at(boxes, 4 * i) <= at(boxes, 4 * j + 2) &&
    at(boxes, 4 * j) <= at(boxes, 4 * i + 2) &&
    at(boxes, 4 * i + 1) <= at(boxes, 4 * j + 3) &&
    at(boxes, 4 * j + 1) <= at(boxes, 4 * i + 3)
  );
}
