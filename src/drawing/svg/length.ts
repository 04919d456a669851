/** Lengths and lists of numbers in SVG attributes. A px is 1/96 in (CSS Values 3), and the user unit of a shape. */
import { MM_PER_INCH, MM_PER_PX } from "../../base/units.js";

/** Absolute units of CSS Values 3, mm. */
const UNITS: ReadonlyMap<string, number> = new Map([
  ["mm", 1],
  ["cm", 10],
  ["q", 0.25],
  ["in", MM_PER_INCH],
  ["pt", MM_PER_INCH / 72],
  ["pc", MM_PER_INCH / 6],
  ["px", MM_PER_PX],
]);

const NUMBER = "[+-]?(?:\\d+(?:\\.\\d*)?|\\.\\d+)(?:[eE][+-]?\\d+)?";
const LENGTH = new RegExp(`^\\s*(${NUMBER})\\s*(%|[a-zA-Z]*)\\s*$`);

/** A length as it is written: `unit` in lower case, "" when there is none, "%" for a share. */
export interface Length {
  readonly value: number;
  readonly unit: string;
}

/** `null` when the text is no length. */
export function parseLength(text: string): Length | null {
  const found = LENGTH.exec(text);
  if (found === null) return null;
  const value = Number(found[1]);
  if (!Number.isFinite(value)) return null;
  return { value, unit: (found[2] as string).toLowerCase() };
}

/** mm, when the unit is one that has a size by itself; `null` for none, for shares and for font sizes. */
export function physical({ value, unit }: Length): number | null {
  const mm = UNITS.get(unit);
  return mm === undefined ? null : value * mm;
}

/** Width and height, in user units, that percentages are of. */
export type Viewport = readonly [width: number, height: number];

/** Which of the viewport's measures a percentage is of; the diagonal's is divided by √2 (SVG 2, 8.9). */
export type Along = "x" | "y" | "diagonal";

/** User units; `null` when the length hangs on a font, or on a viewport that is not known. */
export function userUnits(
  length: Length,
  along: Along,
  viewport: Viewport | null,
): number | null {
  const { value, unit } = length;
  if (unit === "") return value;
  if (unit === "%") {
    if (viewport === null) return null;
    const [w, h] = viewport;
    const whole =
      along === "x" ? w : along === "y" ? h : Math.hypot(w, h) / Math.SQRT2;
    return (value / 100) * whole;
  }
  const mm = physical(length);
  return mm === null ? null : mm / MM_PER_PX;
}

/** Numbers parted by spaces or a comma, or by nothing but a sign or a point; `null` when anything else is among them. */
export function parseNumbers(text: string): number[] | null {
  const next = new RegExp(`\\s*,?\\s*(${NUMBER})`, "y");
  const end = text.trimEnd().length;
  const numbers: number[] = [];
  while (next.lastIndex < end) {
    const value = Number(next.exec(text)?.[1]);
    if (!Number.isFinite(value)) return null;
    numbers.push(value);
  }
  return numbers;
}
