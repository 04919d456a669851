/**
 * Outlines whose sides were drawn on different layers. Within its layer everything has been joined already; what is
 * left open there may still close with what is left open elsewhere.
 */
import type { Finding } from "../base/finding.js";
import { nameText } from "../base/message.js";
import { placeText } from "../base/numbers.js";
import type { OnStep } from "../base/pace.js";
import {
  type Chain,
  chainStrands,
  type Mend,
} from "../geometry/chain/chain.js";
import { type Contour, contourLength } from "../geometry/contour.js";
import type { Segment } from "../geometry/segment.js";
import { pair } from "../geometry/vec.js";
import type { Repair } from "./drawing.js";
import type { LayeredChain } from "./outlines.js";

export interface Crossed {
  readonly chains: readonly LayeredChain[];
  readonly repairs: readonly Repair[];
  readonly findings: readonly Finding[];
}

/**
 * The chains, with those open ones that close across layers made one, on the layer that the longer share of it is on.
 * Only what closes is joined: a centre line that ends at an open outline is no part of it. Chains on layers that are
 * `lone` join with none.
 */
export function closeAcrossLayers(
  chains: readonly LayeredChain[],
  gap: number,
  lone: (layer: string) => boolean,
  onStep: OnStep,
): Crossed {
  const open = chains.filter((c) => !c.contour.closed && !lone(c.layer));
  if (new Set(open.map((c) => c.layer)).size < 2)
    return { chains, repairs: [], findings: [] };
  const used = new Set<LayeredChain>();
  const joined: LayeredChain[] = [];
  const repairs: Repair[] = [];
  const findings: Finding[] = [];
  for (const { contour, strands } of chained(open, gap, onStep).chains) {
    if (!contour.closed) continue;
    const group = strands.map((i) => open[i] as LayeredChain);
    const whole = closedAlone(group, gap, onStep);
    if (whole === null || group.some((c) => used.has(c))) continue;
    for (const c of group) used.add(c);
    const shares = sharesOf(group);
    const layer = (shares[0] as Share).layer;
    const first = Math.min(...group.map((c) => c.first));
    joined.push({ layer, contour: whole.chain.contour, first });
    for (const { kind, at, size } of whole.mends)
      repairs.push({ kind, layer, at: pair(at), size });
    findings.push(acrossFinding(whole.chain.contour, shares));
  }
  return {
    chains: [...chains.filter((c) => !used.has(c)), ...joined].sort(
      (a, b) => a.first - b.first,
    ),
    repairs,
    findings: fewest(findings),
  };
}

function chained(
  chains: readonly LayeredChain[],
  gap: number,
  onStep: OnStep,
): { chains: Chain[]; mends: Mend[] } {
  return chainStrands(
    chains.map((c) => c.contour),
    gap,
    onStep,
  );
}

/** The group by itself, so that what was mended in it is known; `null` unless it is one outline and nothing else. */
function closedAlone(
  group: readonly LayeredChain[],
  gap: number,
  onStep: OnStep,
): { chain: Chain; mends: readonly Mend[] } | null {
  const { chains, mends } = chained(group, gap, onStep);
  const [chain] = chains;
  return chain?.contour.closed && chains.length === 1 ? { chain, mends } : null;
}

interface Share {
  readonly layer: string;
  /** mm */
  readonly length: number;
}

/** How much is drawn on each layer, the most first. */
function sharesOf(group: readonly LayeredChain[]): Share[] {
  const lengths = new Map<string, number>();
  for (const { layer, contour } of group)
    lengths.set(layer, (lengths.get(layer) ?? 0) + contourLength(contour));
  return [...lengths]
    .map(([layer, length]) => ({ layer, length }))
    .sort((a, b) => b.length - a.length);
}

function acrossFinding(contour: Contour, shares: readonly Share[]): Finding {
  const [most, ...others] = shares.map((s) => s.layer) as [string, ...string[]];
  const where = pair((contour.segments[0] as Segment).start);
  const whole = shares.reduce((sum, s) => sum + s.length, 0);
  const share = Math.round((100 * (shares[0] as Share).length) / whole);
  return {
    code: "outline/across-layers",
    severity: "warning",
    message: `The outline at ${placeText(where)} is drawn in pieces on layers ${[most, ...others].map(nameText).join(", ")}; it closes only with all of them and was read as one outline on layer ${nameText(most)}, which holds ${share} % of it. Draw it on one layer, or give the layer that is no part of it the role ignore.`,
    where,
    layers: [most],
  };
}

/** So many are told one by one on a layer. */
const MOST_TOLD = 10;

function fewest(findings: readonly Finding[]): Finding[] {
  const counts = new Map<string, number>();
  const told = findings.filter(({ layers: [layer = ""] = [] }) => {
    const count = (counts.get(layer) ?? 0) + 1;
    counts.set(layer, count);
    return count <= MOST_TOLD;
  });
  for (const [layer, count] of counts)
    if (count > MOST_TOLD)
      told.push({
        code: "outline/across-layers",
        severity: "warning",
        message: `${count - MOST_TOLD} more outlines on layer ${nameText(layer)} are drawn in pieces on several layers and were read as one each.`,
        layers: [layer],
      });
  return told;
}
