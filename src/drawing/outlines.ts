/** Strands by layer become outlines: chained, tidy, nested, with everything that is wrong with them told. */
import Flatbush from "flatbush";
import type { Finding } from "../base/finding.js";
import { placeText, trimmed } from "../base/numbers.js";
import { chainStrands } from "../geometry/chain.js";
import type { Contour } from "../geometry/contour.js";
import { type Conflict, findConflicts } from "../geometry/crossings.js";
import { dropDoubles } from "../geometry/doubles.js";
import { nestContours } from "../geometry/nest.js";
import type { Segment } from "../geometry/segment.js";
import { distance, pair, type Vec } from "../geometry/vec.js";
import type { OpenChain, Outline, Repair } from "./drawing.js";
import type { Strand } from "./expand.js";

export interface Outlines {
  readonly outlines: readonly Outline[];
  readonly open: readonly OpenChain[];
  readonly repairs: readonly Repair[];
  readonly findings: readonly Finding[];
}

type Place = readonly [number, number];

interface LayeredChain {
  readonly layer: string;
  readonly contour: Contour;
  readonly first: number;
}

/**
 * Ends join within a layer only: a centre line that touches an outline is no part of it. `gap` in mm; `onStep` is
 * called between layers and phases.
 */
export function outlinesFrom(
  strands: readonly Strand[],
  gap: number,
  onStep: () => void,
): Outlines {
  const chains: LayeredChain[] = [];
  const repairs: Repair[] = [];
  for (const [layer, indices] of byLayer(strands)) {
    onStep();
    const contours = indices.map((i) => (strands[i] as Strand).contour);
    const chained = chainStrands(contours, gap);
    for (const { contour, first } of chained.chains)
      chains.push({ layer, contour, first: indices[first] as number });
    for (const { kind, at, size } of chained.mends)
      repairs.push({ kind, layer, at: pair(at), size });
  }
  chains.sort((a, b) => a.first - b.first);

  const closedChains = chains.filter((c) => c.contour.closed);
  const kept = dropDoubles(closedChains.map((c) => c.contour));
  for (const { index, at, size } of kept.dropped)
    repairs.push({
      kind: "double-dropped",
      layer: (closedChains[index] as LayeredChain).layer,
      at: pair(at),
      size,
    });
  const closed = kept.kept.map((i) => closedChains[i] as LayeredChain);
  onStep();
  const contours = closed.map((c) => c.contour);
  const conflicts = findConflicts(contours, MOST_CONFLICTS);
  const all = conflicts.length < MOST_CONFLICTS;
  onStep();
  // Outlines that cross in thousands enclose nothing that could be told.
  const nestings = all ? nestContours(contours) : [];
  const outlines = closed.map(
    ({ layer, contour }, i): Outline => ({
      id: `c${i + 1}`,
      layer,
      contour,
      depth: nestings[i]?.depth ?? 0,
      parent: nestings[i]?.parent ?? null,
    }),
  );
  const open = chains
    .filter((c) => !c.contour.closed)
    .map(
      ({ layer, contour }): OpenChain => ({
        layer,
        contour,
        gap: distance(...endsOf(contour)),
      }),
    );
  return {
    outlines,
    open,
    repairs,
    findings: [
      ...conflictFindings(outlines, conflicts),
      ...(all ? [] : [tooManyConflicts()]),
      ...openFindings(open, gap),
    ],
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

/** For each open chain the other layer whose open end lies at one of its own, if there is one. */
function neighbourLayers(
  open: readonly OpenChain[],
  gap: number,
): (string | null)[] {
  const ends = open.map(({ contour }) => endsOf(contour));
  if (open.length === 0) return [];
  const index = new Flatbush(2 * open.length);
  for (const { x, y } of ends.flat()) index.add(x, y, x, y);
  index.finish();
  return open.map(({ layer }, i) => {
    const near = (ends[i] as readonly Vec[]).flatMap(({ x, y }) =>
      index.search(x - gap, y - gap, x + gap, y + gap).sort((a, b) => a - b),
    );
    const other = near.find((e) => open[e >> 1]?.layer !== layer);
    return other === undefined ? null : (open[other >> 1] as OpenChain).layer;
  });
}

/** So many open outlines of a layer are told one by one; a sheet full of centre lines has hundreds. */
const MOST_TOLD = 10;

function openFindings(open: readonly OpenChain[], gap: number): Finding[] {
  const neighbours = neighbourLayers(open, gap);
  const counts = new Map<string, number>();
  const findings: Finding[] = [];
  open.forEach((chain, i) => {
    const count = (counts.get(chain.layer) ?? 0) + 1;
    counts.set(chain.layer, count);
    if (count <= MOST_TOLD)
      findings.push(openFinding(chain, gap, neighbours[i] ?? null));
  });
  for (const [layer, count] of counts)
    if (count > MOST_TOLD)
      findings.push({
        code: "outline/not-closed",
        severity: "warning",
        message: `${count - MOST_TOLD} more outlines on layer ${layer} are open; if nothing on it is to be cut, skip the layer or give it the role ignore.`,
      });
  return findings;
}

function endsOf({ segments }: Contour): readonly [Vec, Vec] {
  return [(segments[0] as Segment).start, (segments.at(-1) as Segment).end];
}

function openFinding(
  { layer, contour, gap }: OpenChain,
  chainGap: number,
  neighbour: string | null,
): Finding {
  const [start, end] = endsOf(contour).map(pair) as [Place, Place];
  const advice =
    neighbour === null
      ? `close it in the drawing (ends up to ${trimmed(chainGap, 4)} mm apart are joined)`
      : `its end meets an outline on layer ${neighbour}, but only ends on one layer are joined: draw both on the same layer`;
  return {
    code: "outline/not-closed",
    severity: "error",
    message: `An outline on layer ${layer} is open by ${trimmed(gap, 4)} mm, from ${placeText(start)} to ${placeText(end)}; ${advice}, or give its layer the role ignore.`,
    where: start,
    layers: [layer],
  };
}

/** So many outlines in conflict are looked for: every further one only costs time. */
const MOST_CONFLICTS = 1000;

function tooManyConflicts(): Finding {
  return {
    code: "outline/crosses-another",
    severity: "error",
    message: `More than ${MOST_CONFLICTS} outlines cross or touch; the rest was not looked for, nor which outline lies in which. Skip the layers that are not to be cut.`,
  };
}

function conflictFindings(
  outlines: readonly Outline[],
  conflicts: readonly Conflict[],
): Finding[] {
  return conflicts.map(({ kind, a, b, at }) => {
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
        message: `Outline ${one.id} on layer ${one.layer} crosses or touches itself at ${place}; draw it so that it encloses one area.`,
        ...about,
      };
    const both = `Outlines ${one.id} (layer ${one.layer}) and ${other.id} (layer ${other.layer})`;
    return kind === "crosses"
      ? {
          code: "outline/crosses-another",
          severity: "error",
          message: `${both} cross at ${place}; move them apart, or draw them as one outline.`,
          ...about,
        }
      : {
          code: "outline/touches-another",
          severity: "warning",
          message: `${both} touch at ${place}: nothing is left between them there; move them apart.`,
          ...about,
        };
  });
}
