/** Chains that do not close: where each comes nearest to closing. */
import Flatbush from "flatbush";
import type { OnStep } from "../base/pace.js";
import { SAME_DRAWN } from "../base/tolerance.js";
import { type Contour, contourLength } from "../geometry/contour.js";
import type { Segment } from "../geometry/segment.js";
import { distance, type Vec } from "../geometry/vec.js";
import type { Gap, OpenChain } from "./drawing.js";

type Loose = Pick<OpenChain, "layer" | "contour" | "lineType">;

/**
 * The open chains, nearest to closing first. A gap lies between an end of the chain and the nearest other open end on
 * its layer, its own other end among them; ends within `chainGap` (mm) of one another are no gap, they meet at a fork.
 */
export function openChains(
  chains: readonly Loose[],
  chainGap: number,
  onStep: OnStep,
): OpenChain[] {
  const layers = new Map<string, Loose[]>();
  for (const chain of chains) {
    const on = layers.get(chain.layer);
    if (on) on.push(chain);
    else layers.set(chain.layer, [chain]);
  }
  return [...layers.values()]
    .flatMap((onLayer) => {
      const nearest = nearestEnds(onLayer, onStep);
      return onLayer.map((chain, i): OpenChain => {
        onStep();
        const { layer, contour, lineType } = chain;
        return {
          layer,
          contour,
          ...(lineType !== undefined && { lineType }),
          ...gapsOf(chain, i, nearest, chainGap),
        };
      });
    })
    .sort((a, b) => a.gap.size - b.gap.size);
}

/**
 * The nearer of the gaps at the two ends of a chain, and the other one, unless that end meets others at a fork or lies
 * further off than the chain is long.
 */
function gapsOf(
  { contour }: Loose,
  chain: number,
  nearest: NearestEnd,
  chainGap: number,
): Pick<OpenChain, "gap" | "otherGap"> {
  const [start, end] = endsOf(contour);
  /** The nearest that is no farther off than `reach`: what lies farther is never asked for, which is most of the work. */
  const gapAt = (
    from: Vec,
    reach: number,
    wanted: (e: End) => boolean,
  ): Gap | null => {
    const near = nearest(
      from,
      (e) => distance(e.at, from) > chainGap && wanted(e),
      reach,
    );
    return near && { size: distance(from, near.at), from, to: near.at };
  };
  let gap: Gap = { size: distance(start, end), from: start, to: end };
  for (const from of [start, end]) {
    const nearer = gapAt(from, gap.size, () => true);
    if (nearer && nearer.size < gap.size) gap = nearer;
  }
  const other = gap.from === start ? end : start;
  if (distance(gap.to, other) <= SAME_DRAWN) return { gap, otherGap: null };
  const isFar = (e: End): boolean => e.chain !== chain;
  const long = contourLength(contour);
  const otherGap = gapAt(other, long, isFar);
  const plausible =
    otherGap !== null &&
    otherGap.size < long &&
    !nearest(other, isFar, chainGap);
  return { gap, otherGap: plausible ? otherGap : null };
}

export interface End {
  readonly chain: number;
  readonly at: Vec;
}

/** The nearest wanted end within `reach` (mm); `null` also where a whole crowd of others lies nearer. */
export type NearestEnd = (
  p: Vec,
  wanted: (e: End) => boolean,
  reach: number,
) => End | null;

/** So many ends that are not wanted are passed over. */
const LARGEST_CROWD = 64;

export function nearestEnds(
  chains: readonly Loose[],
  onStep: OnStep,
): NearestEnd {
  const ends: End[] = [];
  const tree = new Flatbush(2 * chains.length);
  chains.forEach(({ contour }, chain) => {
    onStep();
    for (const at of endsOf(contour)) {
      ends.push({ chain, at });
      tree.add(at.x, at.y, at.x, at.y);
    }
  });
  tree.finish();
  return (p, wanted, reach) => {
    let passed = 0;
    const [i] = tree.neighbors(
      p.x,
      p.y,
      1,
      reach,
      (k) => wanted(ends[k] as End) || ++passed > LARGEST_CROWD,
    );
    return i === undefined || passed > LARGEST_CROWD ? null : (ends[i] as End);
  };
}

export function endsOf({ segments }: Contour): readonly [Vec, Vec] {
  return [(segments[0] as Segment).start, (segments.at(-1) as Segment).end];
}

/** Every gap once, though it belongs to the chains on both sides of it; the smallest first. */
export function openGaps(
  open: readonly OpenChain[],
  onStep: OnStep,
): readonly OpenGap[] {
  const gaps: OpenGap[] = [];
  const near = new Map<number, OpenGap[]>();
  open.forEach(({ layer, gap, otherGap }, chain) => {
    onStep();
    for (const g of otherGap ? [gap, otherGap] : [gap]) {
      const key = eitherWay(g);
      const alike = near.get(key) ?? [];
      if (alike.some((o) => o.layer === layer && sameGap(o.gap, g))) continue;
      const told = { layer, gap: g, chain };
      gaps.push(told);
      near.set(key, [...alike, told]);
    }
  });
  return gaps.sort((a, b) => a.gap.size - b.gap.size);
}

export interface OpenGap {
  readonly layer: string;
  readonly gap: Gap;
  /** Index of the first chain that has it. */
  readonly chain: number;
}

/** A number that a gap has from both its sides, and hardly ever another gap: its middle, as seen in an odd direction. */
function eitherWay({ from, to }: Gap): number {
  return from.x + to.x + Math.SQRT2 * (from.y + to.y);
}

function sameGap(a: Gap, b: Gap): boolean {
  return (
    (samePlace(a.from, b.from) && samePlace(a.to, b.to)) ||
    (samePlace(a.from, b.to) && samePlace(a.to, b.from))
  );
}

function samePlace(a: Vec, b: Vec): boolean {
  return a.x === b.x && a.y === b.y;
}
