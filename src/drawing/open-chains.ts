/** Chains that do not close: where each comes nearest to closing, and what is told of them. */
import Flatbush from "flatbush";
import type { Finding } from "../base/finding.js";
import { placeText, trimmed } from "../base/numbers.js";
import type { OnStep } from "../base/pace.js";
import type { Contour } from "../geometry/contour.js";
import type { Segment } from "../geometry/segment.js";
import { distance, pair, type Vec } from "../geometry/vec.js";
import type { OpenChain } from "./drawing.js";

interface End {
  readonly chain: number;
  readonly layer: string;
  readonly at: Vec;
}

/**
 * The open chains, nearest to closing first. A gap lies between an end of the chain and the nearest other open end on
 * its layer, its own other end among them; ends within `chainGap` (mm) of one another are no gap, they meet at a fork.
 */
export function openChains(
  chains: readonly { readonly layer: string; readonly contour: Contour }[],
  chainGap: number,
  onStep: OnStep,
): OpenChain[] {
  const index = indexEnds(chains);
  return chains
    .map(({ layer, contour }): OpenChain => {
      onStep();
      const [start, end] = endsOf(contour);
      const own = { size: distance(start, end), from: start, to: end };
      const gap = [start, end]
        .flatMap((from) => {
          const near = index.nearest(
            from,
            (e) => e.layer === layer && distance(e.at, from) > chainGap,
          );
          return near
            ? [{ size: distance(from, near.at), from, to: near.at }]
            : [];
        })
        .reduce((a, b) => (b.size < a.size ? b : a), own);
      return { layer, contour, gap };
    })
    .sort((a, b) => a.gap.size - b.gap.size);
}

interface EndIndex {
  nearest(p: Vec, wanted: (e: End) => boolean): End | undefined;
  within(p: Vec, reach: number): readonly End[];
}

function indexEnds(
  chains: readonly { readonly layer: string; readonly contour: Contour }[],
): EndIndex {
  const ends = chains.flatMap(({ layer, contour }, chain) =>
    endsOf(contour).map((at): End => ({ chain, layer, at })),
  );
  const end = (i: number): End => ends[i] as End;
  if (ends.length === 0) return { nearest: () => undefined, within: () => [] };
  const tree = new Flatbush(ends.length);
  for (const { at } of ends) tree.add(at.x, at.y, at.x, at.y);
  tree.finish();
  return {
    nearest({ x, y }, wanted) {
      const [i] = tree.neighbors(x, y, 1, Number.POSITIVE_INFINITY, (k) =>
        wanted(end(k)),
      );
      return i === undefined ? undefined : end(i);
    },
    within: ({ x, y }, reach) =>
      tree
        .search(x - reach, y - reach, x + reach, y + reach)
        .sort((a, b) => a - b)
        .map(end),
  };
}

function endsOf({ segments }: Contour): readonly [Vec, Vec] {
  return [(segments[0] as Segment).start, (segments.at(-1) as Segment).end];
}

/** So many open outlines of a layer are told one by one; a sheet full of centre lines has hundreds. */
const MOST_TOLD = 10;

/** @param open nearest to closing first */
export function openFindings(
  open: readonly OpenChain[],
  chainGap: number,
): Finding[] {
  const index = indexEnds(open);
  const counts = new Map<string, number>();
  const findings: Finding[] = [];
  for (const chain of open) {
    const count = (counts.get(chain.layer) ?? 0) + 1;
    counts.set(chain.layer, count);
    if (count > MOST_TOLD) continue;
    const neighbour = endsOf(chain.contour)
      .flatMap((p) => index.within(p, chainGap))
      .find((e) => e.layer !== chain.layer);
    findings.push(openFinding(chain, chainGap, neighbour?.layer ?? null));
  }
  for (const [layer, count] of counts)
    if (count > MOST_TOLD)
      findings.push({
        code: "outline/not-closed",
        severity: "warning",
        message: `${count - MOST_TOLD} more outlines on layer ${layer} are open; if nothing on it is to be cut, skip the layer or give it the role ignore.`,
        layers: [layer],
      });
  return findings;
}

function openFinding(
  { layer, gap }: OpenChain,
  chainGap: number,
  neighbour: string | null,
): Finding {
  const [from, to] = [pair(gap.from), pair(gap.to)];
  const advice =
    neighbour === null
      ? `close it in the drawing (ends up to ${trimmed(chainGap, 4)} mm apart are joined)`
      : `its end meets an outline on layer ${neighbour}, but ends on two layers are joined only where that closes an outline: draw both on the same layer`;
  return {
    code: "outline/not-closed",
    severity: "error",
    message: `An outline on layer ${layer} is open by ${trimmed(gap.size, 4)} mm, from ${placeText(from)} to ${placeText(to)}; ${advice}, or give its layer the role ignore.`,
    where: from,
    layers: [layer],
  };
}
