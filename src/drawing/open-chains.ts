/** Chains that do not close: where each comes nearest to closing, and what is told of them. */
import Flatbush from "flatbush";
import type { Finding } from "../base/finding.js";
import { placeText, trimmed } from "../base/numbers.js";
import type { OnStep } from "../base/pace.js";
import { SAME_DRAWN } from "../base/tolerance.js";
import { type Contour, contourLength } from "../geometry/contour.js";
import type { Segment } from "../geometry/segment.js";
import { distance, pair, type Vec } from "../geometry/vec.js";
import type { Gap, OpenChain, Outline } from "./drawing.js";
import { acrossFinder } from "./run-across.js";

type Loose = Pick<OpenChain, "layer" | "contour">;

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
      const nearest = nearestEnds(onLayer);
      return onLayer.map((chain, i): OpenChain => {
        onStep();
        const { layer, contour } = chain;
        return { layer, contour, ...gapsOf(chain, i, nearest, chainGap) };
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
  const gapAt = (from: Vec, wanted: (e: End) => boolean): Gap | null => {
    const near = nearest(
      from,
      (e) => distance(e.at, from) > chainGap && wanted(e),
    );
    return near && { size: distance(from, near.at), from, to: near.at };
  };
  const own: Gap = { size: distance(start, end), from: start, to: end };
  const gap = [start, end]
    .flatMap((from) => gapAt(from, () => true) ?? [])
    .reduce((a, b) => (b.size < a.size ? b : a), own);
  const other = gap.from === start ? end : start;
  const isFar = (e: End): boolean => e.chain !== chain;
  if (distance(gap.to, other) <= SAME_DRAWN || nearest(other, isFar, chainGap))
    return { gap, otherGap: null };
  const otherGap = gapAt(other, isFar);
  const plausible = otherGap !== null && otherGap.size < contourLength(contour);
  return { gap, otherGap: plausible ? otherGap : null };
}

interface End {
  readonly chain: number;
  readonly at: Vec;
}

/** The nearest wanted end within `reach` (mm); `null` also where a whole crowd of others lies nearer. */
type NearestEnd = (
  p: Vec,
  wanted: (e: End) => boolean,
  reach?: number,
) => End | null;

/** So many ends that are not wanted are passed over. */
const LARGEST_CROWD = 64;

function nearestEnds(chains: readonly Loose[]): NearestEnd {
  const ends = chains.flatMap(({ contour }, chain) =>
    endsOf(contour).map((at): End => ({ chain, at })),
  );
  const tree = new Flatbush(ends.length);
  for (const { at } of ends) tree.add(at.x, at.y, at.x, at.y);
  tree.finish();
  return (p, wanted, reach = Number.POSITIVE_INFINITY) => {
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

function endsOf({ segments }: Contour): readonly [Vec, Vec] {
  return [(segments[0] as Segment).start, (segments.at(-1) as Segment).end];
}

/** So many open places of a layer are told one by one; a sheet full of centre lines has hundreds. */
const MOST_TOLD = 10;

/** @param open nearest to closing first */
export function openFindings(
  open: readonly OpenChain[],
  outlines: readonly Outline[],
  chainGap: number,
): Finding[] {
  if (open.length === 0) return [];
  const nearest = nearestEnds(open);
  const layerOf = (e: End): string => (open[e.chain] as OpenChain).layer;
  const all = [...open, ...outlines];
  const across = acrossFinder(all.map((c) => c.contour));
  const counts = new Map<string, number>();
  const findings: Finding[] = [];
  for (const { gap, chain: i } of openGaps(open)) {
    const chain = open[i] as OpenChain;
    const count = (counts.get(chain.layer) ?? 0) + 1;
    counts.set(chain.layer, count);
    if (count > MOST_TOLD) continue;
    const [neighbour] = endsOf(chain.contour).flatMap(
      (p) => nearest(p, (e) => layerOf(e) !== chain.layer, chainGap) ?? [],
    );
    const crossed = across(i);
    findings.push(
      openFinding(
        chain.layer,
        gap,
        adviceFor(chainGap, neighbour ? layerOf(neighbour) : null),
        crossed && crossingText(crossed.at, all[crossed.other], chain),
      ),
    );
  }
  for (const [layer, count] of counts)
    if (count > MOST_TOLD)
      findings.push({
        code: "outline/not-closed",
        severity: "warning",
        message: `Outlines on layer ${layer} are open at ${count - MOST_TOLD} more places; if nothing on it is to be cut, skip the layer or give it the role ignore.`,
        layers: [layer],
      });
  return findings;
}

/** Every gap once, though it belongs to the chains on both sides of it; the smallest first. */
function openGaps(
  open: readonly OpenChain[],
): { readonly gap: Gap; readonly chain: number }[] {
  const gaps = new Map<string, { gap: Gap; chain: number }>();
  open.forEach(({ layer, gap, otherGap }, chain) => {
    for (const g of otherGap ? [gap, otherGap] : [gap]) {
      const ends = [g.from, g.to].map(({ x, y }) => `${x},${y}`).sort();
      const key = `${layer}\n${ends.join("\n")}`;
      if (!gaps.has(key)) gaps.set(key, { gap: g, chain });
    }
  });
  return [...gaps.values()].sort((a, b) => a.gap.size - b.gap.size);
}

function adviceFor(chainGap: number, neighbour: string | null): string {
  return neighbour === null
    ? `close it in the drawing (ends up to ${trimmed(chainGap, 4)} mm apart are joined)`
    : `its end meets an outline on layer ${neighbour}, but ends on two layers are joined only where that closes an outline: draw both on the same layer`;
}

/** A line that runs on over a corner is open at its end, but the corner is what wants mending. */
function crossingText(
  at: Vec,
  other: OpenChain | Outline | undefined,
  chain: OpenChain,
): string {
  const what =
    other === chain
      ? "itself"
      : other !== undefined && "id" in other
        ? `outline ${other.id} (layer ${other.layer})`
        : `another open outline (layer ${other?.layer})`;
  return ` It crosses ${what} at ${placeText(pair(at))}: trim it there if it was to end there.`;
}

function openFinding(
  layer: string,
  gap: Gap,
  advice: string,
  crossing: string | null,
): Finding {
  const [from, to] = [pair(gap.from), pair(gap.to)];
  return {
    code: "outline/not-closed",
    severity: "error",
    message: `An outline on layer ${layer} is open by ${trimmed(gap.size, 4)} mm, from ${placeText(from)} to ${placeText(to)}; ${advice}, or give its layer the role ignore.${crossing ?? ""}`,
    where: from,
    layers: [layer],
  };
}
