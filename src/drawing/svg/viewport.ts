/** What one user unit is: the viewBox, how it fills its viewport, and the size on paper of the whole drawing. */
import { type Finding, InputError } from "../../base/finding.js";
import { trimmed } from "../../base/numbers.js";
import { MM_PER_PX } from "../../base/units.js";
import { damaged, quote } from "../damage.js";
import type { DrawingUnits } from "../drawing.js";
import { MAX_SPAN } from "../limits.js";
import { compose, type Placement, scaling, translation } from "../placement.js";
import {
  type DrawingUnit,
  namedUnit,
  type UnitChoice,
  unitOverridden,
} from "../units.js";
import {
  type Length,
  parseLength,
  parseNumbers,
  physical,
  userUnits,
  type Viewport,
} from "./length.js";
import { matrix } from "./transform.js";
import type { SvgElement } from "./tree.js";

interface ViewBox {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** `null` when there is none. @throws {InputError} `drawing/damaged` when it is not four numbers that span something. */
export function viewBoxOf({ attributes, line }: SvgElement): ViewBox | null {
  const text = attributes.get("viewBox");
  if (text === undefined) return null;
  const [x, y, width = 0, height = 0, ...more] = parseNumbers(text) ?? [];
  if (
    x === undefined ||
    y === undefined ||
    more.length > 0 ||
    ![width, height].every((n) => n >= 1 / MAX_SPAN && n <= MAX_SPAN)
  )
    throw damaged(
      line,
      `the viewBox ${quote(text)} is not four numbers, the last two above 0`,
    );
  return { x, y, width, height };
}

/**
 * How a viewBox comes to lie in a viewport of the given size at the origin (SVG 1.1, 7.8): both scales the smaller
 * (`meet`, the default) or the larger (`slice`) of the two, or each its own (`none`).
 */
export function viewBoxPlacement(
  box: ViewBox,
  [width, height]: Viewport,
  preserve: string | undefined,
): Placement {
  const [align = "xMidYMid", rule] = (preserve ?? "")
    .trim()
    .split(/\s+/)
    .filter((word) => word !== "" && word !== "defer");
  let sx = width / box.width;
  let sy = height / box.height;
  if (align !== "none") {
    sx = rule === "slice" ? Math.max(sx, sy) : Math.min(sx, sy);
    sy = sx;
  }
  const share = (name: "x" | "Y"): number =>
    align.includes(`${name}Min`) ? 0 : align.includes(`${name}Max`) ? 1 : 0.5;
  const left = (width - sx * box.width) * share("x");
  const top = (height - sy * box.height) * share("Y");
  return matrix(sx, 0, 0, sy, left - sx * box.x, top - sy * box.y);
}

export interface Page {
  /** User units to mm: the origin at the page's lower left, y upwards. */
  readonly place: Placement;
  /** In user units; `null` when the page has no size. */
  readonly viewport: Viewport | null;
  readonly units: DrawingUnits;
  readonly findings: readonly Finding[];
}

/**
 * @param size width and height of what is drawn, in user units, for the guess offered; asked only when needed
 * @throws {InputError} `drawing/no-unit` when neither the drawing nor the caller says how large it is
 */
export function pageOf(
  root: SvgElement,
  choice: UnitChoice,
  size: () => Viewport,
): Page {
  const box = viewBoxOf(root);
  const width = rootLength(root, "width");
  const height = rootLength(root, "height");
  const viewport = box
    ? ([box.width, box.height] as const)
    : pixels(width, height);
  const paper = onPaper(width, height, box);
  const drawn = paper && placeOnPaper(root, box, paper);
  if (drawn && choice.unit === undefined) {
    const units = drawnUnits(drawn.u.x, root);
    const findings = paperFindings(drawn, width ?? height, box);
    return { place: upright(drawn, paper[1]), viewport, units, findings };
  }
  const unit = choice.unit ?? choice.fallbackUnit;
  if (unit === undefined) throw noSize(size());
  const source =
    choice.unit === undefined
      ? "the caller, as the drawing names none"
      : "the caller";
  const units = namedUnit(unit, source);
  const k = units.toMm;
  const other = drawn && Math.abs(drawn.u.x / k - 1) > SAME_SCALE;
  const inUnits = matrix(k, 0, 0, k, -k * (box?.x ?? 0), -k * (box?.y ?? 0));
  return {
    place: upright(inUnits, k * (viewport?.[1] ?? 0)),
    viewport,
    units,
    findings: other
      ? [unitOverridden(unit, drawnUnits(drawn.u.x, root).drawing)]
      : [],
  };
}

/** Scales that differ by less, relative, are the same: widths are written with seven digits or more. */
const SAME_SCALE = 1e-6;

/** y turned upwards, about the lower edge of a page of that height. */
function upright(place: Placement, height: number): Placement {
  const turnedOver = compose(scaling(1, -1, 1), place);
  return compose(translation({ x: 0, y: height, z: 0 }), turnedOver);
}

/** Shares and "auto" say nothing of a size. */
function rootLength(
  { attributes, line }: SvgElement,
  name: string,
): Length | null {
  const text = attributes.get(name);
  if (text === undefined || text.trim() === "auto") return null;
  const length = parseLength(text);
  if (length === null || length.value < 0)
    throw damaged(
      line,
      `the ${name} of the drawing, ${quote(text)}, is no length`,
    );
  return length.unit === "%" || length.value === 0 ? null : length;
}

function pixels(width: Length | null, height: Length | null): Viewport | null {
  const w = width && userUnits(width, "x", null);
  const h = height && userUnits(height, "y", null);
  return w === null || h === null ? null : [w, h];
}

/** Width and height in mm; the one that is not said follows from the viewBox. */
function onPaper(
  width: Length | null,
  height: Length | null,
  box: ViewBox | null,
): Viewport | null {
  const w = width && physical(width);
  const h = height && physical(height);
  if (w === null && h === null) return null;
  const ratio = box ? box.height / box.width : 0;
  return [w ?? (h as number) / (ratio || 1), h ?? (w as number) * ratio];
}

function placeOnPaper(
  { attributes }: SvgElement,
  box: ViewBox | null,
  paper: Viewport,
): Placement {
  if (box === null) return scaling(MM_PER_PX, MM_PER_PX, 1);
  return viewBoxPlacement(box, paper, attributes.get("preserveAspectRatio"));
}

/** The unit by its name where it is one, and what in the file says so. */
function drawnUnits(toMm: number, { attributes }: SvgElement): DrawingUnits {
  const named = (["mm", "cm", "in", "px"] as const).find(
    (unit) => Math.abs(namedUnit(unit, "").toMm / toMm - 1) <= SAME_SCALE,
  );
  const said = ["width", "height", "viewBox"].flatMap((name) => {
    const text = attributes.get(name);
    return text === undefined ? [] : [`${name} ${text.trim().slice(0, 40)}`];
  });
  return {
    drawing: named ?? "user units",
    toMm,
    source: said.join(", "),
  };
}

function paperFindings(
  { u, v }: Placement,
  length: Length | null,
  box: ViewBox | null,
): Finding[] {
  const findings: Finding[] = [];
  const warn = (code: string, message: string) =>
    findings.push({ code, severity: "warning", message });
  if (Math.abs(u.x / v.y - 1) > SAME_SCALE)
    warn(
      "drawing/uneven-scale",
      `The drawing is stretched: one unit is ${trimmed(u.x, 6)} mm across and ${trimmed(v.y, 6)} mm up, as its width, height and viewBox say with preserveAspectRatio none; check the size.`,
    );
  if (box === null)
    warn(
      "drawing/px-unit",
      "The drawing has a width but no viewBox, so one unit in it is 1/96 in (CSS); if it is drawn in mm or in, say so with --units, and check the size.",
    );
  else if (length?.unit === "px")
    warn(
      "drawing/px-unit",
      "The size of the drawing is given in px, 1/96 in each (CSS), but some programs mean another size by it; check the size, or say with --units what one unit is.",
    );
  return findings;
}

/** Parts for the wire are rarely over 300 mm or 12 in across; screens count in px. */
const LARGEST_LIKELY_IN_INCHES = 12;
const LARGEST_LIKELY_IN_MM = 300;

function noSize([w, h]: Viewport): InputError {
  const text = (unit: DrawingUnit): string => {
    const k = namedUnit(unit, "").toMm;
    return `--units ${unit} (the drawing is then ${trimmed(w * k, 3)} × ${trimmed(h * k, 3)} mm)`;
  };
  const span = Math.max(w, h);
  const likely =
    span <= LARGEST_LIKELY_IN_INCHES
      ? "in"
      : span <= LARGEST_LIKELY_IN_MM
        ? "mm"
        : "px";
  return new InputError(
    "drawing/no-unit",
    `The SVG drawing does not say how large it is: its width and height have no unit. Say what one unit in it is with ${text("mm")}, ${text("in")} or ${text("px")}; by its size, ${likely} is the likelier.`,
  );
}
