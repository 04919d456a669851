/** What the proof says of a program: measured from its text, never taken from the plan. */
import type { Finding } from "../base/finding.js";

export interface LoosePiece {
  readonly feature: string;
  /** An M00 that names the feature stands before the move that freed it. */
  readonly attended: boolean;
  /** Line of the program that freed it. */
  readonly line: number;
  /** kg */
  readonly mass: number;
}

export interface PassCoverage {
  readonly feature: string;
  readonly pass: number;
  /** Share of the outline the wire can reach at this pass's offset that it did reach, 0 to 1. */
  readonly reached: number;
}

/** A place where the wire is threaded, once or again. */
export interface ThreadPlace {
  readonly at: readonly [x: number, y: number];
  /** Line of the program that threads there first. */
  readonly line: number;
  readonly threads: number;
  /** What makes room for the wire: a hole in the drawing, an earlier cut, or nothing yet: a hole to be made. */
  readonly room: "drawn" | "cut" | "new";
  /** The feature that is cut from there; null when nothing is. */
  readonly feature: string | null;
}

export interface Proof {
  readonly ok: boolean;
  /** mm the wire's sweep passes the finished edge at the worst place; 0 when nowhere. */
  readonly maxGouge: number;
  /** mm of stock left at the worst place that the wire could have reached. */
  readonly maxExcess: number;
  /** Least `reached` of the final pass over all features. */
  readonly coverage: number;
  readonly passes: readonly PassCoverage[];
  readonly loosePieces: readonly LoosePiece[];
  readonly threadPlaces: readonly ThreadPlace[];
  readonly words: Readonly<Record<string, number>>;
  readonly blocks: number;
  readonly findings: readonly Finding[];
}
