/** An SVG file becomes a drawing: outlines of exact lines and arcs, mm, y upwards, nested; styles do not matter. */
import type { OnStep } from "../base/pace.js";
import { contourBox } from "../geometry/contour.js";
import { EMPTY_BOX, unionBox } from "../geometry/segment.js";
import type { Drawing } from "./drawing.js";
import { outlinesFrom } from "./outlines.js";
import { IDENTITY } from "./placement.js";
import {
  emptyFinding,
  type ReadOptions,
  settleOptions,
} from "./read-options.js";
import type { Viewport } from "./svg/length.js";
import { decodeSvg } from "./svg/text.js";
import { parseSvg, type SvgElement } from "./svg/tree.js";
import { pageOf } from "./svg/viewport.js";
import { walkSvg } from "./svg/walk.js";

/**
 * @param source the bytes of the file, or its text
 * @throws {InputError} when the file cannot be used: no SVG, damaged, cut short, without a size, or too large
 * @throws {RangeError} when an option is no length
 */
export function readSvg(
  source: Uint8Array | string,
  options: ReadOptions = {},
): Drawing {
  const { gap, fit, lone, refit, wanted, onStep } = settleOptions(options);
  const root = parseSvg(decodeSvg(source), () => onStep("tags"));
  const entities = (): void => onStep("entities");
  const page = pageOf(root, options, () => drawnSize(root, entities));
  const { place, viewport } = page;
  const walked = walkSvg(root, {
    place,
    viewport,
    fit,
    gap,
    wanted,
    onStep: entities,
  });
  const { outlines, open, repairs, findings } = outlinesFrom(
    walked.strands,
    { gap, lone, refit },
    onStep,
  );
  const empty = outlines.length + open.length === 0;
  return {
    units: page.units,
    layers: walked.layers,
    lineTypes: [],
    outlines,
    open,
    points: [],
    repairs: [...walked.repairs, ...repairs],
    skipped: walked.skipped,
    findings: [
      ...page.findings,
      ...walked.findings,
      ...findings,
      ...(empty ? [emptyFinding(walked.skipped.length > 0)] : []),
    ],
  };
}

/** Width and height in user units, curves roughly. */
function drawnSize(root: SvgElement, onStep: OnStep): Viewport {
  const { strands } = walkSvg(root, {
    place: IDENTITY,
    viewport: null,
    fit: { tolerance: 1, onStep },
    gap: 1,
    wanted: () => true,
    onStep,
  });
  if (strands.length === 0) return [0, 0];
  const box = strands
    .map(({ contour }) => contourBox(contour))
    .reduce(unionBox, EMPTY_BOX);
  return [box.maxX - box.minX, box.maxY - box.minY];
}
