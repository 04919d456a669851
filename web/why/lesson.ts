/**
 * Four ways of getting it wrong, worked out on the user's own outline. Pure. What the wire leaves is the outline moved by
 * the wire's half width and the spark gap beyond where its centre ran (geometry, exact for lines and arcs).
 */
import {
  type Contour,
  contourArea,
  contourBox,
  type Finding,
  type LaidOut,
  loopContour,
  NEUTRAL,
  offsetLeft,
  type Plan,
  type PlannedFeature,
  type Proof,
  prove,
  readProgram,
  reverseContour,
  unreachedStretches,
  type Vec,
} from "../../src/index.js";

export type LessonKind =
  | "on-the-line"
  | "wrong-side"
  | "no-stop"
  | "thick-wire";

export interface Lesson {
  readonly kind: LessonKind;
  readonly feature: string;
  /** The edge that is left in the end; empty when the wire does not fit at all. */
  readonly edge: readonly Contour[];
  /** Sizes of the outline as drawn and as it comes out, mm. */
  readonly drawn: Size;
  readonly got: Size | null;
  /** Half the wire and the spark gap, mm. */
  readonly reach: number;
  /** Corners in which stock stays, worst first. */
  readonly corners: readonly { readonly at: Vec; readonly left: number }[];
  /** What the proof says of the spoiled program. */
  readonly findings: readonly Finding[];
}

export interface Size {
  readonly width: number;
  readonly height: number;
  /** mm² */
  readonly area: number;
}

export interface LessonOrder {
  readonly kind: LessonKind;
  readonly feature: string;
  /** mm; for "thick-wire". */
  readonly wire: number;
}

/** @returns null when the plan has no such feature. */
export function lessonOf(
  order: LessonOrder,
  plan: Plan,
  program: string | null,
  laidOut: LaidOut,
): Lesson | null {
  const feature = plan.features.find((f) => f.id === order.feature);
  const last = plan.job.passes.at(-1);
  if (!feature || !last) return null;
  const wire =
    order.kind === "thick-wire" ? order.wire : plan.job.wire.diameter;
  const reach = wire / 2 + last.gap;
  const edge = edgeOf(order.kind, feature, reach);
  return {
    kind: order.kind,
    feature: feature.id,
    edge,
    drawn: sizeOf([feature.contour]) as Size,
    got: sizeOf(edge),
    reach,
    corners: order.kind === "thick-wire" ? cornersOf(feature, reach) : [],
    findings:
      order.kind === "no-stop" && program !== null
        ? withoutStop(feature, plan, program, laidOut)
        : [],
  };
}

function edgeOf(
  kind: LessonKind,
  f: PlannedFeature,
  reach: number,
): readonly Contour[] {
  const toWaste = f.role === "opening" ? inward : outward;
  const toMetal = f.role === "opening" ? outward : inward;
  switch (kind) {
    case "on-the-line":
      return toMetal([f.contour], reach);
    case "wrong-side":
      return toMetal([f.contour], 2 * reach);
    case "thick-wire":
      // The wire's centre keeps its distance; its sweep reaches back as far: what lies outside is not reached.
      return toMetal(toWaste([f.contour], reach), reach);
    case "no-stop":
      return [f.contour];
  }
}

/** Outlines are counter-clockwise: their left is their inside. */
function inward(contours: readonly Contour[], d: number): Contour[] {
  return offsetLeft(contours, d).map(loopContour);
}

function outward(contours: readonly Contour[], d: number): Contour[] {
  return offsetLeft(contours.map(reverseContour), d).map((loop) =>
    reverseContour(loopContour(loop)),
  );
}

function sizeOf(contours: readonly Contour[]): Size | null {
  if (contours.length === 0) return null;
  const boxes = contours.map(contourBox);
  const most = (key: "maxX" | "maxY"): number =>
    Math.max(...boxes.map((b) => b[key]));
  const least = (key: "minX" | "minY"): number =>
    Math.min(...boxes.map((b) => b[key]));
  return {
    width: most("maxX") - least("minX"),
    height: most("maxY") - least("minY"),
    area: contours.reduce((sum, c) => sum + contourArea(c), 0),
  };
}

/** Corners listed at most. */
const MOST_CORNERS = 20;

function cornersOf(f: PlannedFeature, reach: number): Lesson["corners"] {
  const track = f.role === "opening" ? f.contour : reverseContour(f.contour);
  return unreachedStretches(track, offsetLeft([track], reach), reach)
    .map(({ at, left }) => ({ at, left }))
    .sort((a, b) => b.left - a.left)
    .slice(0, MOST_CORNERS);
}

/** The program with the stop before this feature's tab taken out, read and proved like any other. */
function withoutStop(
  f: PlannedFeature,
  plan: Plan,
  program: string,
  laidOut: LaidOut,
): readonly Finding[] {
  const names = new RegExp(`\\b${f.id.replace(/[^\w-]/g, "")}\\b`, "i");
  const lines = program.split("\n");
  const stop = lines.findIndex(
    (line, i) =>
      /\bM00\b/.test(line) &&
      (names.test(line) || names.test(lines[i - 1] ?? "")),
  );
  if (stop < 0) return [];
  const proof: Proof = prove(
    readProgram(lines.filter((_, i) => i !== stop).join("\n"), NEUTRAL),
    laidOut,
    plan.job,
  );
  return proof.findings.filter((finding) => finding.severity !== "note");
}
