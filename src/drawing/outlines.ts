/** Strands by layer become outlines: chained, tidy, nested, with everything that is wrong with them told. */
import type { Finding } from "../base/finding.js";
import { nameText } from "../base/message.js";
import { placeText } from "../base/numbers.js";
import { type OnStep, oneIn } from "../base/pace.js";
import { chainStrands } from "../geometry/chain/chain.js";
import { dropDoubles } from "../geometry/chain/doubles.js";
import { type Contour, runsBack } from "../geometry/contour.js";
import { type Conflict, findConflicts } from "../geometry/crossings.js";
import { nestContours } from "../geometry/nest.js";
import { pointAt, type Segment } from "../geometry/segment.js";
import { pair } from "../geometry/vec.js";
import { closeAcrossLayers } from "./across-layers.js";
import { tooLarge } from "./damage.js";
import type { OpenChain, Outline, Repair } from "./drawing.js";
import type { Strand } from "./dxf/expand.js";
import { LEAST_PIECES, PIECES_PER_SEGMENT } from "./limits.js";
import { likelyMeaning } from "./line-types.js";
import { openChains } from "./open-chains.js";
import { openFindings } from "./open-findings.js";
import type { ReadPhase } from "./read-options.js";
import { smoothChains } from "./smooth.js";

export interface Outlines {
  readonly outlines: readonly Outline[];
  readonly open: readonly OpenChain[];
  readonly repairs: readonly Repair[];
  readonly findings: readonly Finding[];
}

export interface LayeredChain {
  readonly layer: string;
  readonly contour: Contour;
  readonly first: number;
  /** Of all its strands, unless that is continuous. */
  readonly lineType?: string;
}

/** mm */
export interface Healing {
  /** Ends nearer than this are joined. */
  readonly gap: number;
  /** Layers whose chains join with those of no other layer. */
  readonly lone: (layer: string) => boolean;
  /** Chords become curves again that lie within this of them; `null`: they stay. */
  readonly refit: number | null;
}

/** Strands, segments and the like from one call of `onStep` to the next: a millisecond or some. */
const STEP = 256;

/** Ends join within a layer: a centre line that touches an outline is no part of it. Across layers only what closes does. */
export function outlinesFrom(
  strands: readonly Strand[],
  { gap, lone, refit }: Healing,
  onStep: (phase: ReadPhase) => void,
): Outlines {
  const allowed = allowedPieces(strands);
  const during = (phase: ReadPhase): OnStep =>
    limited(
      allowed,
      oneIn(STEP, () => onStep(phase)),
    );
  const chaining = during("chaining");
  const chains: LayeredChain[] = [];
  const repairs: Repair[] = [];
  for (const [layer, indices] of byLayer(strands)) {
    const contours = indices.map((i) => (strands[i] as Strand).contour);
    const chained = chainStrands(contours, gap, chaining);
    for (const { contour, first, strands: used } of chained.chains)
      chains.push({
        layer,
        contour,
        first: indices[first] as number,
        ...commonType(used.map((i) => strands[indices[i] as number] as Strand)),
      });
    for (const { kind, at, size } of chained.mends)
      repairs.push({ kind, layer, at: pair(at), size });
  }
  chains.sort((a, b) => a.first - b.first);
  const across = closeAcrossLayers(chains, gap, lone, chaining);
  const smoothed = smoothChains(across.chains, refit, chaining);
  repairs.push(...across.repairs, ...smoothed.repairs);

  const closedChains = smoothed.chains.filter((c) => c.contour.closed);
  const kept = dropDoubles(
    closedChains.map((c) => c.contour),
    chaining,
  );
  for (const { index, at, size } of kept.dropped)
    repairs.push({
      kind: "double-dropped",
      layer: (closedChains[index] as LayeredChain).layer,
      at: pair(at),
      size,
    });
  const closed = kept.kept.map((i) => closedChains[i] as LayeredChain);
  const contours = closed.map((c) => c.contour);
  const conflicts = findConflicts(
    contours,
    MOST_CONFLICTS,
    during("crossings"),
  );
  // What lies on itself all along meets itself at its joints only, and is no crossing to see.
  for (const [i, c] of contours.entries())
    if (runsBack(c) && !conflicts.some(({ a, b }) => a === i && b === i))
      conflicts.push({
        kind: "crosses",
        a: i,
        b: i,
        at: pointAt(c.segments[0] as Segment, 0.5),
      });
  const all = conflicts.length < MOST_CONFLICTS;
  // Outlines that cross in thousands enclose nothing that could be told.
  const nestings = all ? nestContours(contours, during("nesting")) : [];
  const outlines = closed.map(
    ({ layer, contour, lineType }, i): Outline => ({
      id: `c${i + 1}`,
      layer,
      contour,
      ...(lineType !== undefined && { lineType }),
      depth: nestings[i]?.depth ?? 0,
      parent: nestings[i]?.parent ?? null,
    }),
  );
  const opening = during("chaining");
  const open = openChains(
    smoothed.chains.filter((c) => !c.contour.closed),
    gap,
    opening,
  );
  return {
    outlines,
    open,
    repairs,
    findings: [
      ...across.findings,
      ...smoothed.findings,
      ...conflictFindings(outlines, conflicts),
      ...(all ? [] : [tooManyConflicts()]),
      ...openFindings(open, outlines, gap, opening),
    ],
  };
}

function commonType(strands: readonly Strand[]): { lineType?: string } {
  const lineType = strands[0]?.lineType;
  return lineType !== undefined && strands.every((s) => s.lineType === lineType)
    ? { lineType }
    : {};
}

/** Every outline asks something of its neighbours; where all are neighbours of all, that has no end. */
function allowedPieces(strands: readonly Strand[]): number {
  return strands.reduce(
    (sum, { contour }) => sum + PIECES_PER_SEGMENT * contour.segments.length,
    LEAST_PIECES,
  );
}

function limited(allowed: number, onStep: OnStep): OnStep {
  let done = 0;
  return (pieces = 1) => {
    done += pieces;
    if (done > allowed)
      throw tooLarge(
        "has too many lines and outlines on top of one another or in one another to be told apart",
      );
    onStep(pieces);
  };
}

function byLayer(strands: readonly Strand[]): Map<string, number[]> {
  const layers = new Map<string, number[]>();
  strands.forEach(({ layer }, i) => {
    const indices = layers.get(layer);
    if (indices) indices.push(i);
    else layers.set(layer, [i]);
  });
  return layers;
}

/** So many outlines in conflict are looked for: every further one only costs time. */
const MOST_CONFLICTS = 10_000;

function tooManyConflicts(): Finding {
  return {
    code: "outline/crosses-another",
    severity: "error",
    message: `More than ${MOST_CONFLICTS} outlines cross or touch; the rest was not looked for, nor which outline lies in which. Leave out the layers that are not to be cut.`,
  };
}

/** So many faults of a kind and layer are told one by one. */
const MOST_TOLD = 10;

/** One by one for the first few of a layer or a pair of layers; the rest of them counted. */
function conflictFindings(
  outlines: readonly Outline[],
  conflicts: readonly Conflict[],
): Finding[] {
  const told: Finding[] = [];
  const groups = new Map<string, { first: Finding; count: number }>();
  for (const conflict of conflicts) {
    const finding = conflictFinding(outlines, conflict);
    const key = `${finding.code}\n${finding.layers?.join("\n")}`;
    const group = groups.get(key) ?? { first: finding, count: 0 };
    groups.set(key, group);
    if (++group.count <= MOST_TOLD) told.push(finding);
  }
  for (const { first, count } of groups.values())
    if (count > MOST_TOLD)
      told.push({
        ...first,
        message: `${count - MOST_TOLD} more outlines on ${first.layers?.map((l) => `layer ${nameText(l)}`).join(" and ")} ${VERBS[first.code]}; if nothing there is to be cut, leave the layer out or give it the role ignore.`,
      });
  return told;
}

const VERBS: Readonly<Record<string, string>> = {
  "outline/crosses-itself": "cross or touch themselves",
  "outline/crosses-another": "cross another",
  "outline/touches-another": "touch another",
};

function conflictFinding(
  outlines: readonly Outline[],
  { kind, a, b, at }: Conflict,
): Finding {
  const one = outlines[a] as Outline;
  const other = outlines[b] as Outline;
  const about = {
    where: pair(at),
    layers: [...new Set([one.layer, other.layer])],
  };
  const place = placeText(about.where);
  if (a === b)
    return {
      code: "outline/crosses-itself",
      severity: "error",
      message: `Outline ${one.id} on layer ${nameText(one.layer)} crosses or touches itself at ${place}; draw it so that it encloses one area.`,
      ...about,
    };
  const aside = [one, other]
    .flatMap(({ id, lineType }) => {
      const meaning = lineType === undefined ? null : likelyMeaning(lineType);
      return meaning === null
        ? []
        : `, or leave out ${id}, drawn with line type ${nameText(lineType ?? "")} as ${meaning} are, with --skip-line-type`;
    })
    .join("");
  const both = `Outlines ${one.id} (layer ${nameText(one.layer)}) and ${other.id} (layer ${nameText(other.layer)})`;
  return kind === "crosses"
    ? {
        code: "outline/crosses-another",
        severity: "error",
        message: `${both} cross at ${place}; move them apart, or draw them as one outline${aside}.`,
        ...about,
      }
    : {
        code: "outline/touches-another",
        severity: "warning",
        message: `${both} touch at ${place}: nothing is left between them there; move them apart${aside}.`,
        ...about,
      };
}
