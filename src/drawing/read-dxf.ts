/** A DXF file becomes a drawing: outlines of exact lines and arcs, mm, nested, and everything a person must know. */
import type { Finding } from "../base/finding.js";
import { CHAIN_GAP, CURVE_FIT_AIM } from "../base/tolerance.js";
import { EMPTY_BOX, segmentBox, unionBox } from "../geometry/segment.js";
import type { Drawing } from "./drawing.js";
import { parseDxf, type RawDxf } from "./dxf.js";
import { expand, type Strand } from "./expand.js";
import { outlinesFrom } from "./outlines.js";
import { IDENTITY, scaling } from "./placement.js";
import { decodeDrawing } from "./text.js";
import { type DrawingUnit, drawingUnits, scaleFinding } from "./units.js";

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
}

/**
 * @param source the bytes of the file, or its text
 * @throws {InputError} when the file cannot be used: no DXF, damaged, cut short, without a unit, or too large
 * @throws {RangeError} when an option is no length
 */
export function readDxf(
  source: Uint8Array | string,
  options: ReadOptions = {},
): Drawing {
  const chainGap = positive(options.chainGap ?? CHAIN_GAP, "chainGap");
  const fit = positive(options.curveFit ?? CURVE_FIT_AIM, "curveFit");
  const decoded = decodeDrawing(source);
  const dxf = parseDxf(decoded.tags);
  const { units, findings: unitFindings } = drawingUnits(
    dxf.header,
    options,
    () => drawnSize(dxf),
  );
  const k = units.toMm;
  const expanded = expand(dxf, dxf.layers, {
    root: scaling(k, k, k),
    fit,
    wanted: wantedLayers(options),
  });
  const { outlines, open, repairs, findings } = outlinesFrom(
    expanded.strands,
    chainGap,
  );
  const empty = outlines.length + open.length === 0;
  return {
    units,
    layers: expanded.layers,
    outlines,
    open,
    points: expanded.points,
    repairs: [...expanded.repairs, ...repairs],
    skipped: expanded.skipped,
    findings: [
      ...decoded.findings,
      ...dxf.findings,
      ...unitFindings,
      ...scaleFinding(dxf.header),
      ...expanded.findings,
      ...findings,
      ...(empty ? [emptyFinding(expanded.skipped.length > 0)] : []),
    ],
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

/** Width and height in drawing units, curves roughly. */
function drawnSize(dxf: RawDxf): readonly [number, number] {
  const { strands } = expand(dxf, [], {
    root: IDENTITY,
    fit: 1,
    wanted: () => true,
  });
  const box = strands
    .flatMap((s: Strand) => s.contour.segments)
    .reduce((sum, s) => unionBox(sum, segmentBox(s)), EMPTY_BOX);
  return strands.length === 0
    ? [0, 0]
    : [box.maxX - box.minX, box.maxY - box.minY];
}

function emptyFinding(skippedSome: boolean): Finding {
  return {
    code: "drawing/empty",
    severity: "error",
    message: skippedSome
      ? "There is nothing to cut in the drawing: all it holds was skipped. Check which layers are on and what the outlines are drawn as (lines, arcs, circles, polylines, ellipses, splines)."
      : "The drawing is empty: there is nothing to cut in its model space.",
  };
}
