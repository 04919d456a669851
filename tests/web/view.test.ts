import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  fitted,
  panned,
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
