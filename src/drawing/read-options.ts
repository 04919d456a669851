/** What a caller may ask of a reader of drawings, whatever the format. */
import type { Finding } from "../base/finding.js";
import { oneIn } from "../base/pace.js";
import { CHAIN_GAP, CURVE_FIT } from "../base/tolerance.js";
import type { Fit } from "../geometry/fit/fit-arcs.js";
import type { DrawingUnit } from "./units.js";

export interface ReadOptions {
  /** The drawing's unit, whatever the file says. */
  readonly unit?: DrawingUnit;
  /** The drawing's unit if the file says none. */
  readonly fallbackUnit?: DrawingUnit;
  /** Layers to read, all when missing; case does not matter. */
  readonly onlyLayers?: readonly string[];
  readonly skipLayers?: readonly string[];
  /** Line types that are not read; case does not matter. */
  readonly skipLineTypes?: readonly string[];
  /** Layers whose lines make outlines with those of no other layer: what is not to be cut. */
  readonly loneLayers?: readonly string[];
  /** Ends nearer than this (mm) are joined. */
  readonly chainGap?: number;
  /** Greatest distance (mm) of the lines and arcs from a drawn curve. */
  readonly curveFit?: number;
  /** Short chords become arcs and lines again that lie within this (mm) of their ends; they stay as drawn when missing. */
  readonly refit?: number;
  /** Told what is being done, every few milliseconds, or between passes over one long outline. What it throws ends the reading and comes out as it is. */
  readonly onStep?: (phase: ReadPhase) => void;
}

export type ReadPhase =
  | "tags"
  | "entities"
  | "chaining"
  | "crossings"
  | "nesting";

export interface SettledOptions {
  /** mm */
  readonly gap: number;
  readonly fit: Fit;
  /** mm */
  readonly refit: number | null;
  readonly wanted: (layer: string) => boolean;
  readonly skippedType: (lineType: string) => boolean;
  readonly lone: (layer: string) => boolean;
  readonly onStep: (phase: ReadPhase) => void;
}

/** Pairs of arcs from one call of `onStep` to the next: some milliseconds. */
const ARCS_PER_STEP = 64;

/** @throws {RangeError} when an option is no length */
export function settleOptions(options: ReadOptions): SettledOptions {
  const onStep = options.onStep ?? (() => {});
  return {
    gap: positive(options.chainGap ?? CHAIN_GAP, "chainGap"),
    fit: {
      tolerance: positive(options.curveFit ?? CURVE_FIT, "curveFit"),
      onStep: oneIn(ARCS_PER_STEP, () => onStep("entities")),
    },
    refit:
      options.refit === undefined ? null : positive(options.refit, "refit"),
    wanted: wantedLayers(options),
    skippedType: isAmong(options.skipLineTypes ?? []),
    lone: isAmong(options.loneLayers ?? []),
    onStep,
  };
}

function positive(value: number, name: string): number {
  if (!(value > 0) || !Number.isFinite(value))
    throw new RangeError(`${name} must be a length in mm, got ${value}`);
  return value;
}

function wantedLayers({
  onlyLayers,
  skipLayers,
}: ReadOptions): (layer: string) => boolean {
  const only = onlyLayers ? isAmong(onlyLayers) : () => true;
  const skip = isAmong(skipLayers ?? []);
  return (layer) => only(layer) && !skip(layer);
}

/** Case does not tell layers or line types apart. */
function isAmong(names: readonly string[]): (name: string) => boolean {
  const keys = new Set(names.map((n) => n.toUpperCase()));
  return (name) => keys.has(name.toUpperCase());
}

export function emptyFinding(skippedSome: boolean): Finding {
  return {
    code: "drawing/empty",
    severity: "error",
    message: skippedSome
      ? "There is nothing to cut in the drawing: all it holds was skipped. Check which layers are on and what the outlines are drawn as (lines, arcs, circles, polylines, ellipses, splines)."
      : "The drawing is empty: there is nothing to cut in it.",
  };
}
