import { describe, expect, it } from "vitest";
import { readDrawing } from "../../src/drawing/read-drawing.js";
import type { ReadPhase } from "../../src/drawing/read-options.js";
import { inspect } from "../../src/run.js";
import { circleTags, dxfText, lineTags } from "../helpers/dxf.js";
import { svgText } from "../helpers/svg.js";

/** 400 squares of four lines each. */
const manySquares = dxfText(
  Array.from({ length: 400 }, (_, i) => {
    const [x, y] = [3 * (i % 40), 3 * Math.floor(i / 40)];
    return [
      lineTags(x, y, x + 1, y),
      lineTags(x + 1, y, x + 1, y + 1),
      lineTags(x + 1, y + 1, x, y + 1),
      lineTags(x, y + 1, x, y),
    ].flat();
  }),
);

/** Turns back and forth at random: over a thousand pairs of arcs in one entity. */
const oneWildCurve = dxfText([
  [
    ...[0, "SPLINE", 8, "CUT", 70, 0, 71, 3],
    ...Array.from({ length: 405 }, (_, i) => [
      40,
      Math.max(0, Math.min(398, i - 3)),
    ]).flat(),
    ...Array.from({ length: 401 }, (_, i) => [
      ...[10, i, 20, (i * i * 7) % 11],
    ]).flat(),
  ],
]);

const manyCircles = svgText(
  Array.from(
    { length: 600 },
    (_, i) =>
      `<circle cx="${3 * (i % 50)}" cy="${3 * Math.floor(i / 50)}" r="1"/>`,
  ).join(""),
);

function phasesOf(source: string): ReadPhase[] {
  const told: ReadPhase[] = [];
  readDrawing(source, { onStep: (phase) => told.push(phase) });
  return told;
}

const ALL: readonly ReadPhase[] = [
  "tags",
  "entities",
  "chaining",
  "crossings",
  "nesting",
];

describe("reading a drawing", () => {
  it.each([
    ["a DXF file", manySquares],
    ["an SVG file", manyCircles],
  ])("of %s says in turn what is being done", (_, source) => {
    expect([...new Set(phasesOf(source))]).toEqual(ALL);
  });

  it.each(ALL)(
    "is ended by what its caller throws, in the phase of %s",
    (ended) => {
      for (const source of [manySquares, manyCircles]) {
        const enough = new Error("enough");
        const onStep = (phase: ReadPhase): void => {
          if (phase === ended) throw enough;
        };
        expect(() => readDrawing(source, { onStep })).toThrow(enough);
      }
    },
  );

  it("is interruptible within one wild curve", () => {
    const during = phasesOf(oneWildCurve).filter((p) => p === "entities");
    expect(during.length).toBeGreaterThan(10);
  });

  it("is interruptible while it looks where loose lines come nearest to closing", () => {
    const circlesAndLoose = dxfText([
      ...Array.from({ length: 300 }, (_, i) => circleTags(3 * i, -9, 1)),
      ...Array.from({ length: 3000 }, (_, i) =>
        lineTags(5 * (i % 60), i / 60, 5 * (i % 60) + 3, i / 61),
      ),
    ]);
    const told = phasesOf(circlesAndLoose);
    expect(told.slice(told.lastIndexOf("nesting") + 1).length).toBeGreaterThan(
      20,
    );
  });

  it("tells each stage once, and ends by what the order's caller throws", () => {
    const stages: string[] = [];
    const order = { name: "squares", drawing: manySquares };
    inspect({ ...order, onStage: (stage) => stages.push(stage) });
    const reading = stages.filter((s) => s.startsWith("reading the drawing"));
    expect(new Set(reading).size).toBe(reading.length);
    expect(reading.length).toBeGreaterThan(3);
    const enough = new Error("enough");
    const onStep = (): void => {
      throw enough;
    };
    expect(() => inspect({ ...order, onStep })).toThrow(enough);
  });
});
