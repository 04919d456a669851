/** What a kind of spoiling is, and what several kinds are made of. */
import { type Draw, type Lines, numberIn } from "./lines.js";

/** Changes the lines at a place drawn by lot, or says that there is none. */
export interface Kind {
  readonly name: string;
  /** Codes that call the fault itself by its name, whatever it does to the work. */
  readonly names?: readonly string[];
  readonly spoil: (lines: Lines, draw: Draw) => Lines | null;
}

/** Changes one line that matches. */
export const onLine =
  (
    pattern: RegExp,
    change: (line: string, draw: Draw) => string | readonly string[] | null,
  ) =>
  (lines: Lines, draw: Draw): Lines | null => {
    const k = draw.index(lines, (l) => pattern.test(l));
    if (k === null) return null;
    const changed = change(lines[k] as string, draw);
    if (changed === null || changed === lines[k]) return null;
    return lines.toSpliced(
      k,
      1,
      ...(typeof changed === "string" ? [changed] : changed),
    );
  };

export const FEED = /G0[123]|^X/;
export const ARC = /G0[23].*I/;
export const WORD = /[XYIJ]-?\d+\.\d+/;
export const drop = () => [] as readonly string[];
export const replaced =
  (from: RegExp | string, to: string) =>
  (l: string): string | null => {
    const changed = l.replace(from, to);
    return changed === l ? null : changed;
  };

/** Moves one number of a block by so many mm. */
export const offBy = (mm: number) =>
  onLine(FEED, (l, draw) =>
    numberIn(l, draw, /[XY]/, (v, scale) => v + (draw.sign() * mm) / scale),
  );

/** Every number of the letters, in the whole program. */
export const everywhere =
  (pattern: RegExp, change: (digits: string) => string) =>
  (lines: Lines): Lines =>
    lines.map((l) =>
      l.startsWith("(")
        ? l
        : l.replace(pattern, (_, letter, digits) => letter + change(digits)),
    );

export const RADII = ["program/arc-radii", "program/arc-centre"];
export const WIRE = [
  "proof/feed-unthreaded",
  "proof/thread-twice",
  "proof/rapid-threaded",
  "proof/end-threaded",
  "proof/cut-unthreaded",
];
export const ENTRY = [
  "program/compensation-kept",
  "proof/compensation",
  "program/no-register",
  "program/register-kept",
  "program/compensation-twice",
];
