/** What a drawing file holds once it is read: plain data, mm, model space only. */
import type { Finding } from "../base/finding.js";
import type { Contour } from "../geometry/contour.js";
import type { Vec } from "../geometry/vec.js";

export interface DrawingUnits {
  /** As the drawing says it: "mm", "in", "cm"… */
  readonly drawing: string;
  /** mm in one drawing unit. */
  readonly toMm: number;
  /** Where the unit came from: `$INSUNITS`, the caller, or a guess that a finding tells of. */
  readonly source: string;
}

export interface Layer {
  readonly name: string;
  readonly entities: number;
  readonly state: "on" | "off" | "frozen";
}

/** Of the entities that were read, or would have been but for their line type. */
export interface LineType {
  readonly name: string;
  readonly entities: number;
}

/** A closed contour, counter-clockwise, free of zero lengths, doubles and full-turn arcs. */
export interface Outline {
  /** Stable for the same file: "c1", "c2"… in drawing order. */
  readonly id: string;
  readonly layer: string;
  readonly contour: Contour;
  /** Of all that it is drawn of, unless that is continuous. */
  readonly lineType?: string;
  /** How many other outlines enclose it. */
  readonly depth: number;
  /** Index in `outlines` of the outline right around it. */
  readonly parent: number | null;
}

/** Between two open ends, mm. */
export interface Gap {
  readonly size: number;
  readonly from: Vec;
  readonly to: Vec;
}

/** A chain that does not close. */
export interface OpenChain {
  readonly layer: string;
  readonly contour: Contour;
  /** Of all that it is drawn of, unless that is continuous. */
  readonly lineType?: string;
  /** Where it comes nearest to closing: from one of its ends to the nearest other open end on the layer. */
  readonly gap: Gap;
  /** The gap at its other end, where that is another. */
  readonly otherGap: Gap | null;
}

export interface DrawnPoint {
  readonly layer: string;
  readonly at: Vec;
}

/** Something mended while reading, with its place and size (mm). */
export interface Repair {
  readonly kind:
    | "gap-closed"
    | "double-dropped"
    | "zero-length-dropped"
    | "overlap-merged"
    | "chords-refitted";
  readonly layer: string;
  readonly at: readonly [number, number];
  readonly size: number;
}

export interface Skipped {
  readonly kind: string;
  readonly layer: string;
  readonly count: number;
}

export interface Drawing {
  readonly units: DrawingUnits;
  readonly layers: readonly Layer[];
  /** None where the format has no such thing. */
  readonly lineTypes: readonly LineType[];
  readonly outlines: readonly Outline[];
  readonly open: readonly OpenChain[];
  readonly points: readonly DrawnPoint[];
  readonly repairs: readonly Repair[];
  readonly skipped: readonly Skipped[];
  readonly findings: readonly Finding[];
}
