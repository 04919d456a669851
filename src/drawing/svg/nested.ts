/** A drawing or symbol within the drawing: a place, a size and a viewBox of its own, and it shows no more than that. */
import { compose, translation } from "../placement.js";
import { type Window, windowOf } from "./clip.js";
import { unknownLength } from "./findings.js";
import { type Around, hidesOverflow } from "./inherit.js";
import { parseLength, userUnits, type Viewport } from "./length.js";
import type { SvgElement } from "./tree.js";
import { viewBoxOf, viewBoxPlacement } from "./viewport.js";

export interface NestedDrawing {
  /** What its content inherits. */
  readonly inner: Around;
  /** What of it is to be seen; `null` for all. */
  readonly shown: Window | null;
  readonly faults: readonly { readonly of: SvgElement; readonly why: string }[];
}

/**
 * @param sized the element that says its size before it does so itself: a `use`, or itself
 * @throws {InputError} `drawing/damaged` for a viewBox that is none
 */
export function nestedDrawing(
  e: SvgElement,
  around: Around,
  sized: SvgElement,
): NestedDrawing {
  const faults: { of: SvgElement; why: string }[] = [];
  const measure = (
    of: SvgElement,
    name: string,
    along: "x" | "y",
  ): number | null => {
    const text = of.attributes.get(name);
    if (text === undefined || text.trim() === "auto") return null;
    const length = parseLength(text);
    const value = length && userUnits(length, along, around.viewport);
    if (value === null) faults.push({ of, why: unknownLength(name, text) });
    return value;
  };
  const size = (name: string, along: "x" | "y"): number | null =>
    measure(sized, name, along) ?? measure(e, name, along);
  const at = {
    x: measure(e, "x", "x") ?? 0,
    y: measure(e, "y", "y") ?? 0,
    z: 0,
  };
  const viewport: Viewport = [
    size("width", "x") ?? around.viewport?.[0] ?? 0,
    size("height", "y") ?? around.viewport?.[1] ?? 0,
  ];
  const place = compose(around.place, translation(at));
  // Where the page has no size, none is known that would hide anything.
  const hides = hidesOverflow(e) && around.viewport !== null;
  const shown = hides ? windowOf(place, viewport) : null;
  const box = viewBoxOf(e);
  if (box === null)
    return { inner: { ...around, place, viewport }, shown, faults };
  const preserve = e.attributes.get("preserveAspectRatio");
  const inner: Around = {
    ...around,
    place: compose(place, viewBoxPlacement(box, viewport, preserve)),
    viewport: [box.width, box.height],
  };
  return { inner, shown, faults };
}
