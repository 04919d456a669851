/** The sheet a preview is drawn on: scale, place of the drawing, figures and text in its coordinates (mm of the drawing, y down). */
import { fixed, trimmed } from "../base/numbers.js";
import type { Box, Segment } from "../geometry/segment.js";
import type { Vec } from "../geometry/vec.js";
import { escapeMarkup } from "./text.js";

/** Fits between the margins of A4 and of US Letter; mm on paper. */
export const SHEET = { width: 190, margin: 5, drawingHeight: 140 } as const;

export interface Frame {
  /** mm on paper for one mm of the drawing. */
  readonly scale: number;
  /** "10:1", "1:2.5" */
  readonly scaleText: string;
  /** Width of the sheet and of what it holds, in drawing mm. */
  readonly width: number;
  /** The box that the drawing fills, on the sheet, in drawing mm. */
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
  /** The drawing's box and what of the sheet lies beside it, mm of the drawing, y up. */
  readonly window: Box;
  /** A length on paper, in drawing mm. */
  paper(mm: number): number;
  /** A point of the drawing as "x y" on the sheet. */
  at(p: Vec): string;
  x(value: number): number;
  y(value: number): number;
}

/** Steps of the scale: round enough to be read off, near enough to one another to fill the sheet. */
const STEPS = [1, 1.25, 1.5, 2, 2.5, 3, 4, 5, 6, 8];

/** The largest round scale at which `box` fits; `top` is the room for the title, mm on paper. */
export function frameFor(box: Box, top: number): Frame {
  const wide = Math.max(box.maxX - box.minX, 1e-3);
  const high = Math.max(box.maxY - box.minY, 1e-3);
  const room = SHEET.width - 2 * SHEET.margin;
  const { scale, text } = roundScale(
    Math.min(room / wide, SHEET.drawingHeight / high),
  );
  const paper = (mm: number): number => mm / scale;
  const width = paper(SHEET.width);
  const left = (width - wide) / 2;
  const x = (value: number): number => value - box.minX + left;
  const y = (value: number): number => box.maxY - value + paper(top);
  return {
    scale,
    scaleText: text,
    width,
    left,
    right: left + wide,
    top: paper(top),
    bottom: paper(top) + high,
    window: { ...box, minX: box.minX - left, maxX: box.maxX + left },
    paper,
    x,
    y,
    at: (p) => `${figure(x(p.x))} ${figure(y(p.y))}`,
  };
}

function roundScale(largest: number): {
  readonly scale: number;
  readonly text: string;
} {
  const enlarges = largest >= 1;
  const ratio = enlarges ? largest : 1 / largest;
  const power = 10 ** Math.floor(Math.log10(ratio));
  const steps = [...STEPS, 10].map((s) => s * power);
  if (enlarges) {
    const n = steps.filter((s) => s <= ratio).at(-1) ?? power;
    return { scale: n, text: `${trimmed(n, 2)}:1` };
  }
  const n = steps.find((s) => s >= ratio) ?? 10 * power;
  return { scale: 1 / n, text: `1:${trimmed(n, 2)}` };
}

/** Coordinates are written to 0.1 µm of the drawing, so that the picture can be measured. */
export function figure(value: number): string {
  return trimmed(value, 4);
}

/** A chain of segments as SVG path data; `closed` ends it with Z. */
export function pathData(
  frame: Frame,
  segments: readonly Segment[],
  closed = false,
): string {
  const first = segments[0];
  if (!first) return "";
  const body = segments.map((s) => {
    if (s.kind === "line") return `L${frame.at(s.end)}`;
    const r = figure(s.radius);
    const large = Math.abs(s.sweep) > Math.PI ? 1 : 0;
    // y points down on the sheet, so a counter-clockwise arc turns against SVG's positive angle.
    const turn = s.sweep > 0 ? 0 : 1;
    return `A${r} ${r} 0 ${large} ${turn} ${frame.at(s.end)}`;
  });
  return `M${frame.at(first.start)}${body.join("")}${closed ? "Z" : ""}`;
}

/** Straight lines through points. */
export function polyline(frame: Frame, points: readonly Vec[]): string {
  return points.map((p, i) => `${i === 0 ? "M" : "L"}${frame.at(p)}`).join("");
}

export interface TextLook {
  /** mm on paper. */
  readonly size: number;
  readonly anchor?: "start" | "middle" | "end";
  readonly bold?: boolean;
  readonly kind?: string;
}

/** A line of text at a place on the sheet (drawing mm, y down); `text` may hold anything. */
export function textAt(
  frame: Frame,
  x: number,
  y: number,
  text: string,
  look: TextLook,
): string {
  const attributes = [
    `x="${figure(x)}"`,
    `y="${figure(y)}"`,
    `font-size="${fixed(frame.paper(look.size), 4)}"`,
    ...(look.anchor && look.anchor !== "start"
      ? [`text-anchor="${look.anchor}"`]
      : []),
    ...(look.bold ? ['font-weight="bold"'] : []),
    ...(look.kind ? [`class="${look.kind}"`] : []),
  ];
  return `<text ${attributes.join(" ")}>${escapeMarkup(text)}</text>`;
}
