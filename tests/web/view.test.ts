import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  fitted,
  glided,
  panned,
  serves,
  toDrawing,
  toScreen,
  type View,
  zoomed,
} from "../../web/picture/view.js";

const coordinate = fc.double({ min: -1e4, max: 1e4, noNaN: true });
const view: fc.Arbitrary<View> = fc.record({
  scale: fc.double({ min: 0.1, max: 1e4, noNaN: true }),
  center: fc.record({ x: coordinate, y: coordinate }),
  width: fc.integer({ min: 100, max: 2000 }),
  height: fc.integer({ min: 100, max: 2000 }),
});
const onScreen = fc.record({
  x: fc.integer({ min: 0, max: 2000 }),
  y: fc.integer({ min: 0, max: 2000 }),
});

describe("a picture that glides", () => {
  it("shows each point where the view says it is", () => {
    fc.assert(
      fc.property(
        view,
        fc.double({ min: 0.6, max: 3, noNaN: true }),
        onScreen,
        (drawn, factor, at) => {
          const next = zoomed(drawn, factor, at);
          const way = glided(drawn, next);
          const [x, y, k] = (way.match(/-?[\d.]+(e[-+]\d+)?/g) ?? []).map(
            Number,
          ) as [number, number, number];
          const middle = { x: drawn.width / 2, y: drawn.height / 2 };
          const p = toDrawing(next, at);
          const before = toScreen(drawn, p);
          const after = toScreen(next, p);
          expect(middle.x + k * (before.x - middle.x) + x).toBeCloseTo(
            after.x,
            4,
          );
          expect(middle.y + k * (before.y - middle.y) + y).toBeCloseTo(
            after.y,
            4,
          );
        },
      ),
    );
  });

  it("serves until an edge of what was drawn comes into sight, or it looks coarse", () => {
    const drawn: View = {
      scale: 10,
      center: { x: 0, y: 0 },
      width: 400,
      height: 300,
    };
    // Half a width is drawn beyond the edge: 200 px are 20 mm.
    expect(serves(drawn, panned(drawn, 199, 0), 0.5)).toBe(true);
    expect(serves(drawn, panned(drawn, 201, 0), 0.5)).toBe(false);
    expect(serves(drawn, panned(drawn, 0, -151), 0.5)).toBe(false);
    // Half as large, all that was drawn just fills the picture.
    expect(serves(drawn, { ...drawn, scale: 5.1 }, 0.5)).toBe(true);
    expect(serves(drawn, { ...drawn, scale: 4.9 }, 0.5)).toBe(false);
    // A line three times as wide.
    expect(serves(drawn, { ...drawn, scale: 29 }, 0.5)).toBe(true);
    expect(serves(drawn, { ...drawn, scale: 31 }, 0.5)).toBe(false);
  });
});

describe("the eye", () => {
  it("zooms about the pointer: what lies under it stays there", () => {
    fc.assert(
      fc.property(
        view,
        onScreen,
        fc.double({ min: 0.5, max: 2, noNaN: true }),
        (v, at, factor) => {
          const held = toDrawing(v, at);
          const after = toScreen(zoomed(v, factor, at), held);
          expect(after.x).toBeCloseTo(at.x, 3);
          expect(after.y).toBeCloseTo(at.y, 3);
        },
      ),
    );
  });

  it("pans by as many pixels as the pointer moves", () => {
    fc.assert(
      fc.property(view, onScreen, (v, by) => {
        const before = toScreen(v, v.center);
        const after = toScreen(panned(v, by.x, by.y), v.center);
        expect(after.x - before.x).toBeCloseTo(by.x, 3);
        expect(after.y - before.y).toBeCloseTo(by.y, 3);
      }),
    );
  });

  it("shows all of a drawing, within its margin", () => {
    fc.assert(
      fc.property(view, coordinate, coordinate, (v, x, y) => {
        const box = { minX: x, minY: y, maxX: x + 37, maxY: y + 12 };
        const all = fitted(v, box, 20);
        for (const p of [
          toScreen(all, { x: box.minX, y: box.minY }),
          toScreen(all, { x: box.maxX, y: box.maxY }),
        ]) {
          expect(p.x).toBeGreaterThan(19);
          expect(p.x).toBeLessThan(v.width - 19);
          expect(p.y).toBeGreaterThan(19);
          expect(p.y).toBeLessThan(v.height - 19);
        }
      }),
    );
  });
});
