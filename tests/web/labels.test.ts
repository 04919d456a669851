import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { draftPlan, type Plan, pointAt } from "../../src/index.js";
import { placeNames } from "../../web/hand/grip-names.js";
import { gripsOf } from "../../web/hand/place.js";
import { boxOf, touches } from "../../web/picture/box.js";
import {
  LINE_HEIGHT,
  type PlacedLabel,
  placeLabels,
} from "../../web/picture/label-places.js";
import { labelsOf, marksOf } from "../../web/picture/labels.js";
import {
  fitted,
  type Rect,
  toScreen,
  type View,
} from "../../web/picture/view.js";

const sample = (file: string): string =>
  readFileSync(new URL(`../../samples/${file}`, import.meta.url), "utf8");
const die = draftPlan({
  name: "die",
  drawing: sample("die-plate/die-plate.dxf"),
  job: sample("die-plate/job.json"),
}).plan;

const whole = (plan: Plan, width: number, height: number): View =>
  fitted({ scale: 1, center: { x: 0, y: 0 }, width, height }, boxOf(plan), 36);

/** A letter is at least half as wide as it is high. */
function boxOfLabel({ at, lines }: PlacedLabel): Rect {
  const wide = 6.5 * Math.max(...lines.map((l) => l.length));
  const high = LINE_HEIGHT * lines.length;
  return {
    minX: at.x - wide / 2,
    maxX: at.x + wide / 2,
    minY: at.y - high / 2,
    maxY: at.y + high / 2,
  };
}

function holds(r: Rect, p: { x: number; y: number }): boolean {
  return p.x > r.minX && p.x < r.maxX && p.y > r.minY && p.y < r.maxY;
}

describe.each([
  ["a wide screen", 1300, 900],
  ["a laptop", 700, 630],
  ["a phone", 360, 250],
] as const)("the names in the picture, on %s", (_, width, height) => {
  const view = whole(die, width, height);
  const marks = marksOf(view, die.findings, null);
  const taken = marks.map(({ foot: { x, y } }) => ({
    minX: x - 12,
    maxX: x + 12,
    minY: y - 34,
    maxY: y,
  }));
  const placed = placeLabels(
    die,
    view,
    labelsOf(die, view, false),
    taken,
    false,
  );
  const boxes = placed.map(boxOfLabel);

  it("those of an outline’s handles stand clear of marks, handles and each other, in the picture", () => {
    for (const f of die.features) {
      const grips = gripsOf(f, die.job).map((grip) => ({
        ...grip,
        at: toScreen(view, grip.at),
      }));
      const names = placeNames(grips, taken, view);
      const handles = grips.map(({ at: { x, y } }) => ({
        minX: x - 7,
        maxX: x + 7,
        minY: y - 7,
        maxY: y + 7,
      }));
      names.forEach((name, i) => {
        const others = [
          ...taken,
          ...handles,
          ...names.filter((n) => n !== name),
        ];
        expect(
          others.filter((r) => touches(r, name)),
          `${f.id} ${i}`,
        ).toEqual([]);
        expect(name.minX).toBeGreaterThanOrEqual(0);
        expect(name.minY).toBeGreaterThanOrEqual(0);
        expect(name.maxX).toBeLessThanOrEqual(width);
        expect(name.maxY).toBeLessThanOrEqual(height);
      });
    }
  });

  it("stand on no line, mark or other name", () => {
    for (const [i, box] of boxes.entries()) {
      for (const f of die.features)
        for (const s of f.contour.segments)
          for (let t = 0; t <= 1; t += 0.05)
            expect(holds(box, toScreen(view, pointAt(s, t)))).toBe(false);
      for (const other of [...boxes.slice(0, i), ...taken])
        expect(
          box.minX < other.maxX &&
            box.maxX > other.minX &&
            box.minY < other.maxY &&
            box.maxY > other.minY,
        ).toBe(false);
    }
  });

  it("are there for every outline, at least by name", () => {
    const names = placed.map(({ lines }) => lines[0]);
    expect(names.sort()).toEqual(die.features.map((f) => f.id).sort());
  });

  it("have leaders that run over no mark and no name", () => {
    for (const { leader } of placed) {
      if (!leader) continue;
      const [from, to] = leader;
      for (const room of [...boxes, ...taken])
        for (let t = 0.02; t < 1; t += 0.02)
          expect(
            holds(room, {
              x: from.x + t * (to.x - from.x),
              y: from.y + t * (to.y - from.y),
            }),
          ).toBe(false);
    }
  });

  it("stand on their own slug even across the dots of travel, and clear of them where they stand beside it", () => {
    const cuts = die.steps.filter((s) => s.kind === "cut");
    const ways = cuts.slice(1).flatMap((cut, i) => {
      const end = cuts[i]?.strokes.at(-1)?.to;
      return end ? [[end, cut.thread] as const] : [];
    });
    const numbered = labelsOf(die, view, true);
    const named = placeLabels(die, view, numbered, taken, true);
    expect(named).toHaveLength(die.features.length);
    // On a phone there is not room enough for all of them.
    if (width < 500) return;
    const beside = (labels: readonly PlacedLabel[]) =>
      labels.filter((l) => l.leader);
    expect(beside(named).map((l) => l.id)).toEqual(
      beside(placeLabels(die, view, numbered, taken, false)).map((l) => l.id),
    );
    for (const box of beside(named).map(boxOfLabel))
      for (const [a, b] of ways)
        for (let t = 0; t <= 1; t += 0.005)
          expect(
            holds(
              box,
              toScreen(view, {
                x: a.x + t * (b.x - a.x),
                y: a.y + t * (b.y - a.y),
              }),
            ),
          ).toBe(false);
  });

  it("have a leader to their outline where they stand beside it", () => {
    for (const { leader, id } of placed) {
      if (!leader) continue;
      const feature = die.features.find((f) => f.id === id);
      const way = (
        feature as (typeof die.features)[number]
      ).contour.segments.flatMap((s) =>
        Array.from({ length: 101 }, (_, i) =>
          toScreen(view, pointAt(s, i / 100)),
        ),
      );
      const [, end] = leader;
      const nearest = Math.min(
        ...way.map((p) => Math.hypot(p.x - end.x, p.y - end.y)),
      );
      expect(nearest).toBeLessThan(2);
    }
  });
});

describe("names and marks", () => {
  it("are there for every outline when there is room", () => {
    const view = whole(die, 1300, 900);
    const placed = placeLabels(
      die,
      view,
      labelsOf(die, view, false),
      [],
      false,
    );
    expect(placed.map((p) => p.id).sort()).toEqual(
      die.features.map((f) => f.id).sort(),
    );
    // The slot of 3 mm is no place for letters; the wheel's window is.
    const beside = placed.filter((p) => p.leader).map((p) => p.id);
    expect(beside).toContain("opening-1");
    expect(beside).not.toContain("opening-2");
  });

  it("are there for slits, beside them, and number them among the outlines", () => {
    const { plan } = draftPlan({
      name: "ring",
      drawing: sample("clamp-ring/clamp-ring.dxf"),
      job: sample("clamp-ring/job.json"),
    });
    const view = whole(plan, 700, 630);
    const cut = [
      ...new Set(
        plan.steps.flatMap((s) => (s.kind === "cut" ? s.feature : [])),
      ),
    ];
    const placed = placeLabels(
      plan,
      view,
      labelsOf(plan, view, true),
      [],
      true,
    );
    expect(placed.map((l) => l.lines[0]).sort()).toEqual(
      cut.map((id, i) => `${i + 1}: ${id}`).sort(),
    );
    expect(placed.find((l) => l.id === "slit-1")?.leader).not.toBeNull();
    // The bore's name stands on the bore, not on the ring about it.
    expect(placed.find((l) => l.id === "opening-1")?.leader).toBeNull();
  });

  it("number the outlines as they are cut, where the order is looked at", () => {
    const view = whole(die, 1300, 900);
    const first = die.steps.find((s) => s.kind === "cut")?.feature;
    const names = labelsOf(die, view, true).map((l) => l.lines[0]);
    expect(names).toContain(`1: ${first}`);
  });

  it("leave the picture in sight, however many there are and however small it is", () => {
    const crowd = Array.from({ length: 2500 }, (_, i) => ({
      code: "a/b",
      severity: "note" as const,
      message: "",
      where: [i % 50, Math.floor(i / 50)] as const,
    }));
    for (const [width, height] of [
      [360, 240],
      [700, 630],
      [1300, 900],
    ] as const) {
      const view = {
        scale: height / 55,
        center: { x: 25, y: 25 },
        width,
        height,
      };
      const marks = marksOf(view, crowd, null);
      // A mark takes 24 by 34 pixels: together they take at most a sixth of it.
      expect(marks.length).toBeGreaterThan(3);
      expect(marks.length * 24 * 34).toBeLessThan((width * height) / 6);
    }
  });

  it("leave room for each other: of marks that crowd, the first of the list and the chosen one show", () => {
    const corner = (x: number) => ({
      code: "a/b",
      severity: "note" as const,
      message: "",
      where: [x, 0] as const,
    });
    const far = { scale: 2, center: { x: 60, y: 0 }, width: 300, height: 300 };
    const crowd = [corner(0), corner(1), corner(2), corner(110)];
    const numbers = (chosen: (typeof crowd)[number] | null): number[] =>
      marksOf(far, crowd, chosen).map((m) => m.number);
    expect(numbers(null)).toEqual([1, 4]);
    expect(numbers(crowd[2] ?? null)).toEqual([3, 4]);
    const close = { ...far, scale: 100, center: { x: 1, y: 0 } };
    expect(marksOf(close, crowd, null).map((m) => m.number)).toEqual([1, 2, 3]);
  });
});
