/** Names of outlines on the screen: the same routine places them as on the preview. Pure. */
import {
  type Ground,
  groundOf,
  type NamePlace,
  type Plan,
  type PlannedFeature,
  placeNames,
  type Vec,
  type Writing,
} from "../../src/index.js";
import { type Rect, seen, toDrawing, toScreen, type View } from "./view.js";

export interface Label {
  readonly feature: PlannedFeature;
  /** The name, and what else is said of it where there is room. */
  readonly lines: readonly [name: string, ...more: string[]];
  /** What stands for the name where there is no room for that either; null: nothing. */
  readonly brief: string | null;
}

export interface PlacedLabel {
  readonly feature: PlannedFeature;
  readonly lines: readonly string[];
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
  const wordings = labels.map(wordingsOf);
  const names = labels.map(({ feature }, i) => ({
    outline: plan.features.indexOf(feature),
    middle: feature.slug.cg,
    writings: (wordings[i] ?? []).map(({ lines, where, crosses }) => ({
      width: (LETTER * Math.max(...lines.map((l) => l.length))) / view.scale,
      lines: lines.length,
      lineHeight: LINE_HEIGHT / view.scale,
      where,
      crosses,
    })),
  }));
  const places = placeNames(
    ground,
    names,
    seen(view),
    taken.map((room) => inDrawing(view, room)),
  );
  return labels.flatMap((label, i) => {
    const place = places[i];
    const wording = place && wordings[i]?.[place.writing];
    return wording
      ? [
          {
            feature: label.feature,
            lines: wording.lines,
            ...onScreen(view, place),
          },
        ]
      : [];
  });
}

interface Wording extends Pick<Writing, "where" | "crosses"> {
  readonly lines: readonly string[];
}

/** The best first: all of it, then the name alone; clear of the wire's travel, then across it; at last what stands for the name. */
function wordingsOf({ feature, lines, brief }: Label): Wording[] {
  const [name] = lines;
  const wheres =
    feature.slug.mass > 0 ? (["on", "beside"] as const) : (["beside"] as const);
  return [
    ...[false, true].flatMap((crosses) =>
      wheres.flatMap((where) =>
        [lines, [name]].map((said) => ({ lines: said, where, crosses })),
      ),
    ),
    ...(brief === null
      ? []
      : wheres.map((where) => ({ lines: [brief], where, crosses: true }))),
  ];
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
