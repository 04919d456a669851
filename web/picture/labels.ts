/** What stands beside things in the picture: the feature's name and its slug's mass, and where findings are. */
import type { G } from "@svgdotjs/svg.js";
import {
  type Contour,
  type Finding,
  massText,
  type Plan,
  type PlannedFeature,
  type Vec,
} from "../../src/index.js";
import { around, rectOf, touches } from "./box.js";
import { type Label, LINE_HEIGHT, type PlacedLabel } from "./label-places.js";
import { cutsOf } from "./scene.js";
import { type Rect, seen, toScreen, type View } from "./view.js";

/** A label shows when its feature is this wide on the screen, pixels, or when there are few. */
const ROOM = { width: 64, height: 22 } as const;
const FEW = 8;
/** More than this nobody reads. */
const MOST = 60;

/** What a name is for. */
interface Named {
  readonly id: string;
  readonly contour: Contour;
  readonly depth: number;
  readonly outline: number;
  /** null: a slit, of which nothing comes loose. */
  readonly slug: PlannedFeature["slug"] | null;
}

/** What is said of each outline and slit in sight: its name, with its place in the order if `numbered`, and what comes loose. */
export function labelsOf(plan: Plan, view: View, numbered: boolean): Label[] {
  const window = seen(view);
  const order = [...new Set(cutsOf(plan).map((cut) => cut.feature))];
  const slits = plan.slits.map((s) => ({ ...s, depth: 0, slug: null }));
  const inSight = [...plan.features, ...slits]
    .map((one, outline): Named => ({ ...one, outline }))
    .sort((a, b) => b.depth - a.depth)
    .filter(({ contour }) => touches(rectOf(contour), window));
  const isLarge = ({ contour, slug }: Named): boolean => {
    const box = rectOf(contour);
    const wide = (box.maxX - box.minX) * view.scale >= ROOM.width;
    const high = (box.maxY - box.minY) * view.scale >= ROOM.height;
    return slug ? wide && high : wide || high;
  };
  return inSight
    .filter((one) => inSight.length <= FEW || isLarge(one))
    .slice(0, MOST)
    .map(({ id, outline, slug }) => {
      const place = `${order.indexOf(id) + 1}:`;
      const isLoose = slug !== null && slug.mass > 0;
      return {
        id,
        outline,
        middle: isLoose ? slug.cg : null,
        lines: [
          numbered ? `${place} ${id}` : id,
          ...(slug ? [isLoose ? massText(slug.mass) : "no slug"] : []),
        ],
        // The list beside the picture tells what has that number.
        brief: numbered ? place : null,
      };
    });
}

export function drawLabels(layer: G, labels: readonly PlacedLabel[]): void {
  for (const { at, lines, leader } of labels) {
    if (leader) {
      const [from, to] = leader;
      layer.line(from.x, from.y, to.x, to.y).addClass("leader");
      layer.circle(4).center(to.x, to.y).addClass("leader-end");
    }
    const top = at.y - (LINE_HEIGHT * lines.length) / 2;
    lines.forEach((text, i) => {
      // Letters stand on a line a little above the lower end of theirs.
      const y = top + LINE_HEIGHT * (i + 1) - 4;
      write(layer, { x: at.x, y }, text, i === 0 ? "label" : "label quiet");
    });
  }
}

export function write(layer: G, p: Vec, text: string, kind: string): void {
  layer
    .plain(text)
    .attr({ x: p.x, y: p.y, class: kind, "text-anchor": "middle" });
}

/** px */
const STEM = 22;
/** px; a mark nearer to another would make both unreadable. */
const APART = 20;
/** px² of the picture for each mark in sight: more marks would hide it. Then they stand farther apart. */
const ROOM_PER_MARK = 6000;
/** Numbers from here on are wider than a mark; they are in the list, too far down to be looked for. */
const WIDE = 1000;

export interface Mark {
  readonly finding: Finding;
  /** In the list, from 1. */
  readonly number: number;
  /** px */
  readonly foot: Vec;
  readonly chosen: boolean;
}

/**
 * Numbered marks at the findings' places; the number is that of the list. Where they crowd, the first of the list
 * stands for those that it would hide: closer up they come out.
 */
export function marksOf(
  view: View,
  findings: readonly Finding[],
  chosen: Finding | null,
): Mark[] {
  const window = seen(view);
  const inSight = findings
    .map((finding, i) => ({
      finding,
      number: i + 1,
      chosen: finding === chosen,
    }))
    .sort((a, b) => Number(b.chosen) - Number(a.chosen))
    .flatMap((mark) => {
      const { where } = mark.finding;
      if (!where) return [];
      const [x, y] = where;
      if (!touches(around(x, y, 0), window)) return [];
      return [{ ...mark, foot: toScreen(view, { x, y }) }];
    });
  const most = Math.max(1, (view.width * view.height) / ROOM_PER_MARK);
  // Each time those are thinned out that were left the time before: of thousands only the first look takes its time.
  let marks: Mark[] = inSight;
  for (let apart = APART; ; apart *= 1.5) {
    const free = sparse(apart);
    marks = marks.filter(({ foot }) => free(foot));
    if (marks.length <= most) return marks;
  }
}

/** What a mark takes of the screen, px. */
export function roomOf({ foot: { x, y } }: Mark): Rect {
  return { minX: x - 12, maxX: x + 12, minY: y - STEM - 12, maxY: y };
}

export function drawMarks(layer: G, marks: readonly Mark[]): void {
  // Upside down, so that the chosen one and the worst lie on top.
  for (const { finding, number, foot, chosen } of [...marks].reverse()) {
    // Marks stand on a stem, so that what they are about stays in sight.
    const p = { x: foot.x, y: foot.y - STEM };
    const mark = layer
      .group()
      .addClass(`mark ${finding.severity}`)
      .attr("data-finding", number - 1);
    if (chosen) mark.addClass("chosen");
    mark.line(p.x, p.y, foot.x, foot.y).addClass("stem");
    // Shapes differ as well as colours: a diamond is an error, a triangle a warning, a circle a note.
    if (finding.severity === "error")
      mark.path(`M${p.x} ${p.y - 11}l11 11l-11 11l-11 -11Z`);
    else if (finding.severity === "warning")
      mark.path(`M${p.x} ${p.y - 12}l12 20h-24Z`);
    else mark.circle(18).center(p.x, p.y);
    const kind = number < 10 ? "number" : "number small";
    if (number < WIDE)
      write(mark, { x: p.x, y: p.y + 4 }, String(number), kind);
  }
}

/** Tells of point after point whether it stands at least `apart` from all that it took before. */
function sparse(apart: number): (p: Vec) => boolean {
  const cells = new Map<number, Vec>();
  const around = [-1, 0, 1];
  return (p) => {
    const [column, row] = [Math.floor(p.x / apart), Math.floor(p.y / apart)];
    const crowded = around.some((i) =>
      around.some((j) => {
        const q = cells.get(cell(column + i, row + j));
        return q && Math.hypot(p.x - q.x, p.y - q.y) < apart;
      }),
    );
    if (!crowded) cells.set(cell(column, row), p);
    return !crowded;
  };
}

/** One number for a cell of the screen, which is less than half a million cells wide. */
function cell(column: number, row: number): number {
  return column + 1e6 * row;
}
