import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { PROGRAM_RESOLUTION } from "../../src/base/tolerance.js";
import {
  type GridMove,
  gridPath,
  onGrid,
} from "../../src/geometry/grid-path.js";
import {
  type Arc,
  arcAbout,
  line,
  pointAt,
  type Segment,
} from "../../src/geometry/segment.js";
import { vec } from "../../src/geometry/vec.js";

const MM = PROGRAM_RESOLUTION.mm;
const INCH = PROGRAM_RESOLUTION.in * 25.4;

/** Written moves as points along them, worked out from X Y I J alone; the radius is that of the start. */
function runAlong(
  start: { x: number; y: number },
  moves: readonly GridMove[],
  step: number,
) {
  const points: { x: number; y: number }[] = [];
  let at = start;
  let turned = 0;
  let worstRadii = 0;
  for (const m of moves) {
    const n = 40;
    if (m.kind === "line")
      for (let k = 0; k <= n; k++)
        points.push({
          x: (at.x + ((m.to.x - at.x) * k) / n) * step,
          y: (at.y + ((m.to.y - at.y) * k) / n) * step,
        });
    else {
      const cx = at.x + m.i;
      const cy = at.y + m.j;
      const r = Math.hypot(m.i, m.j);
      worstRadii = Math.max(
        worstRadii,
        Math.abs(r - Math.hypot(m.to.x - cx, m.to.y - cy)) * step,
      );
      const a = Math.atan2(at.y - cy, at.x - cx);
      let sweep = Math.atan2(m.to.y - cy, m.to.x - cx) - a;
      if (m.counterClockwise && sweep <= 0) sweep += 2 * Math.PI;
      if (!m.counterClockwise && sweep >= 0) sweep -= 2 * Math.PI;
      turned += sweep;
      for (let k = 0; k <= n; k++)
        points.push({
          x: (cx + r * Math.cos(a + (sweep * k) / n)) * step,
          y: (cy + r * Math.sin(a + (sweep * k) / n)) * step,
        });
    }
    at = m.to;
  }
  return { points, turned, worstRadii, end: at };
}

/** mm from a point to the planned arc, taken as the circle and its two ends. */
function offArc(s: Arc, p: { x: number; y: number }): number {
  const ends = Math.min(
    Math.hypot(p.x - s.start.x, p.y - s.start.y),
    Math.hypot(p.x - s.end.x, p.y - s.end.y),
  );
  let angle =
    (Math.atan2(p.y - s.center.y, p.x - s.center.x) -
      Math.atan2(s.start.y - s.center.y, s.start.x - s.center.x)) *
    Math.sign(s.sweep);
  while (angle < 0) angle += 2 * Math.PI;
  return angle <= Math.abs(s.sweep)
    ? Math.abs(Math.hypot(p.x - s.center.x, p.y - s.center.y) - s.radius)
    : ends;
}

const arcs = fc
  .record({
    x: fc.double({ min: -400, max: 400, noNaN: true }),
    y: fc.double({ min: -400, max: 400, noNaN: true }),
    // Radii from a tenth of a micrometre to ten kilometres, evenly over the powers of ten.
    radius: fc.double({ min: -4, max: 7, noNaN: true }).map((e) => 10 ** e),
    from: fc.double({ min: -Math.PI, max: Math.PI, noNaN: true }),
    length: fc.double({ min: -4.5, max: 2.5, noNaN: true }).map((e) => 10 ** e),
    sense: fc.constantFrom(1, -1),
  })
  .map(({ x, y, radius, from, length, sense }) => {
    const sweep = sense * Math.min(length / radius, 2 * Math.PI - 1e-6);
    const center = vec(
      x - radius * Math.cos(from),
      y - radius * Math.sin(from),
    );
    return arcAbout(center, radius, from, sweep) as Arc;
  });

describe.each([
  ["mm", MM, 0.00015],
  ["inch", INCH, 0.0003],
])("arcs on the %s grid", (_, step, limit) => {
  test(`stay within ${limit} mm of the planned arc, turn the same way and never further`, () => {
    fc.assert(
      fc.property(arcs, (s) => {
        const { start, moves } = gridPath([s], step, null);
        expect(start).toEqual(onGrid(s.start, step));
        const run = runAlong(start, moves, step);
        const off = Math.max(0, ...run.points.map((p) => offArc(s, p)));
        expect(off).toBeLessThanOrEqual(limit);
        // And the other way round: every planned point has a written one, or lies where nothing could be written.
        expect(run.end).toEqual(onGrid(s.end, step));
        expect(run.turned * Math.sign(s.sweep)).toBeGreaterThanOrEqual(0);
        expect(Math.abs(run.turned)).toBeLessThan(Math.abs(s.sweep) + 0.7);
        // 0.0005 mm is what the program promises; a grid step is what the choice of the centre reaches.
        expect(run.worstRadii).toBeLessThanOrEqual(step);
        for (const m of moves)
          if (m.kind === "arc") {
            expect(Number.isInteger(m.i) && Number.isInteger(m.j)).toBe(true);
            expect(Math.hypot(m.i, m.j) * step).toBeLessThan(1e5);
          }
      }),
      { numRuns: 2000 },
    );
  });

  test("leave out no part of the planned arc", () => {
    fc.assert(
      fc.property(arcs, fc.double({ min: 0, max: 1, noNaN: true }), (s, t) => {
        const p = pointAt(s, t);
        const { start, moves } = gridPath([s], step, null);
        const { points } = runAlong(start, moves, step);
        points.push({ x: start.x * step, y: start.y * step });
        let nearest = Number.POSITIVE_INFINITY;
        for (let k = 1; k < points.length; k++) {
          const a = points[k - 1] as { x: number; y: number };
          const b = points[k] as { x: number; y: number };
          const dx = b.x - a.x;
          const dy = b.y - a.y;
          const whole = dx * dx + dy * dy;
          const u =
            whole === 0
              ? 0
              : Math.min(
                  1,
                  Math.max(0, ((p.x - a.x) * dx + (p.y - a.y) * dy) / whole),
                );
          nearest = Math.min(
            nearest,
            Math.hypot(p.x - a.x - u * dx, p.y - a.y - u * dy),
          );
        }
        if (points.length === 1)
          nearest = Math.hypot(
            p.x - (points[0] as { x: number }).x,
            p.y - (points[0] as { y: number }).y,
          );
        // A point every fortieth of an arc: between two of them the chord may lie inside by the sagitta.
        const sweep = Math.min(Math.abs(s.sweep), Math.PI) / 40;
        const sagitta = s.radius * (1 - Math.cos(sweep / 2));
        expect(nearest).toBeLessThanOrEqual(limit + sagitta * 1.01);
      }),
      { numRuns: 2000 },
    );
  });
});

describe("a path on a grid as coarse as controls have it, with metal kept on one side", () => {
  const grids = fc.constantFrom(0.0003, 0.0005, 0.001, 0.002, 0.0001 * 25.4);
  const free = fc.constantFrom("left" as const, "right" as const);
  const sides = fc.array(fc.double({ min: -5, max: 5, noNaN: true }), {
    minLength: 2,
    maxLength: 2,
  });
  /** mm by which a point lies in the metal that is kept on the other side of the path, taken on its own segment. */
  const deep = (s: Segment, side: string, p: { x: number; y: number }) => {
    const sense = side === "left" ? 1 : -1;
    if (s.kind === "arc")
      return (
        sense *
        Math.sign(s.sweep) *
        (Math.hypot(p.x - s.center.x, p.y - s.center.y) - s.radius)
      );
    const [dx, dy] = [s.end.x - s.start.x, s.end.y - s.start.y];
    return (
      (sense * ((p.x - s.start.x) * dy - (p.y - s.start.y) * dx)) /
      Math.hypot(dx, dy)
    );
  };

  test("an arc cuts no deeper than 0.0003 mm into it, lies off by no more than three steps, and its radii agree within 0.0005 mm", () => {
    fc.assert(
      fc.property(arcs, grids, free, (s, step, side) => {
        fc.pre(s.radius > 0.05 && Math.abs(s.sweep) * s.radius > 0.05);
        const { start, moves } = gridPath([s], step, side);
        const { points, worstRadii } = runAlong(start, moves, step);
        const depths = points.map((p) => deep(s, side, p));
        expect(Math.max(...depths)).toBeLessThanOrEqual(0.0003);
        expect(Math.min(...depths)).toBeGreaterThanOrEqual(-3 * step);
        // The contract's figure, and the last bits of doubles some hundred mm from the origin.
        expect(worstRadii).toBeLessThanOrEqual(0.0005 + 1e-9);
      }),
      { numRuns: 2000 },
    );
  });

  test("the circle of an arc takes no more than 0.0002 mm beyond its planned ends either, whichever of its two radii a control goes by", () => {
    // The root of a rounded star: kept inside. On this grid its end comes 0.0014 mm away, nearly along the path.
    const root: Arc = {
      kind: "arc",
      start: vec(-0.8628017777012484, 3.5808375869972187),
      end: vec(-1.5309960292433749, 3.4630169120960437),
      center: vec(-1.2516110647418546, 3.832215335066582),
      radius: 0.46299398906837747,
      sweep: -1.6446596436129604,
    };
    const step = 0.002;
    const { start, moves } = gridPath([root], step, "left");
    const written = moves.flatMap((m, k) => {
      if (m.kind === "line") return [];
      const from = moves[k - 1]?.to ?? start;
      const center = vec((from.x + m.i) * step, (from.y + m.j) * step);
      const off = (p: { x: number; y: number }) =>
        Math.hypot(p.x - center.x, p.y - center.y);
      const radius = Math.min(
        Math.hypot(m.i, m.j) * step,
        off({ x: m.to.x * step, y: m.to.y * step }),
      );
      return [{ off, radius }];
    });
    const [first, last] = [written[0], written.at(-1)];
    if (!first || !last) throw new Error("no arc was written");
    for (const [{ off, radius }, end] of [
      [first, root.start],
      [last, root.end],
    ] as const)
      expect(off(end) - radius).toBeLessThanOrEqual(0.0002 + 1e-9);
  });

  test("a corner of two lines, no sharper than 45°, cuts no deeper than 0.0002 mm into either wall", () => {
    fc.assert(
      fc.property(
        sides,
        fc.double({ min: 0, max: 2 * Math.PI, noNaN: true }),
        fc.double({ min: -0.75 * Math.PI, max: 0.75 * Math.PI, noNaN: true }),
        grids,
        free,
        ([x = 0, y = 0], heading, turn, step, side) => {
          const at = vec(x, y);
          const on = (angle: number, d: number) =>
            vec(x + d * Math.cos(angle), y + d * Math.sin(angle));
          const a = line(on(heading, -3), at);
          const b = line(at, on(heading + turn, 4));
          const { start, moves } = gridPath([a, b], step, side);
          const [middle, end] = moves.map(({ to }) => ({
            x: to.x * step,
            y: to.y * step,
          }));
          const first = { x: start.x * step, y: start.y * step };
          for (const [s, p] of [
            [a, first],
            [a, middle],
            [b, middle],
            [b, end],
          ] as [Segment, { x: number; y: number }][])
            expect(deep(s, side, p)).toBeLessThanOrEqual(0.0002 + 1e-9);
        },
      ),
      { numRuns: 2000 },
    );
  });
});

describe("what rounding would spoil", () => {
  const only = (s: Segment) => gridPath([s], MM, null).moves;

  test("an arc bulging by 0.02 µm becomes a line", () => {
    // Sagitta = c²/8r: 0.4² / (8 · 1000) = 0.00002 mm.
    const moves = only(arcAbout(vec(0, 0), 1000, 0, 0.4 / 1000));
    expect(moves.map((m) => m.kind)).toEqual(["line"]);
  });

  test("an arc that begins and ends in one place of the grid vanishes", () => {
    expect(only(arcAbout(vec(1, 1), 0.00002, 0, Math.PI))).toEqual([]);
    expect(only(line(vec(0, 0), vec(0.00004, -0.00004)))).toEqual([]);
  });

  test("a full circle less a hair is written in parts and never closes at once", () => {
    const moves = only(arcAbout(vec(0, 0), 5, 0, 2 * Math.PI - 1e-7));
    expect(moves.length).toBeGreaterThanOrEqual(2);
    let at = onGrid(vec(5, 0), MM);
    for (const m of moves) {
      expect(m.to).not.toEqual(at);
      at = m.to;
    }
  });

  test("a radius of a kilometre is written as chords that stay within 0.1 µm", () => {
    // 100 mm of it bulge by 100² / (8 · 1e6) = 1.25 µm: more than a line may leave out.
    const moves = only(arcAbout(vec(0, -1e6), 1e6, Math.PI / 2, 1e-4));
    expect(moves.length).toBeGreaterThan(3);
    expect(moves.every((m) => m.kind === "line")).toBe(true);
  });
});
