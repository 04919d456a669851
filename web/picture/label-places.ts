/**
 * Where the names of outlines stand on the screen: on the slug where they fit, at its middle or its widest place; else
 * beside the outline, on a leader. Never on a line, a mark or another name; where there is no such place, nowhere. Pure.
 */
import {
  type Plan,
  type PlannedFeature,
  type Segment,
  type Vec,
  windingNumber,
} from "../../src/index.js";
import { around, common, grown, rectOf, touches } from "./box.js";
import { nearestOf } from "./probe.js";
import { type Rect, seen, toDrawing, toScreen, type View } from "./view.js";

export interface Label {
  readonly feature: PlannedFeature;
  readonly lines: readonly string[];
}

export interface PlacedLabel extends Label {
  /** The middle of its box, px. */
  readonly at: Vec;
  /** From the box to the outline, px; null on the slug. */
  readonly leader: readonly [Vec, Vec] | null;
}

/** px */
export const LINE_HEIGHT = 15;
export const LETTER = 7.2;
/** px of air around a label's box. */
const AIR = 3;
/** px from an outline's box to a label beside it. */
const BESIDE = [12, 30, 56] as const;
/** Places tried along each side of an outline's box. */
const TRIES = 9;

interface Size {
  /** px */
  readonly width: number;
  readonly height: number;
}

/** `taken`: what stands there already, px. Earlier labels have the first choice. */
export function placeLabels(
  plan: Plan,
  view: View,
  labels: readonly Label[],
  taken: readonly Rect[],
): PlacedLabel[] {
  const full = [...taken];
  const lines = linesIn(plan, view);
  return labels.flatMap((label) => {
    const size = sizeOf(label.lines);
    const free = (at: Vec): boolean => isFree(at, size, view, full, lines);
    const { feature } = label;
    const inside =
      feature.slug.mass > 0
        ? (middleOf(plan, feature, view, free) ??
          widestOf(plan, feature, view, free))
        : null;
    const at = inside ?? besideOf(feature, view, size, free);
    if (!at) return [];
    full.push(boxAt(at, size));
    const leader = inside ? null : leaderTo(feature, view, at, size);
    return [{ ...label, at, leader }];
  });
}

function sizeOf(lines: readonly string[]): Size {
  return {
    width: LETTER * Math.max(...lines.map((l) => l.length)),
    height: LINE_HEIGHT * lines.length,
  };
}

function boxAt({ x, y }: Vec, { width, height }: Size): Rect {
  return {
    minX: x - width / 2,
    maxX: x + width / 2,
    minY: y - height / 2,
    maxY: y + height / 2,
  };
}

/** What is drawn in sight that no label may stand on. */
interface Lines {
  readonly rect: Rect;
  readonly segments: readonly Segment[];
}

function linesIn(plan: Plan, view: View): Lines[] {
  const window = seen(view);
  const stock = plan.stock
    ? [{ rect: rectOf(plan.stock), segments: plan.stock.segments }]
    : [];
  return [
    ...stock,
    ...plan.features.flatMap(({ contour, startHole, leadPoint }) => [
      { rect: rectOf(contour), segments: contour.segments },
      leadLine(startHole.at, leadPoint, startHole.diameter / 2),
    ]),
  ].filter(({ rect }) => touches(rect, window));
}

/** The way from the hole to the outline, with the hole's rim. */
function leadLine(hole: Vec, to: Vec, radius: number): Lines {
  const line = (start: Vec, end: Vec): Segment => ({
    kind: "line",
    start,
    end,
  });
  const side = (x: number, y: number): Vec => ({
    x: hole.x + x * radius,
    y: hole.y + y * radius,
  });
  return {
    rect: {
      minX: Math.min(hole.x - radius, to.x),
      maxX: Math.max(hole.x + radius, to.x),
      minY: Math.min(hole.y - radius, to.y),
      maxY: Math.max(hole.y + radius, to.y),
    },
    segments: [
      line(hole, to),
      line(side(-1, 0), side(1, 0)),
      line(side(0, -1), side(0, 1)),
    ],
  };
}

function isFree(
  at: Vec,
  size: Size,
  view: View,
  taken: readonly Rect[],
  lines: readonly Lines[],
): boolean {
  const room = grown(boxAt(at, size), AIR);
  const whole =
    room.minX >= 0 &&
    room.minY >= 0 &&
    room.maxX <= view.width &&
    room.maxY <= view.height;
  if (!whole || taken.some((other) => touches(other, room))) return false;
  // Discs along the box's middle line cover it: none may reach a line.
  const radius = size.height / 2 + AIR;
  const reach = radius / view.scale;
  const steps = Math.max(1, Math.ceil(size.width / size.height));
  const run = Math.max(0, size.width - size.height);
  return Array.from({ length: steps + 1 }, (_, i) =>
    toDrawing(view, { x: at.x - run / 2 + (run * i) / steps, y: at.y }),
  ).every((p) =>
    lines.every(
      ({ rect, segments }) =>
        !touches(around(p.x, p.y, reach), rect) ||
        nearestOf(segments, p).distance > reach,
    ),
  );
}

type IsFree = (at: Vec) => boolean;

/** In the feature, and in none of those that lie in it. */
function isOn(plan: Plan, feature: PlannedFeature, p: Vec): boolean {
  const holds = ({ contour }: PlannedFeature): boolean =>
    touches(around(p.x, p.y, 0), rectOf(contour)) &&
    windingNumber(contour, p) !== 0;
  return (
    holds(feature) &&
    !plan.features.some((f) => f.depth > feature.depth && holds(f))
  );
}

function middleOf(
  plan: Plan,
  feature: PlannedFeature,
  view: View,
  free: IsFree,
): Vec | null {
  const { cg } = feature.slug;
  const at = toScreen(view, cg);
  return free(at) && isOn(plan, feature, cg) ? at : null;
}

/** Of the places on a grid over what is seen of the outline's inside, the free one farthest from its edge. */
function widestOf(
  plan: Plan,
  feature: PlannedFeature,
  view: View,
  free: IsFree,
): Vec | null {
  const { contour } = feature;
  const box = common(rectOf(contour), seen(view));
  let best: { at: Vec; room: number } | null = null;
  for (let i = 1; i < TRIES; i++)
    for (let j = 1; j < TRIES; j++) {
      const p = {
        x: box.minX + ((box.maxX - box.minX) * i) / TRIES,
        y: box.minY + ((box.maxY - box.minY) * j) / TRIES,
      };
      const room = nearestOf(contour.segments, p).distance;
      const at = toScreen(view, p);
      if ((!best || room > best.room) && isOn(plan, feature, p) && free(at))
        best = { at, room };
    }
  return best?.at ?? null;
}

/** The nearest free place around the outline's box: below, above, to the right, to the left, then the corners. */
function besideOf(
  { contour }: PlannedFeature,
  view: View,
  { width, height }: Size,
  free: IsFree,
): Vec | null {
  const box = rectOf(contour);
  const a = toScreen(view, { x: box.minX, y: box.maxY });
  const b = toScreen(view, { x: box.maxX, y: box.minY });
  const middle = { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
  const places = BESIDE.flatMap((gap) => {
    const [left, right] = [a.x - gap - width / 2, b.x + gap + width / 2];
    const [above, below] = [a.y - gap - height / 2, b.y + gap + height / 2];
    return [
      { x: middle.x, y: below },
      { x: middle.x, y: above },
      { x: right, y: middle.y },
      { x: left, y: middle.y },
      { x: right, y: below },
      { x: left, y: above },
      { x: left, y: below },
      { x: right, y: above },
    ];
  });
  return places.find(free) ?? null;
}

/** From the middle of the box's nearer side to the nearest point of the outline. */
function leaderTo(
  { contour }: PlannedFeature,
  view: View,
  at: Vec,
  size: Size,
): readonly [Vec, Vec] {
  const to = toScreen(
    view,
    nearestOf(contour.segments, toDrawing(view, at)).at,
  );
  const box = grown(boxAt(at, size), 1);
  const from = {
    x: Math.min(box.maxX, Math.max(box.minX, to.x)),
    y: Math.min(box.maxY, Math.max(box.minY, to.y)),
  };
  return [from, to];
}
