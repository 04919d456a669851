import {
  type Contour,
  contourBox,
  windingNumber,
} from "../geometry/contour.js";
import { indexSegments, type SegmentIndex } from "../geometry/distance.js";
import { type Box, line } from "../geometry/segment.js";
import { distance, type Vec } from "../geometry/vec.js";
import type { Plan, PlannedFeature, Stroke } from "../plan/plan.js";
import { type Frame, figure, textAt } from "./preview-frame.js";
import { TEXT } from "./preview-style.js";
import { massText, rangesText, stepNumbers } from "./text.js";

/** Length of the arrows at X0 Y0, mm on paper. */
export const ORIGIN_ARM = 5;

/** Width of a letter against the text size: the middle of a sans serif. */
const LETTER = 0.56;

/** Places tried for a label along each side of a feature's box: fewer where there are many features. */
const triesFor = (features: number): number => (features > 100 ? 8 : 14);

/** Axis-parallel room that a label takes, on the sheet (drawing mm, y down). */
export interface LabelBox {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export interface Labels {
  readonly markup: string;
  readonly boxes: readonly LabelBox[];
}

/** Order number, name and mass of every feature, at the roomiest place inside it. */
export function featureLabels(
  plan: Plan,
  frame: Frame,
  lines: SegmentIndex,
): Labels {
  const made = labelPlaces(plan.features, lines).flatMap((place, i) => {
    const feature = plan.features[i];
    return place && feature ? [featureLabel(plan, feature, frame, place)] : [];
  });
  return {
    markup: made.map((l) => l.markup).join("\n"),
    boxes: made.map((l) => l.box),
  };
}

/** All drawn lines that a label should keep clear of. */
export function drawnLines(plan: Plan, frame: Frame): SegmentIndex {
  const leads = plan.steps.flatMap((s) =>
    s.kind === "cut" && s.strokes[0]
      ? [s.thread, ...s.lead].map((p, i, way) =>
          line(p, way[i + 1] ?? (s.strokes[0] as Stroke).from),
        )
      : [],
  );
  const arm = frame.paper(ORIGIN_ARM);
  return indexSegments([
    ...(plan.stock?.segments ?? []),
    ...plan.features.flatMap((f) => f.contour.segments),
    ...leads,
    line({ x: 0, y: 0 }, { x: arm, y: 0 }),
    line({ x: 0, y: 0 }, { x: 0, y: arm }),
  ]);
}

/** The ways with the wire out, from each cut's end to where the next is threaded. */
export function travelLines(plan: Plan): SegmentIndex {
  const cuts = plan.steps.filter((s) => s.kind === "cut");
  return indexSegments(
    cuts.slice(1).flatMap(({ thread }, i) => {
      const end = cuts[i]?.strokes.at(-1)?.to;
      return end ? [line(end, thread)] : [];
    }),
  );
}

interface Place {
  readonly at: Vec;
  /** mm to the nearest thing in the way. */
  readonly room: number;
}

interface Labelled {
  readonly contour: Contour;
  readonly depth: number;
  readonly startHole?: { readonly at: Vec; readonly diameter: number };
}

/** The roomiest place in each outline, clear of those within it; null where there is none. */
export function labelPlaces(
  features: readonly Labelled[],
  lines: SegmentIndex,
): readonly (Place | null)[] {
  const tries = triesFor(features.length);
  const boxes = features.map((f) => contourBox(f.contour));
  return features.map((f, own) => {
    const box = boxes[own] as (typeof boxes)[number];
    const inner = features.filter((other, i) => {
      const b = boxes[i] as typeof box;
      return (
        other !== f &&
        other.depth > f.depth &&
        b.minX >= box.minX &&
        b.maxX <= box.maxX &&
        b.minY >= box.minY &&
        b.maxY <= box.maxY
      );
    });
    let best: Place | null = null;
    for (const at of gridIn(box, tries)) {
      if (windingNumber(f.contour, at) === 0) continue;
      if (inner.some((g) => windingNumber(g.contour, at) !== 0)) continue;
      const toEdge = lines.nearest(at)?.distance ?? 0;
      const toHole = f.startHole
        ? distance(at, f.startHole.at) - f.startHole.diameter / 2
        : Number.POSITIVE_INFINITY;
      const room = Math.min(toEdge, toHole);
      if (!best || room > best.room * 1.0001) best = { at, room };
    }
    return best;
  });
}

function gridIn(box: Box, tries: number): Vec[] {
  const points: Vec[] = [];
  for (let i = 1; i < tries; i++)
    for (let j = 1; j < tries; j++)
      points.push({
        x: box.minX + ((box.maxX - box.minX) * i) / tries,
        y: box.minY + ((box.maxY - box.minY) * j) / tries,
      });
  return points;
}

function featureLabel(
  plan: Plan,
  f: PlannedFeature,
  frame: Frame,
  place: Place,
): { readonly markup: string; readonly box: LabelBox } {
  const order = rangesText(
    stepNumbers(plan, f.id, (s) => s.kind === "cut" && !s.attended),
  );
  // The name goes first where room is short, then the mass: both stand in the sheet, found by the order number.
  const choices = [
    [order, f.id, massText(f.slug.mass)],
    [order, massText(f.slug.mass)],
    [order],
  ];
  const sizeOf = (lines: readonly string[]): number => {
    const fit = Math.min(
      (1.7 * place.room) / textWidth(lines),
      (1.6 * place.room) / (lines.length * 1.25),
    );
    return Math.min(TEXT.body, fit * frame.scale);
  };
  const lines =
    choices.find((c) => sizeOf(c) >= 1.5) ?? (choices[2] as string[]);
  const size = Math.max(TEXT.least, sizeOf(lines));
  const step = frame.paper(size * 1.25);
  const x = frame.x(place.at.x);
  const top = frame.y(place.at.y) - (step * (lines.length - 1)) / 2;
  const width = frame.paper(size * textWidth(lines));
  return {
    markup: lines
      .map((text, i) =>
        i === 0
          ? badge(frame, x, top, text, size)
          : textAt(frame, x, top + i * step + frame.paper(size) * 0.35, text, {
              size,
              anchor: "middle",
            }),
      )
      .join(""),
    box: {
      x: x - width / 2,
      y: top - step / 2,
      width,
      height: step * lines.length,
    },
  };
}

/** Width of the longest line against the text size. */
export function textWidth(lines: readonly string[]): number {
  return Math.max(...lines.map((l) => l.length)) * LETTER;
}

/** White figures on a dark plate: a step of the setup sheet. */
export function badge(
  frame: Frame,
  x: number,
  y: number,
  text: string,
  size: number,
): string {
  // A plate smaller than this would be a blot.
  if (size < 1.2)
    return textAt(frame, x, y + frame.paper(size) * 0.35, text, {
      size,
      anchor: "middle",
      bold: true,
    });
  const h = frame.paper(size * 1.3);
  const w = Math.max(h, frame.paper(size * (text.length * LETTER + 0.7)));
  return (
    `<rect class="kw-badge" x="${figure(x - w / 2)}" y="${figure(y - h / 2)}" width="${figure(w)}" height="${figure(h)}" rx="${figure(h / 4)}"/>` +
    textAt(frame, x, y + frame.paper(size) * 0.35, text, {
      size,
      kind: "kw-badge-text",
    })
  );
}
