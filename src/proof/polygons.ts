/** Polygons of metal: chords of arcs, places inside, boxes. */
import { KERF_CHORD } from "../base/tolerance.js";
import { type Box, EMPTY_BOX, type Segment } from "../geometry/segment.js";
import type { Vec } from "../geometry/vec.js";
import type { Area } from "./material.js";
import { xAt, yAt } from "./stretches.js";

/** Points along a segment whose chords stay within `KERF_CHORD`, without its start. */
export function chordPoints(s: Segment): Vec[] {
  if (s.kind === "line") return [s.end];
  // Sagitta r(1 - cos(a/2)), solved for the angle of one chord.
  const most =
    s.radius > KERF_CHORD ? 2 * Math.acos(1 - KERF_CHORD / s.radius) : Math.PI;
  const n = Math.max(1, Math.ceil(Math.abs(s.sweep) / most));
  return Array.from({ length: n }, (_, k) =>
    k === n - 1 ? s.end : { x: xAt(s, (k + 1) / n), y: yAt(s, (k + 1) / n) },
  );
}

export function areaBox(area: Area): Box {
  let { minX, minY, maxX, maxY } = EMPTY_BOX;
  for (const { rim } of area.parts)
    for (const { x, y } of rim) {
      if (x < minX) minX = x;
      if (x > maxX) maxX = x;
      if (y < minY) minY = y;
      if (y > maxY) maxY = y;
    }
  return { minX, minY, maxX, maxY };
}

/** Even-odd rule over the rims, so that what a kerf has taken out from inside still counts as inside. */
export function enclosedBy(area: Area, p: Vec): boolean {
  return area.parts.some(({ rim }) => crossings(rim, p) % 2 === 1);
}

/** In the area's metal, as its own kerf left it. */
export function inMetal({ parts }: Area, p: Vec): boolean {
  return parts.some(
    ({ rim, holes }) =>
      [rim, ...holes].reduce((n, path) => n + crossings(path, p), 0) % 2 === 1,
  );
}

/** How many edges of a polygon a ray from `p` to the right crosses. */
function crossings(polygon: readonly Vec[], p: Vec): number {
  let n = 0;
  polygon.forEach((a, k) => {
    const b = polygon[(k + 1) % polygon.length] as Vec;
    if (
      a.y > p.y !== b.y > p.y &&
      p.x < a.x + ((p.y - a.y) / (b.y - a.y)) * (b.x - a.x)
    )
      n++;
  });
  return n;
}

/** Level lines on which a place inside is looked for, as shares of the height. */
const LEVELS = [0.5, 0.31, 0.69, 0.13, 0.87];

/** A point well inside: the middle of the widest stretch on a few level lines. */
export function insidePoint(area: Area): Vec {
  let best: { at: Vec; width: number } | null = null;
  for (const { rim, holes } of area.parts) {
    let low = Number.POSITIVE_INFINITY;
    let high = Number.NEGATIVE_INFINITY;
    for (const { y } of rim) {
      low = Math.min(low, y);
      high = Math.max(high, y);
    }
    for (const level of LEVELS) {
      const y = low + level * (high - low);
      const xs: number[] = [];
      for (const polygon of [rim, ...holes])
        polygon.forEach((a, k) => {
          const b = polygon[(k + 1) % polygon.length] as Vec;
          if (a.y > y !== b.y > y)
            xs.push(a.x + ((y - a.y) / (b.y - a.y)) * (b.x - a.x));
        });
      xs.sort((p, q) => p - q);
      for (let k = 0; k + 1 < xs.length; k += 2) {
        const width = (xs[k + 1] as number) - (xs[k] as number);
        if (!best || width > best.width)
          best = {
            at: { x: ((xs[k] as number) + (xs[k + 1] as number)) / 2, y },
            width,
          };
      }
    }
  }
  return best?.at ?? (area.parts[0]?.rim[0] as Vec);
}
