/** What is told of chains that do not close. */
import type { Finding } from "../base/finding.js";
import { nameText, quoted } from "../base/message.js";
import { placeText, trimmed } from "../base/numbers.js";
import type { OnStep } from "../base/pace.js";
import { pair, type Vec } from "../geometry/vec.js";
import type { Gap, OpenChain, Outline } from "./drawing.js";
import { likelyMeaning } from "./line-types.js";
import {
  type End,
  endsOf,
  nearestEnds,
  type OpenGap,
  openGaps,
} from "./open-chains.js";
import { acrossFinder } from "./run-across.js";

/** So many open places of a layer are told one by one; a sheet full of centre lines has hundreds. */
const MOST_TOLD = 10;

/** So many open lines among which none closes are told one by one: there may be an outline that just fails to. */
const FEW = 3;

/**
 * Place by place, the smallest gap first; but what is drawn as centre lines are, and what lies open in numbers on a layer
 * where nothing closes, is hardly an outline and told of as a whole.
 *
 * @param open nearest to closing first
 */
export function openFindings(
  open: readonly OpenChain[],
  outlines: readonly Outline[],
  chainGap: number,
  onStep: OnStep,
): Finding[] {
  if (open.length === 0) return [];
  const nearest = nearestEnds(open, onStep);
  const layerOf = (e: End): string => (open[e.chain] as OpenChain).layer;
  // A centre line crosses what it goes through: nothing is to be trimmed there.
  const solid = [...open, ...outlines].filter((c) => !hasMeaning(c.lineType));
  const indexOf = new Map(solid.map((c, i) => [c, i]));
  const across = acrossFinder(
    solid.map((c) => c.contour),
    onStep,
  );
  const kinds = kindsOf(open, openGaps(open, onStep), outlines);
  return kinds
    .flatMap((kind): Told[] => {
      const { chains, gaps } = kind;
      const { layer, lineType } = chains[0] as OpenChain;
      const size = (gaps[0] as OpenGap).gap.size;
      if (hasMeaning(lineType) || (!kind.closes && chains.length > FEW))
        return [{ size, finding: looseFinding(kind, chainGap) }];
      const told = gaps.slice(0, MOST_TOLD).map(({ gap, chain: i }): Told => {
        onStep();
        const chain = open[i] as OpenChain;
        const [neighbour] = endsOf(chain.contour).flatMap(
          (p) => nearest(p, (e) => layerOf(e) !== layer, chainGap) ?? [],
        );
        const crossed = across(indexOf.get(chain) as number);
        const finding = openFinding(
          chain,
          gap,
          adviceFor(chainGap, neighbour ? layerOf(neighbour) : null),
          crossed && crossingText(crossed.at, solid[crossed.other], chain),
        );
        return { size: gap.size, finding };
      });
      const more = gaps.length - told.length;
      return more === 0
        ? told
        : [
            ...told,
            {
              size: Number.POSITIVE_INFINITY,
              finding: moreFinding(more, layer, lineType),
            },
          ];
    })
    .sort((a, b) => a.size - b.size)
    .map((t) => t.finding);
}

function hasMeaning(lineType: string | undefined): boolean {
  return lineType !== undefined && likelyMeaning(lineType) !== null;
}

interface Told {
  /** The gap it tells of first, mm. */
  readonly size: number;
  readonly finding: Finding;
}

/** What is open on one layer with one line type. */
interface Kind {
  readonly chains: OpenChain[];
  /** Smallest first. */
  readonly gaps: OpenGap[];
  /** Whether anything of it closes. */
  readonly closes: boolean;
  /** Whether there is nothing else on the layer. */
  readonly alone: boolean;
}

function kindsOf(
  open: readonly OpenChain[],
  gaps: readonly OpenGap[],
  outlines: readonly Outline[],
): Kind[] {
  const keyOf = (c: OpenChain | Outline): string =>
    `${c.layer}\n${c.lineType ?? ""}`;
  const closed = new Set(outlines.map(keyOf));
  const onLayer = new Map<string, Set<string>>();
  for (const c of [...open, ...outlines]) {
    const keys = onLayer.get(c.layer) ?? new Set();
    onLayer.set(c.layer, keys.add(keyOf(c)));
  }
  const kinds = new Map<string, Kind>();
  for (const chain of open) {
    const key = keyOf(chain);
    const kind = kinds.get(key) ?? {
      chains: [],
      gaps: [],
      closes: closed.has(key),
      alone: onLayer.get(chain.layer)?.size === 1,
    };
    kind.chains.push(chain);
    kinds.set(key, kind);
  }
  for (const gap of gaps)
    kinds.get(keyOf(open[gap.chain] as OpenChain))?.gaps.push(gap);
  // Of two kinds that share a gap, the other has told of it.
  return [...kinds.values()].filter((k) => k.gaps.length > 0);
}

/** So many places are named of what is told of as a whole. */
const PLACES = 3;

function looseFinding(
  { chains, gaps, alone }: Kind,
  chainGap: number,
): Finding {
  const { layer, lineType } = chains[0] as OpenChain;
  const where = pair((gaps[0] as OpenGap).gap.from);
  const places = gaps
    .slice(0, PLACES)
    .map(
      ({ gap }) => `${trimmed(gap.size, 4)} mm at ${placeText(pair(gap.from))}`,
    );
  const one = chains.length === 1;
  const what =
    (lineType && likelyMeaning(lineType)) ?? "centre lines or the like";
  return {
    code: "outline/not-closed",
    severity: "error",
    message: `${one ? "1 line" : `${chains.length} lines`} ${ofKind(layer, lineType)} ${one ? "does" : "do"} not close, nearest to it by ${places.join(", ")}. If ${one ? "it is of the" : "they are"} ${what}, leave ${one ? "it" : "them"} out: ${waysOut(layer, lineType, alone)}. ${one ? "An outline" : "An outline among them"} wants closing (ends up to ${trimmed(chainGap, 4)} mm apart are joined); a line that is itself to be cut wants a layer with the role slit.`,
    where,
    layers: [layer],
  };
}

/** The layer only where nothing else is on it. */
function waysOut(
  layer: string,
  lineType: string | undefined,
  alone: boolean,
): string {
  const byType =
    lineType === undefined
      ? []
      : [
          `--skip-line-type ${optionText(lineType)} (drawing.skipLineTypes in the job)`,
        ];
  const byLayer =
    alone || lineType === undefined
      ? [`--skip-layer ${optionText(layer)}`, "its layer's role ignore"]
      : [];
  return [...byType, ...byLayer].join(" or ");
}

function ofKind(layer: string, lineType: string | undefined): string {
  const type =
    lineType === undefined ? "" : ` with line type ${nameText(lineType)}`;
  return `on layer ${nameText(layer)}${type}`;
}

/** As it is typed after an option. */
function optionText(name: string): string {
  return /^[\w.-]+$/.test(name) ? name : quoted(name);
}

function moreFinding(
  count: number,
  layer: string,
  lineType: string | undefined,
): Finding {
  return {
    code: "outline/not-closed",
    severity: "warning",
    message: `Outlines ${ofKind(layer, lineType)} are open at ${count} more places; if nothing on it is to be cut, skip the layer or give it the role ignore.`,
    layers: [layer],
  };
}

function adviceFor(chainGap: number, neighbour: string | null): string {
  return neighbour === null
    ? `close it in the drawing (ends up to ${trimmed(chainGap, 4)} mm apart are joined)`
    : `its end meets an outline on layer ${nameText(neighbour)}, but ends on two layers are joined only where that closes an outline: draw both on the same layer`;
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
        ? `outline ${other.id} (layer ${nameText(other.layer)})`
        : `another open outline (layer ${nameText(other?.layer ?? "")})`;
  return ` It crosses ${what} at ${placeText(pair(at))}: trim it there if it was to end there.`;
}

function openFinding(
  { layer, lineType }: OpenChain,
  gap: Gap,
  advice: string,
  crossing: string | null,
): Finding {
  const [from, to] = [pair(gap.from), pair(gap.to)];
  return {
    code: "outline/not-closed",
    severity: "error",
    message: `An outline on layer ${nameText(layer)} is open by ${trimmed(gap.size, 4)} mm, from ${placeText(from)} to ${placeText(to)}; ${advice}, or give its layer the role slit, if the wire is to run along the line, or ignore.${crossing ?? ""}${lineType === undefined ? "" : typeText(lineType)}`,
    where: from,
    layers: [layer],
  };
}

function typeText(lineType: string): string {
  return ` It is drawn with line type ${nameText(lineType)}: --skip-line-type ${optionText(lineType)} leaves such lines out.`;
}
