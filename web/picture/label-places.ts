/** Names of outlines on the screen: the same routine places them as on the preview. Pure. */
import {
  type Ground,
  groundOf,
  type NamePlace,
  type Plan,
  placeNames,
  type Vec,
  type Writing,
} from "../../src/index.js";
import { type Rect, seen, toDrawing, toScreen, type View } from "./view.js";

export interface Label {
  readonly id: string;
  /** Which of the ground's outlines: the plan's features, then its slits. */
  readonly outline: number;
  /** The place on its slug that is tried first; null: it has none, and its name stands beside it. */
  readonly middle: Vec | null;
  /** The name, and what else is said of it where there is room. */
  readonly lines: readonly [name: string, ...more: string[]];
  /** What stands for the name where there is no room for that either; null: nothing. */
  readonly brief: string | null;
}

export interface PlacedLabel {
  readonly id: string;
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

/**
 * Earlier labels have the first choice.
 *
 * @param taken what stands there already, px.
 * @param travels whether the wire's travel is drawn: then names stand beside it where there is room.
 */
export function placeLabels(
  plan: Plan,
  view: View,
  labels: readonly Label[],
  taken: readonly Rect[],
  travels: boolean,
): PlacedLabel[] {
  const ground = grounds.get(plan) ?? groundOf(plan);
  grounds.set(plan, ground);
  const wordings = labels.map(wordingsOf);
  const names = labels.map(({ outline, middle }, i) => ({
    outline,
    middle,
    writings: (wordings[i] ?? []).map(({ lines, where, crosses }) => ({
      width: (LETTER * Math.max(...lines.map((l) => l.length))) / view.scale,
      lines: lines.length,
      lineHeight: LINE_HEIGHT / view.scale,
      where,
      crosses,
    })),
  }));
  const places = placeNames(
    travels ? ground : { ...ground, faint: [] },
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
            id: label.id,
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

/**
 * The best first, as on the preview: on its slug, if need be across the dots of travel, since on other metal a name is
 * taken for that metal's; all of it, then the name alone; at last what stands for the name.
 */
function wordingsOf({ middle, lines, brief }: Label): Wording[] {
  const [name] = lines;
  const wheres = middle ? (["on", "beside"] as const) : (["beside"] as const);
  return [
    ...wheres.flatMap((where) =>
      [false, true].flatMap((crosses) =>
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
