/** An offset to be judged, as plain numbers that can be printed, shrunk and pasted into a test. */
import { type Contour, reverseContour } from "../../src/geometry/contour.js";
import {
  line,
  type Segment,
  segmentFromBulge,
} from "../../src/geometry/segment.js";

/** A corner of an outline and the bulge, tan(sweep / 4), of the segment that leaves it. */
export type Corner = readonly [x: number, y: number, bulge: number];

export interface OffsetCase {
  /** The plate's edge counter-clockwise, islands clockwise. */
  readonly outlines: readonly (readonly Corner[])[];
  /** mm, positive. */
  readonly d: number;
  /** Inward: into the plate. Outward: away from it, into the islands. */
  readonly outward: boolean;
}

/** Lines and arcs through the corners. Two corners in one place make a line of no length: drawings have them. */
export function outlineOf(corners: readonly Corner[]): Contour {
  return {
    closed: true,
    segments: corners.map(([x, y, bulge], i): Segment => {
      const [nx, ny] = corners[(i + 1) % corners.length] as Corner;
      const start = { x, y };
      const end = { x: nx, y: ny };
      return segmentFromBulge(start, end, bulge) ?? line(start, end);
    }),
  };
}

export function cornersOf(c: Contour): Corner[] {
  return c.segments.map((s) => [
    s.start.x,
    s.start.y,
    s.kind === "line" ? 0 : Math.tan(s.sweep / 4),
  ]);
}

/** The outlines with the side that is asked for on their left. */
export function outlinesOf({ outlines, outward }: OffsetCase): Contour[] {
  const drawn = outlines.map(outlineOf);
  return outward ? drawn.map(reverseContour) : drawn;
}

/** Width or height of the whole, whichever is more, mm. */
export function extent({ outlines }: OffsetCase): number {
  const corners = outlines.flat();
  const span = (values: number[]): number =>
    Math.max(...values) - Math.min(...values);
  return Math.max(
    span(corners.map((p) => p[0])),
    span(corners.map((p) => p[1])),
  );
}
