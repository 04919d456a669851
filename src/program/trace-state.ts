/** What is in force while a program is traced, and what has come of it so far. */
import type { Finding } from "../base/finding.js";
import type { Vec } from "../geometry/vec.js";
import type { Action } from "./moves.js";
import type { Reading } from "./reading.js";

export type Motion = "rapid" | "line" | "clockwise" | "counterClockwise";

export interface State {
  units: "mm" | "in";
  unitsSaid: boolean;
  /** Line of the first coordinates before any G70 or G71. */
  beforeUnits: number | null;
  absolute: boolean;
  absoluteSaid: boolean;
  motion: Motion | null;
  x: number | null;
  y: number | null;
  /** The datum that coordinates count from, by its word; null while none has been named. */
  datum: string | null;
  side: "left" | "right" | null;
  register: number | null;
  /** The register has been used and nobody has called it since. */
  registerUsed: boolean;
  /** Comments on the lines right above. */
  above: string[];
  ended: boolean;
  /** Column of the block that fed last. */
  feedColumn: number;
}

export interface Trace {
  readonly actions: Action[];
  readonly findings: Finding[];
  readonly state: State;
  readonly reading: Reading;
  /** What I and J are taken for: counted from the arc's start, or the centre's own coordinates. */
  readonly centres: "from-start" | "themselves";
  /** Arcs with both I and J, and those of them that can be run only about I J itself. */
  centred: number;
  misplaced: number;
  /** Coordinates without a decimal point: how many, and the first. */
  bare: number;
  firstBare: string;
}

/** Tells of a fault in the block at hand; `column` is that of its first word unless said. */
export type Tell = (
  code: string,
  severity: Finding["severity"],
  message: string,
  column?: number,
) => void;

/** Where the machine is, once both coordinates are known. */
export function place(state: State): Vec | null {
  return state.x === null || state.y === null
    ? null
    : { x: state.x, y: state.y };
}
