/** What names keep clear of: what is drawn, and where the wire travels. */
import { type Contour, contourBox } from "../geometry/contour.js";
import {
  type Box,
  EMPTY_BOX,
  line,
  type Segment,
  segmentBox,
  unionBox,
} from "../geometry/segment.js";
import type { Vec } from "../geometry/vec.js";
import { type Cut, type Plan, threadPlaces } from "../plan/plan.js";

export interface Chain {
  readonly box: Box;
  readonly segments: readonly Segment[];
}

export interface Outline extends Chain {
  readonly contour: Contour;
  readonly depth: number;
}

/** What is drawn. */
export interface Ground {
  /** One for each feature. */
  readonly outlines: readonly Outline[];
  /** What no name may stand on. */
  readonly lines: readonly Chain[];
  /** What a name stands on only where there is no room beside it. */
  readonly faint: readonly Chain[];
  /** Start holes, with their crosses. */
  readonly holes: readonly Box[];
}

/** A hole's cross reaches so far, in diameters. */
const HOLE = 0.8;

/** Outlines, the block's edge, start holes, leads, and travel with the wire out. */
export function groundOf(plan: Plan): Ground {
  const cuts = plan.steps.filter((s) => s.kind === "cut");
  const slits = plan.slits.map(({ contour }) => ({ contour, depth: 0 }));
  const { outlines, lines } = outlinesAlone(
    [...plan.features, ...slits],
    plan.stock,
  );
  return {
    outlines,
    lines: [
      ...lines,
      ...plan.unplanned.map(({ segments }) => chainOf(segments)),
      ...cuts.map((cut) => chainOf(leadLines(cut))),
    ],
    faint: cuts.slice(1).flatMap(({ thread }, i) => {
      const end = cuts[i]?.strokes.at(-1)?.to;
      return end ? [chainOf([line(end, thread)])] : [];
    }),
    holes: threadPlaces(plan).map(({ hole: { at, diameter } }) =>
      discBox(at.x, at.y, HOLE * diameter),
    ),
  };
}

export function outlinesAlone(
  features: readonly { readonly contour: Contour; readonly depth: number }[],
  stock: Contour | null,
): Ground {
  const outlines = features.map(({ contour, depth }) => ({
    contour,
    depth,
    segments: contour.segments,
    box: contourBox(contour),
  }));
  const edge = stock ? [chainOf(stock.segments)] : [];
  return { outlines, lines: [...edge, ...outlines], faint: [], holes: [] };
}

export function chainOf(segments: readonly Segment[]): Chain {
  return {
    segments,
    box: segments.map(segmentBox).reduce(unionBox, EMPTY_BOX),
  };
}

function leadLines({ thread, lead, strokes }: Cut): Segment[] {
  const way = [thread, ...lead, strokes[0]?.from ?? thread];
  return way.slice(1).map((p, i) => line(way[i] as Vec, p));
}

/** The square about a disc. */
export function discBox(x: number, y: number, r: number): Box {
  return { minX: x - r, minY: y - r, maxX: x + r, maxY: y + r };
}
