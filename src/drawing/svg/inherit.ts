/** What an element of an SVG takes from those around it: its place, its layer, and whether it is to be seen. */
import { compose, type Placement } from "../placement.js";
import type { Viewport } from "./length.js";
import { parseTransform } from "./transform.js";
import type { SvgElement } from "./tree.js";

export interface Around {
  /** User units to mm, y upwards. */
  readonly place: Placement;
  /** Size, in user units, that percentages are of. */
  readonly viewport: Viewport | null;
  readonly layer: string;
  /** Why nothing here is shown, or `null`. */
  readonly hidden: string | null;
  /** `visibility`, which an inner element may switch on again. */
  readonly visible: boolean;
  /** Elements being repeated, the outermost first. */
  readonly uses: readonly SvgElement[];
}

/** @returns a text that says why, when it cannot be told where the element lies. */
export function inherit(e: SvgElement, outer: Around): Around | string {
  const text = e.attributes.get("transform") ?? "";
  const moved = movedBy(e, text !== "");
  if (moved !== null)
    return `its ${moved} moves it; give it a transform attribute that says it all instead`;
  const own = parseTransform(text);
  if (own === null) return "its transform is no list of transforms";
  const visibility = property(e, "visibility");
  return {
    ...outer,
    place: text === "" ? outer.place : compose(outer.place, own),
    hidden:
      property(e, "display") === "none" ? "it is not displayed" : outer.hidden,
    visible:
      visibility === null || visibility === "inherit"
        ? outer.visible
        : visibility === "visible",
  };
}

/** What CSS moves things by, beside the transform attribute. */
const MOVING = ["transform", "translate", "rotate", "scale", "offset-path"];

/** The first property that would move the element otherwise than is read, or `null`. */
function movedBy(e: SvgElement, transformed: boolean): string | null {
  const moving = MOVING.find((name) => {
    const value = property(e, name, "style");
    return value !== null && value !== "none";
  });
  if (moving !== undefined) return `style (${moving})`;
  const origin = property(e, "transform-origin") ?? "0";
  const turnsAtZero = /^(?:0[.0]*(?:px)?\s*)+$/.test(origin);
  return transformed && !turnsAtZero ? "transform-origin" : null;
}

/** Whether only a part of it is to be seen. */
export function isClipped(e: SvgElement): boolean {
  return ["clip-path", "mask"].some(
    (name) => (property(e, name) ?? "none") !== "none",
  );
}

/** Whether a drawing or symbol within the drawing hides what reaches out of it, as they do unless told otherwise. */
export function hidesOverflow(e: SvgElement): boolean {
  return !["visible", "auto"].includes(property(e, "overflow") ?? "hidden");
}

/** Sizes and places that a style may set too, and that then rule (SVG 2, 4.2: geometry properties). */
const SIZES = ["x", "y", "width", "height", "cx", "cy", "r", "rx", "ry", "d"];

/** The first size or place of the element that its style sets, or `null`. */
export function styledSize(e: SvgElement): string | null {
  return SIZES.find((name) => property(e, name, "style") !== null) ?? null;
}

export function hiddenBecause({ hidden, visible }: Around): string | null {
  return hidden ?? (visible ? null : "it is drawn invisible");
}

/** A group that calls itself a layer names the layer of what is in it; else the outermost group that has a name does. */
export function layerName({ attributes }: SvgElement, outer: string): string {
  const name = attributes.get("label") ?? attributes.get("id");
  const names = attributes.get("groupmode") === "layer" || outer === "0";
  return names ? (name ?? outer) : outer;
}

/** A property's value by the style attribute, which rules, or by an attribute of its own. */
function property(
  { attributes }: SvgElement,
  name: string,
  only?: "style",
): string | null {
  const style = attributes.get("style") ?? "";
  for (const declaration of style.split(";")) {
    const colon = declaration.indexOf(":");
    if (colon > 0 && declaration.slice(0, colon).trim() === name)
      return declaration
        .slice(colon + 1)
        .replace("!important", "")
        .trim();
  }
  return only === "style" ? null : (attributes.get(name)?.trim() ?? null);
}
