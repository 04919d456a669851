/** A drawing of any kind that is read here; what a file is, its content says, not its name. */
import type { Drawing } from "./drawing.js";
import { readDxf } from "./read-dxf.js";
import type { ReadOptions } from "./read-options.js";
import { readSvg } from "./read-svg.js";
import { looksLikeSvg } from "./svg/text.js";

/**
 * @param source the bytes of the file, or its text
 * @throws {InputError} when the file cannot be used: no drawing, damaged, cut short, without a unit, or too large
 */
export function readDrawing(
  source: Uint8Array | string,
  options: ReadOptions = {},
): Drawing {
  return looksLikeSvg(source)
    ? readSvg(source, options)
    : readDxf(source, options);
}
