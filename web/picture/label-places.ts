/** Names of outlines on the screen: the same routine places them as on the preview. Pure. */
import {
  type Ground,
  groundOf,
  type NamePlace,
  type Plan,
  type PlannedFeature,
  placeNames,
  type Vec,
} from "../../src/index.js";
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

const grounds = new WeakMap<Plan, Ground>();

/** `taken`: what stands there already, px. Earlier labels have the first choice. */
export function placeLabels(
  plan: Plan,
  view: View,
  labels: readonly Label[],
  taken: readonly Rect[],
): PlacedLabel[] {
  const ground = grounds.get(plan) ?? groundOf(plan);
  grounds.set(plan, ground);
  const names = labels.map(({ feature, lines }) => {
    const writing = {
      width: (LETTER * Math.max(...lines.map((l) => l.length))) / view.scale,
      lines: lines.length,
      lineHeight: LINE_HEIGHT / view.scale,
    };
    const beside = { ...writing, where: "beside" } as const;
    const { mass, cg } = feature.slug;
    return {
      outline: plan.features.indexOf(feature),
      middle: cg,
      writings:
        mass > 0 ? [{ ...writing, where: "on" } as const, beside] : [beside],
    };
  });
  const places = placeNames(
    ground,
    names,
    seen(view),
    taken.map((room) => inDrawing(view, room)),
  );
  return labels.flatMap((label, i) => {
    const place = places[i];
    return place ? [{ ...label, ...onScreen(view, place) }] : [];
  });
}

function inDrawing(view: View, { minX, minY, maxX, maxY }: Rect): Rect {
  const low = toDrawing(view, { x: minX, y: maxY });
  const high = toDrawing(view, { x: maxX, y: minY });
  return { minX: low.x, minY: low.y, maxX: high.x, maxY: high.y };
}

function onScreen(
  view: View,
  { at, leader }: NamePlace,
): Pick<PlacedLabel, "at" | "leader"> {
  return {
    at: toScreen(view, at),
    leader: leader && [toScreen(view, leader[0]), toScreen(view, leader[1])],
  };
}
