/** Outlines that were flattened: told of, and on request made of arcs again. */
import type { Finding } from "../base/finding.js";
import { nameText } from "../base/message.js";
import { placeText, trimmed } from "../base/numbers.js";
import type { OnStep } from "../base/pace.js";
import { FLATTENED } from "../base/tolerance.js";
import { flattenedChords } from "../geometry/fit/flattened.js";
import { refitChords } from "../geometry/fit/refit.js";
import { tidyOpen, tidyOutline } from "../geometry/tidy.js";
import { pair } from "../geometry/vec.js";
import type { Repair } from "./drawing.js";
import type { LayeredChain } from "./outlines.js";

export interface Smoothed {
  readonly chains: readonly LayeredChain[];
  readonly repairs: readonly Repair[];
  readonly findings: readonly Finding[];
}

/** With `refit` (mm) chords become curves within that; with `null` they stay, and a hint tells of them. */
export function smoothChains(
  chains: readonly LayeredChain[],
  refit: number | null,
  onStep: OnStep,
): Smoothed {
  if (refit === null)
    return { chains, repairs: [], findings: flattenedFindings(chains, onStep) };
  const repairs: Repair[] = [];
  const replaced = new Map<
    string,
    { chords: number; segments: number; worst: Repair }
  >();
  const smooth = chains.map((chain): LayeredChain => {
    const { layer, contour } = chain;
    onStep(contour.segments.length);
    const refitted = refitChords(contour, refit, onStep);
    if (refitted === null) return chain;
    const { chords, at, size } = refitted;
    const repair: Repair = {
      kind: "chords-refitted",
      layer,
      at: pair(at),
      size,
    };
    repairs.push(repair);
    const tidy = contour.closed ? tidyOutline : tidyOpen;
    const smoothed = tidy(refitted.contour);
    const kept = contour.segments.length - chords;
    const before = replaced.get(layer);
    replaced.set(layer, {
      chords: (before?.chords ?? 0) + chords,
      segments:
        (before?.segments ?? 0) + Math.max(1, smoothed.segments.length - kept),
      worst: before && before.worst.size >= size ? before.worst : repair,
    });
    return { ...chain, contour: smoothed };
  });
  const findings = [...replaced].map(
    ([layer, { chords, segments, worst }]): Finding => ({
      code: "outline/refitted",
      severity: "note",
      message: `${chords} short chords on layer ${nameText(layer)} became ${segments} arcs and lines, as drawing.refit asks; they lie at most ${trimmed(worst.size, 5)} mm from what was drawn, at ${placeText(worst.at)}.`,
      where: worst.at,
      layers: [layer],
    }),
  );
  return { chains: smooth, repairs, findings };
}

/** So many chords on a layer are worth a word. */
const FEWEST_TOLD = 24;

function flattenedFindings(
  chains: readonly LayeredChain[],
  onStep: OnStep,
): Finding[] {
  const layers = new Map<string, { chords: number; sagitta: number }>();
  for (const { layer, contour } of chains) {
    onStep(contour.segments.length);
    const { chords, sagitta } = flattenedChords(contour, FLATTENED);
    const sum = layers.get(layer) ?? { chords: 0, sagitta: 0 };
    layers.set(layer, {
      chords: sum.chords + chords,
      sagitta: Math.max(sum.sagitta, sagitta),
    });
  }
  return [...layers].flatMap(([layer, { chords, sagitta }]): Finding[] => {
    if (chords < FEWEST_TOLD) return [];
    const micrometres = Math.max(1, Math.ceil(sagitta * 1000));
    return [
      {
        code: "outline/flattened",
        severity: "note",
        message: `${chords} short chords on layer ${nameText(layer)} look like curves that were flattened, up to ${trimmed(sagitta, 4)} mm inside them: the wire would cut them as facets. drawing.refit in the job (here ${trimmed(micrometres / 1000, 3)} mm) makes tangent arcs of them; better still, export the curves.`,
        layers: [layer],
      },
    ];
  });
}
