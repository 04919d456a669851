/** Families of outlines for tests: seeded, closed, simple, counter-clockwise. */
import {
  type Contour,
  contourArea,
  polygonContour,
} from "../../src/geometry/contour.js";
import { intersectSegments } from "../../src/geometry/intersect.js";
import { type Segment, segmentFromBulge } from "../../src/geometry/segment.js";
import { distance, type Vec } from "../../src/geometry/vec.js";

/** Deterministic numbers in [0, 1) (mulberry32). */
export function random(seed: number): () => number {
  let a = seed >>> 0;
  return () => {
    a = (a + 0x6d2b79f5) >>> 0;
    let t = Math.imul(a ^ (a >>> 15), 1 | a);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** Closed contour through points with bulges (bulge of the segment that leaves each point). */
export function bulged(
  points: readonly (readonly [number, number, number])[],
): Contour {
  const segments: Segment[] = [];
  points.forEach(([x, y, b], i) => {
    const [nx, ny] = points[(i + 1) % points.length] as readonly [
      number,
      number,
      number,
    ];
    const s = segmentFromBulge({ x, y }, { x: nx, y: ny }, b);
    if (s) segments.push(s);
  });
  return { closed: true, segments };
}

/** Rounds every corner of a polygon with a tangent arc of the given radius where it fits. */
export function rounded(points: readonly Vec[], radius: number): Contour {
  const n = points.length;
  const out: [number, number, number][] = [];
  for (let i = 0; i < n; i++) {
    const p = points[(i + n - 1) % n] as Vec;
    const q = points[i] as Vec;
    const r = points[(i + 1) % n] as Vec;
    const lp = distance(p, q);
    const lr = distance(q, r);
    const ux = (p.x - q.x) / lp;
    const uy = (p.y - q.y) / lp;
    const vx = (r.x - q.x) / lr;
    const vy = (r.y - q.y) / lr;
    const half = Math.acos(Math.max(-1, Math.min(1, ux * vx + uy * vy))) / 2;
    const reach = Math.min(radius / Math.tan(half), lp / 2.01, lr / 2.01);
    const turn = Math.sign(-ux * vy + uy * vx);
    const bulge = turn * Math.tan((Math.PI - 2 * half) / 4);
    out.push(
      [q.x + ux * reach, q.y + uy * reach, bulge],
      [q.x + vx * reach, q.y + vy * reach, 0],
    );
  }
  return bulged(out);
}

export function star(tips: number, outer: number, inner: number): Vec[] {
  return Array.from({ length: 2 * tips }, (_, i) => {
    const a = (i * Math.PI) / tips;
    const r = i % 2 === 0 ? outer : inner;
    return { x: r * Math.cos(a), y: r * Math.sin(a) };
  });
}

/** Gear-like outline: arcs on tips and in roots, straight flanks. */
export function gear(
  teeth: number,
  tip: number,
  root: number,
  share: number,
): Contour {
  const pitch = (2 * Math.PI) / teeth;
  const points: [number, number, number][] = [];
  const bulge = (angle: number): number => Math.tan(angle / 4);
  for (let i = 0; i < teeth; i++) {
    const a = i * pitch;
    const flank = pitch * 0.1;
    const land = pitch * share;
    const gap = pitch - land - 2 * flank;
    const put = (r: number, angle: number, b: number): void => {
      points.push([r * Math.cos(angle), r * Math.sin(angle), b]);
    };
    put(root, a, bulge(gap));
    put(root, a + gap, 0);
    put(tip, a + gap + flank, bulge(land));
    put(tip, a + gap + flank + land, 0);
  }
  return bulged(points);
}

/** Does the contour meet itself anywhere but at shared ends of neighbours? O(n²): for tests. */
export function isSimple(c: Contour): boolean {
  const n = c.segments.length;
  for (let i = 0; i < n; i++) {
    for (let j = i + 1; j < n; j++) {
      const hits = intersectSegments(
        c.segments[i] as Segment,
        c.segments[j] as Segment,
      );
      const allowed = (j === i + 1 ? 1 : 0) + (i === 0 && j === n - 1 ? 1 : 0);
      if (hits.length > allowed) return false;
    }
  }
  return true;
}

/** A random simple contour of one of several nasty families; `null` when the draw is not simple. */
export function randomContour(rnd: () => number): Contour | null {
  const pick = Math.floor(rnd() * 8);
  const between = (lo: number, hi: number): number => lo + (hi - lo) * rnd();
  let c: Contour;
  if (pick === 0) {
    c = gear(
      3 + Math.floor(rnd() * 20),
      between(4, 8),
      between(2, 3.9),
      between(0.15, 0.6),
    );
  } else if (pick === 1) {
    c = polygonContour(
      star(3 + Math.floor(rnd() * 9), between(3, 8), between(0.5, 2.9)),
    );
  } else if (pick === 2) {
    c = rounded(
      star(3 + Math.floor(rnd() * 9), between(3, 8), between(0.5, 2.9)),
      between(0.01, 0.8),
    );
  } else if (pick === 3) {
    // Blob: wavy radius, random bulges.
    const n = 4 + Math.floor(rnd() * 30);
    c = bulged(
      Array.from({ length: n }, (_, i) => {
        const a = (i * 2 * Math.PI) / n;
        const r = between(2, 6);
        return [
          r * Math.cos(a),
          r * Math.sin(a),
          rnd() < 0.4 ? 0 : between(-0.6, 0.6),
        ] as const;
      }),
    );
  } else if (pick === 4) {
    // Dumbbell with a neck.
    const w = between(0.02, 0.8);
    const l = between(0.2, 3);
    const r = between(0.5, 2);
    c = bulged([
      [-l, -w, 0],
      [l, -w, between(1.2, 3) * (r / r)],
      [l, w, 0],
      [-l, w, between(1.2, 3)],
    ]);
  } else if (pick === 5) {
    // Grid walk: a union-like comb of unit cells.
    const n = 2 + Math.floor(rnd() * 6);
    const pts: Vec[] = [
      { x: 0, y: 0 },
      { x: n * 2, y: 0 },
    ];
    for (let i = n - 1; i >= 0; i--) {
      const h = 1 + Math.floor(rnd() * 4);
      const g = rnd() < 0.5 ? 0.3 : 0.5;
      pts.push(
        { x: i * 2 + 2, y: h },
        { x: i * 2 + 1, y: h },
        { x: i * 2 + 1, y: g },
        { x: i * 2, y: g },
      );
    }
    pts.pop();
    pts.push({ x: 0, y: pts.at(-1)?.y ?? 1 });
    c = polygonContour(pts);
  } else if (pick === 6) {
    // Spiral corridor.
    const turns = between(1, 2.5);
    const n = Math.floor(turns * 12);
    const w = between(0.1, 0.6);
    const at = (i: number, off: number): Vec => {
      const a = (i * Math.PI) / 6;
      const r = 1.5 + (i * 1.3) / 12 + off;
      return { x: r * Math.cos(a), y: r * Math.sin(a) };
    };
    const pts = [
      ...Array.from({ length: n }, (_, i) => at(i, w)),
      ...Array.from({ length: n }, (_, i) => at(n - 1 - i, -w)),
    ];
    c = rnd() < 0.5 ? polygonContour(pts) : rounded(pts, between(0.02, 0.2));
  } else {
    // Nearly tangent chain of arcs.
    const n = 6 + Math.floor(rnd() * 20);
    c = bulged(
      Array.from({ length: n }, (_, i) => {
        const a = (i * 2 * Math.PI) / n;
        const nudge = 1 + (rnd() - 0.5) * 10 ** -(3 + Math.floor(rnd() * 9));
        return [
          5 * nudge * Math.cos(a),
          5 * nudge * Math.sin(a),
          Math.tan(Math.PI / (2 * n)),
        ] as const;
      }),
    );
  }
  if (!isSimple(c)) return null;
  return contourArea(c) > 0 ? c : null;
}
