/** What stands beside things in the picture: the feature's name and its slug's mass, and where findings are. */
import type { G } from "@svgdotjs/svg.js";
import {
  type Finding,
  massText,
  type Plan,
  type PlannedFeature,
  type Vec,
} from "../../src/index.js";
import { around, rectOf } from "./box.js";
import { type Rect, seen, toScreen, type View } from "./view.js";

/** A label shows when its feature is this wide on the screen, pixels. */
const ROOM = { width: 64, height: 22 } as const;
/** px from an outline down to its label. */
const BELOW = 16;
/** px, of both lines. */
const LABEL_HEIGHT = 34;
/** More than this nobody reads. */
const MOST = 60;

export function drawLabels(layer: G, view: View, plan: Plan): void {
  const window = seen(view);
  const taken: Vec[] = [];
  const deepestFirst = [...plan.features].sort((a, b) => b.depth - a.depth);
  for (const f of deepestFirst) {
    const box = rectOf(f.contour);
    if (taken.length >= MOST) return;
    if (
      !touches(box, window) ||
      (box.maxX - box.minX) * view.scale < ROOM.width ||
      (box.maxY - box.minY) * view.scale < ROOM.height
    )
      continue;
    const p = freeOf(taken, toScreen(view, labelPlace(f, view)));
    taken.push(p);
    write(layer, p, f.id, "label");
    write(
      layer,
      { x: p.x, y: p.y + 15 },
      f.slug.mass > 0 ? massText(f.slug.mass) : "no slug",
      "label quiet",
    );
  }
}

/** On the slug; where none is left the hole stands there, so below the outline. */
function labelPlace(f: PlannedFeature, view: View): Vec {
  if (f.slug.mass > 0) return f.slug.cg;
  return { x: f.slug.cg.x, y: rectOf(f.contour).minY - BELOW / view.scale };
}

/** The place, or one below it where no other label stands. */
function freeOf(taken: readonly Vec[], p: Vec): Vec {
  const inTheWay = taken.find(
    (t) =>
      Math.abs(t.x - p.x) < ROOM.width && Math.abs(t.y - p.y) < LABEL_HEIGHT,
  );
  return inTheWay ? freeOf(taken, { x: p.x, y: inTheWay.y + LABEL_HEIGHT }) : p;
}

export function write(layer: G, p: Vec, text: string, kind: string): void {
  layer
    .plain(text)
    .attr({ x: p.x, y: p.y, class: kind, "text-anchor": "middle" });
}

export function touches(a: Rect, b: Rect): boolean {
  return (
    a.minX <= b.maxX && a.maxX >= b.minX && a.minY <= b.maxY && a.maxY >= b.minY
  );
}

/** px */
const STEM = 22;
/** px; a mark nearer to another would make both unreadable. */
const APART = 20;

/**
 * Numbered marks at the findings' places; the number is that of the list. Where they crowd, the first of the list
 * stands for those that it would hide: closer up they come out.
 */
export function drawMarks(
  layer: G,
  view: View,
  findings: readonly Finding[],
  chosen: Finding | null,
): void {
  const window = seen(view);
  const apart = sparse(APART);
  const drawn = findings
    .map((finding, i) => ({ finding, number: i + 1 }))
    .sort((a, b) => Number(b.finding === chosen) - Number(a.finding === chosen))
    .flatMap(({ finding, number }) => {
      if (!finding.where) return [];
      const [x, y] = finding.where;
      if (!touches(around(x, y, 0), window)) return [];
      const foot = toScreen(view, { x, y });
      return apart(foot) ? [{ finding, number, foot }] : [];
    });
  // Upside down, so that the chosen one and the worst lie on top.
  for (const { finding, number, foot } of drawn.reverse()) {
    // Marks stand on a stem, so that what they are about stays in sight.
    const p = { x: foot.x, y: foot.y - STEM };
    const mark = layer
      .group()
      .addClass(`mark ${finding.severity}`)
      .attr("data-finding", number - 1);
    if (finding === chosen) mark.addClass("chosen");
    mark.line(p.x, p.y, foot.x, foot.y).addClass("stem");
    // Shapes differ as well as colours: a diamond is an error, a triangle a warning, a circle a note.
    if (finding.severity === "error")
      mark.path(`M${p.x} ${p.y - 11}l11 11l-11 11l-11 -11Z`);
    else if (finding.severity === "warning")
      mark.path(`M${p.x} ${p.y - 12}l12 20h-24Z`);
    else mark.circle(18).center(p.x, p.y);
    write(mark, { x: p.x, y: p.y + 4 }, String(number), "number");
  }
}

/** Tells of point after point whether it stands at least `apart` from all that it took before. */
function sparse(apart: number): (p: Vec) => boolean {
  const cells = new Map<string, Vec>();
  const around = [-1, 0, 1];
  return (p) => {
    const [column, row] = [Math.floor(p.x / apart), Math.floor(p.y / apart)];
    const crowded = around.some((i) =>
      around.some((j) => {
        const q = cells.get(`${column + i} ${row + j}`);
        return q && Math.hypot(p.x - q.x, p.y - q.y) < apart;
      }),
    );
    if (!crowded) cells.set(`${column} ${row}`, p);
    return !crowded;
  };
}
