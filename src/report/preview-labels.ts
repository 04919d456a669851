/** Where the preview writes in and beside the features, and how large, so that both one window and 400 stay readable. */
import { trimmed } from "../base/numbers.js";
import { mmPer } from "../base/units.js";
import { contourBox, windingNumber } from "../geometry/contour.js";
import { indexSegments, nearestOnSegment } from "../geometry/distance.js";
import { type Box, line, tangentAt } from "../geometry/segment.js";
import { along, distance, left, negate, type Vec } from "../geometry/vec.js";
import type { Plan, PlannedFeature, Stroke } from "../plan/plan.js";
import { type Frame, figure, textAt } from "./preview-frame.js";
import { TEXT } from "./preview-style.js";
import { massText, rangesText, stepNumbers } from "./text.js";

/** Width of a letter against the text size: the middle of a sans serif. */
const LETTER = 0.56;

/** Places tried for a label along each side of a feature's box: fewer where there are many features. */
const triesFor = (features: number): number => (features > 100 ? 8 : 14);

/** Order number, name and mass of every feature, at the roomiest place inside it. */
export function featureLabels(plan: Plan, frame: Frame): string {
  const places = labelPlaces(plan);
  return plan.features
    .map((f, i) => {
      const place = places[i];
      return place ? featureLabel(plan, f, frame, place) : "";
    })
    .join("\n");
}

interface Place {
  readonly at: Vec;
  /** mm to the nearest thing in the way. */
  readonly room: number;
}

function labelPlaces(plan: Plan): readonly (Place | null)[] {
  const leads = plan.steps.flatMap((s) =>
    s.kind === "cut" && s.strokes[0]
      ? [s.thread, ...s.lead].map((p, i, way) =>
          line(p, way[i + 1] ?? (s.strokes[0] as Stroke).from),
        )
      : [],
  );
  const index = indexSegments([
    ...plan.features.flatMap((f) => f.contour.segments),
    ...leads,
  ]);
  const tries = triesFor(plan.features.length);
  const boxes = plan.features.map((f) => contourBox(f.contour));
  return plan.features.map((f, own) => {
    const box = boxes[own] as (typeof boxes)[number];
    const inner = plan.features.filter((other, i) => {
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
      const toEdge = index.nearest(at)?.distance ?? 0;
      const toHole = distance(at, f.startHole.at) - f.startHole.diameter / 2;
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
): string {
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
    const longest = Math.max(...lines.map((l) => l.length));
    const fit = Math.min(
      (1.7 * place.room) / (longest * LETTER),
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
  return lines
    .map((text, i) =>
      i === 0
        ? badge(frame, x, top, text, size)
        : textAt(frame, x, top + i * step + frame.paper(size) * 0.35, text, {
            size,
            anchor: "middle",
          }),
    )
    .join("");
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

/** Length of each tab and the steps at it, outside the outline. */
export function tabLabels(plan: Plan, frame: Frame): string {
  const unit = plan.job.units;
  // Paper that one feature has to itself, on average: decides how much is said.
  const share = spread(plan) * frame.scale;
  return plan.features
    .map((f) => {
      const length = trimmed(f.tab.length / mmPer(unit), unit === "in" ? 3 : 2);
      const steps = rangesText(
        stepNumbers(plan, f.id, (s) => s.kind === "stop" || s.attended),
      );
      const text =
        share > 30
          ? `tab ${length} ${unit}${steps ? `, steps ${steps}` : ""}`
          : share > 14
            ? `tab ${length}`
            : length;
      const size = Math.min(TEXT.small, Math.max(TEXT.least, share * 0.1));
      const out = outwardAt(f, f.tab.at);
      const clear =
        (plan.job.passes[0]?.offset ?? 0) +
        plan.job.wire.diameter / 2 +
        frame.paper(size * 0.9);
      const at = along(f.tab.at, out, clear);
      const sideways = Math.abs(out.x) > Math.abs(out.y);
      const drop = sideways ? 0.35 : out.y > 0 ? 0 : 0.7;
      return textAt(
        frame,
        frame.x(at.x),
        frame.y(at.y) + frame.paper(size) * drop,
        text,
        {
          size,
          anchor: sideways ? (out.x > 0 ? "start" : "end") : "middle",
          kind: "kw-tab-text",
        },
      );
    })
    .join("\n");
}

/** Unit vector square to the outline at a point of it, away from the inside. */
function outwardAt(f: PlannedFeature, p: Vec): Vec {
  let best = Number.POSITIVE_INFINITY;
  let out: Vec = { x: 0, y: -1 };
  for (const s of f.contour.segments) {
    const near = nearestOnSegment(s, p);
    if (near.distance < best) {
      best = near.distance;
      // Counter-clockwise: the inside lies left of travel.
      out = negate(left(tangentAt(s, s.kind === "line" ? 0 : 0.5)));
    }
  }
  return out;
}

/** Side of the square that each feature would have if they shared their box evenly, mm. */
function spread(plan: Plan): number {
  const boxes = plan.features.map((f) => contourBox(f.contour));
  const w =
    Math.max(...boxes.map((b) => b.maxX)) -
    Math.min(...boxes.map((b) => b.minX));
  const h =
    Math.max(...boxes.map((b) => b.maxY)) -
    Math.min(...boxes.map((b) => b.minY));
  return Math.sqrt((w * h) / Math.max(1, plan.features.length));
}
