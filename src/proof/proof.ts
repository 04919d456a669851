/** What the proof says of a program: measured from its text, never taken from the plan. */
import type { Finding } from "../base/finding.js";
import type { Segment } from "../geometry/segment.js";

/** mm */
export type Place = readonly [x: number, y: number];

export interface LoosePiece {
  readonly feature: string;
  /** An M00 that names the feature stands before the move that freed it. */
  readonly attended: boolean;
  /** Line of the program that freed it. */
  readonly line: number;
  /** kg */
  readonly mass: number;
  /** A place in it. */
  readonly at: Place;
}

export interface PassCoverage {
  /** A slit's line, which a single pass runs on; absent for an outline's. */
  readonly stretch?: "slit";
  readonly feature: string;
  readonly pass: number;
  /** Share of the outline the wire can reach at this pass's offset that it did reach, 0 to 1. */
  readonly reached: number;
  /** mm of stock measured on the edge after this pass, over all it reached; null when it reached nothing. */
  readonly left: { readonly least: number; readonly most: number } | null;
}

/** A stretch of finished outline that the last pass did not reach. */
export interface Unreached {
  readonly feature: string;
  /** Tighter than the wire; never cut, as a tab is; or left out, as by a missing block or a wrong number. */
  readonly why: "corner" | "tab" | "left-out";
  readonly from: Place;
  readonly to: Place;
  /** The worst place. */
  readonly at: Place;
  /** mm along the last pass's ideal path. */
  readonly length: number;
  /** mm of stock at the worst place; null where nothing was ever cut. */
  readonly stays: number | null;
}

/** What controls make of sharp corners under G41 and G42, where they differ from what was replayed. */
export interface CompensatedCorners {
  readonly outside: number;
  readonly inside: number;
  /** mm a control stands off farther that runs on to the crossing at an outside corner instead of rolling round it. */
  readonly standOff: number;
  /** mm a control without look-ahead cuts into the work at an inside corner. */
  readonly overcut: number;
}

/** One move of the wire's centre while it is in. */
export interface ReplayedMove {
  readonly segment: Segment;
  readonly line: number;
  /** mm: radius of the wire and the gap it burns with. */
  readonly kerf: number;
  /** The pass whose offset it keeps all along; null for a lead. */
  readonly pass: number | null;
}

/** A place where the wire is threaded, once or again. */
export interface ThreadPlace {
  readonly at: Place;
  /** Line of the program that threads there first. */
  readonly line: number;
  readonly threads: number;
  /** What makes room for the wire: a hole in the drawing, the air beside the block, an earlier cut, or nothing yet: a hole to be made. */
  readonly room: "drawn" | "air" | "cut" | "new";
  /** The feature that is cut from there; null when nothing is. */
  readonly feature: string | null;
}

export interface Proof {
  readonly ok: boolean;
  /** mm the wire's sweep passes the finished edge at the worst place; 0 when nowhere. */
  readonly maxGouge: number;
  /** Where; null when nowhere. */
  readonly gougeAt: Place | null;
  /** mm of stock left at the worst place that the wire could have reached. */
  readonly maxExcess: number;
  readonly excessAt: Place | null;
  /** Least `reached` of the final pass over all features. */
  readonly coverage: number;
  readonly passes: readonly PassCoverage[];
  readonly loosePieces: readonly LoosePiece[];
  readonly unreached: readonly Unreached[];
  /** null when nothing runs with G41 or G42. */
  readonly corners: CompensatedCorners | null;
  readonly threadPlaces: readonly ThreadPlace[];
  readonly words: Readonly<Record<string, number>>;
  readonly blocks: number;
  readonly findings: readonly Finding[];
}
