/** What a caller may ask of a reader of drawings, whatever the format. */
import type { Finding } from "../base/finding.js";
import { CHAIN_GAP, CURVE_FIT } from "../base/tolerance.js";
import type { DrawingUnit } from "./units.js";

export interface ReadOptions {
  /** The drawing's unit, whatever the file says. */
  readonly unit?: DrawingUnit;
  /** The drawing's unit if the file says none. */
  readonly fallbackUnit?: DrawingUnit;
  /** Layers to read, all when missing; case does not matter. */
  readonly onlyLayers?: readonly string[];
  readonly skipLayers?: readonly string[];
  /** Ends nearer than this (mm) are joined. */
  readonly chainGap?: number;
  /** Greatest distance (mm) of the lines and arcs from a drawn curve. */
  readonly curveFit?: number;
  /** Short chords become arcs and lines again that lie within this (mm) of their ends; they stay as drawn when missing. */
  readonly refit?: number;
  /**
   * Told what is being done, every few milliseconds while the file is taken in and placed, and between the phases
   * after. What it throws ends the reading and comes out as it is.
   */
  readonly onStep?: (phase: ReadPhase) => void;
}

export type ReadPhase = "tags" | "entities" | "outlines";

export interface SettledOptions {
  /** mm */
  readonly gap: number;
  /** mm */
  readonly fit: number;
  /** mm */
  readonly refit: number | null;
  readonly wanted: (layer: string) => boolean;
  readonly onStep: (phase: ReadPhase) => void;
}

/** @throws {RangeError} when an option is no length */
export function settleOptions(options: ReadOptions): SettledOptions {
  return {
    gap: positive(options.chainGap ?? CHAIN_GAP, "chainGap"),
    fit: positive(options.curveFit ?? CURVE_FIT, "curveFit"),
    refit:
      options.refit === undefined ? null : positive(options.refit, "refit"),
    wanted: wantedLayers(options),
    onStep: options.onStep ?? (() => {}),
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
  const keys = (names: readonly string[]) =>
    new Set(names.map((n) => n.toUpperCase()));
  const only = onlyLayers && keys(onlyLayers);
  const skip = keys(skipLayers ?? []);
  return (layer) => {
    const key = layer.toUpperCase();
    return (only === undefined || only.has(key)) && !skip.has(key);
  };
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
