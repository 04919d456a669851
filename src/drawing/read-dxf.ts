/** A DXF file becomes a drawing: outlines of exact lines and arcs, mm, nested, and everything a person must know. */
import type { OnStep } from "../base/pace.js";
import { EMPTY_BOX, segmentBox, unionBox } from "../geometry/segment.js";
import type { Drawing } from "./drawing.js";
import { parseDxf, type RawDxf } from "./dxf/dxf.js";
import { expand, type Strand } from "./dxf/expand.js";
import { decodeDrawing } from "./dxf/text.js";
import { outlinesFrom } from "./outlines.js";
import { IDENTITY, scaling } from "./placement.js";
import {
  emptyFinding,
  type ReadOptions,
  settleOptions,
} from "./read-options.js";
import { drawingUnits, scaleFinding } from "./units.js";

/**
 * @param source the bytes of the file, or its text
 * @throws {InputError} when the file cannot be used: no DXF, damaged, cut short, without a unit, or too large
 * @throws {RangeError} when an option is no length
 */
export function readDxf(
  source: Uint8Array | string,
  options: ReadOptions = {},
): Drawing {
  const settled = settleOptions(options);
  const { gap, fit, lone, refit, wanted, skippedType, onStep } = settled;
  const decoded = decodeDrawing(source);
  const dxf = parseDxf(decoded.tags, () => onStep("tags"));
  const { units, findings: unitFindings } = drawingUnits(
    dxf.header,
    options,
    () => drawnSize(dxf, () => onStep("entities")),
  );
  const k = units.toMm;
  const expanded = expand(dxf, dxf.layers, {
    root: scaling(k, k, k),
    fit,
    wanted,
    skippedType,
    onStep: () => onStep("entities"),
  });
  const { outlines, open, repairs, findings } = outlinesFrom(
    expanded.strands,
    { gap, lone, refit },
    onStep,
  );
  const empty = outlines.length + open.length === 0;
  return {
    units,
    layers: expanded.layers,
    lineTypes: expanded.lineTypes,
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

/** Width and height in drawing units, curves roughly. */
function drawnSize(dxf: RawDxf, onStep: OnStep): readonly [number, number] {
  const { strands } = expand(dxf, [], {
    root: IDENTITY,
    fit: { tolerance: 1, onStep },
    wanted: () => true,
    skippedType: () => false,
    onStep,
  });
  const box = strands
    .flatMap((s: Strand) => s.contour.segments)
    .reduce((sum, s) => unionBox(sum, segmentBox(s)), EMPTY_BOX);
  return strands.length === 0
    ? [0, 0]
    : [box.maxX - box.minX, box.maxY - box.minY];
}
