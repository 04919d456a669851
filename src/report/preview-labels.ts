/** Order number, name and mass of every feature, where they cover no line, no mark and no other name. */
import { type Box, pointAt, type Segment } from "../geometry/segment.js";
import type { Vec } from "../geometry/vec.js";
import type { Plan, PlannedFeature } from "../plan/plan.js";
import type { Ground } from "./name-ground.js";
import { type NamePlace, placeNames } from "./name-places.js";
import { stepNumbers } from "./of-feature.js";
import { type Frame, figure, textAt } from "./preview-frame.js";
import { TEXT } from "./preview-style.js";
import { massText, rangesText } from "./text.js";

/** Width of a letter against the text size: the middle of a sans serif. */
const LETTER = 0.56;

/** Distance of lines of text against the text size. */
const STEP = 1.25;

/** With more features than this there is no free ground between them to look for. */
const MOST_BESIDE = 100;

export interface Labels {
  readonly markup: string;
  /** Rooms they take, mm of the drawing. */
  readonly boxes: readonly Box[];
}

/** A text in a size, mm on paper, on what it names or beside it. */
export interface Wording {
  /** Left out: it may stand on the wire's way of travel where there is no room beside that. */
  readonly crosses?: false;
  readonly lines: readonly string[];
  readonly size: number;
  readonly where: "on" | "beside";
}

export function on(size: number, lines: readonly string[]): Wording {
  return { lines, size, where: "on" };
}

/** What stands where; what finds no place is left out. */
export interface PlacedLabel {
  readonly wording: Wording;
  readonly place: NamePlace;
}

/**
 * @param named for each outline of the ground the place that is tried first and the wordings, the best first.
 * @param marks rooms that are taken already, mm of the drawing.
 */
export function placedLabels(
  frame: Frame,
  ground: Ground,
  named: readonly {
    readonly middle: Vec | null;
    readonly wordings: readonly Wording[];
  }[],
  marks: readonly Box[],
): PlacedLabel[] {
  const names = named.map(({ middle, wordings }, outline) => ({
    outline,
    middle,
    writings: wordings.map(({ lines, size, where, crosses = true }) => ({
      crosses,
      width: frame.paper(size * textWidth(lines)),
      lines: lines.length,
      lineHeight: frame.paper(size * STEP),
      where,
    })),
  }));
  return placeNames(ground, names, frame.window, marks).flatMap((place, i) => {
    const wording = place && named[i]?.wordings[place.writing];
    return wording ? [{ wording, place }] : [];
  });
}

/** `marks`: rooms that are taken already, mm of the drawing. */
export function featureLabels(
  plan: Plan,
  frame: Frame,
  ground: Ground,
  marks: readonly Box[],
): Labels {
  const named = plan.features.map((f) => ({
    middle: f.slug.cg,
    wordings: wordingsOf(plan, f),
  }));
  const slits = plan.slits.map((s) => ({
    middle: middleOf(s.contour.segments),
    wordings: slitWordings(plan, s.id),
  }));
  const placed = placedLabels(frame, ground, [...named, ...slits], marks);
  return {
    markup: placed.map((l) => label(l.wording, l.place, frame)).join("\n"),
    boxes: placed.map((l) => l.place.box),
  };
}

function middleOf(segments: readonly Segment[]): Vec {
  return pointAt(segments[segments.length >> 1] as Segment, 0.5);
}

function slitWordings(plan: Plan, id: string): readonly Wording[] {
  const order = rangesText(stepNumbers(plan, id, (s) => s.kind === "cut"));
  return [
    { lines: [order, id], size: TEXT.small, where: "beside" },
    on(1.5, [order]),
    on(1, [order]),
    on(TEXT.least, [order]),
  ];
}

/** The best first: small before beside the outline, then shorter. All stands in the sheet, found by the order number. */
function wordingsOf(plan: Plan, f: PlannedFeature): readonly Wording[] {
  const order = rangesText(
    stepNumbers(plan, f.id, (s) => s.kind === "cut" && !s.attended),
  );
  const hasSlug = f.slug.mass > 0;
  const mass = hasSlug ? massText(f.slug.mass) : "no slug";
  const all = [order, f.id, mass];
  const clear = (wording: Wording): Wording => ({ ...wording, crosses: false });
  const onSlug = hasSlug
    ? [on(TEXT.body, all), on(TEXT.small, all), on(TEXT.smaller, all)]
    : [];
  const beside: readonly Wording[] =
    plan.features.length > MOST_BESIDE
      ? []
      : [{ lines: all, size: TEXT.small, where: "beside" }];
  return [
    ...onSlug.map(clear),
    // On other metal a name is taken for that metal's, however clear it stands there: rather across some dots.
    ...onSlug,
    ...beside.map(clear),
    ...beside,
    ...(hasSlug ? [on(1.5, all), on(1.5, [order, mass])] : []),
    on(1.5, [order]),
    on(1, [order]),
    on(TEXT.least, [order]),
  ];
}

function label(
  { lines, size }: Wording,
  { at, box, leader }: NamePlace,
  frame: Frame,
): string {
  const step = frame.paper(size * STEP);
  const x = frame.x(at.x);
  const top = frame.y(box.maxY) + step / 2;
  return [
    leader ? leaderLine(frame, ...leader) : "",
    ...lines.map((text, i) =>
      i === 0
        ? badge(frame, x, top, text, size)
        : textAt(frame, x, top + i * step + frame.paper(size) * 0.35, text, {
            size,
            anchor: "middle",
          }),
    ),
  ].join("");
}

/** From a text to what it is about, where a dot stands. */
export function leaderLine(frame: Frame, from: Vec, to: Vec): string {
  const [x, y, r] = [frame.x(to.x), frame.y(to.y), frame.paper(0.5)].map(
    figure,
  );
  return `<path class="kw-rule" d="M${frame.at(from)}L${frame.at(to)}"/><circle class="kw-badge" cx="${x}" cy="${y}" r="${r}"/>`;
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
