import { describe, expect, it } from "vitest";
import type { InputError } from "../../src/base/finding.js";
import { readDxf } from "../../src/drawing/read-dxf.js";
import { circleTags, dxfText, lineTags, type Tags } from "../helpers/dxf.js";

const many = (count: number, draw: (i: number) => Tags) =>
  dxfText(Array.from({ length: count }, (_, i) => draw(i)));

/** Park–Miller, so that a failure can be run again. */
function randomFrom(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state * 16_807) % 2_147_483_647;
    return state / 2_147_483_647;
  };
}

function codeOf(source: string): string {
  try {
    readDxf(source);
  } catch (error) {
    return (error as InputError).code;
  }
  return "was read";
}

describe("a drawing in which everything lies in or on everything", () => {
  it("of 6,000 lines from one point is refused", () => {
    const star = many(6000, (i) =>
      lineTags(0, 0, 100 * Math.cos(i), 100 * Math.sin(i)),
    );
    expect(codeOf(star)).toBe("drawing/too-large");
  });

  it("of 2,000 circles or squares in each other is nested 1,999 deep", () => {
    const circles = many(2000, (i) => circleTags(0, 0, 1 + i / 100));
    const squares = many(8000, (k) => {
      const a = 1 + (k >> 2) / 100;
      const [x, y] = [
        [-a, -a],
        [a, -a],
        [a, a],
        [-a, a],
      ][k % 4] as [number, number];
      return lineTags(x, y, -y, x);
    });
    for (const rings of [circles, squares]) {
      const { outlines } = readDxf(rings);
      expect(outlines).toHaveLength(2000);
      outlines.forEach((o, i) => {
        expect([o.depth, o.parent]).toEqual([
          1999 - i,
          i === 1999 ? null : i + 1,
        ]);
      });
    }
  });

  it("of 2,000 circles in each other, one of them drawn across its neighbours, says where", () => {
    const rings = many(2000, (i) =>
      circleTags(i === 1000 ? 0.013 : 0, 0, 1 + i / 100),
    );
    const { findings } = readDxf(rings);
    // 11 + 0.013 to the right is beyond 11.01, 11 − 0.013 to the left within 10.99.
    expect(findings.map((f) => f.message)).toEqual([
      expect.stringMatching(/^Outlines c1000 .* and c1001 .* cross at/),
      expect.stringMatching(/^Outlines c1001 .* and c1002 .* cross at/),
    ]);
  });

  it("of 6,000 circles in each other is refused", () => {
    const rings = many(6000, (i) => circleTags(0, 0, 1 + i / 100));
    expect(codeOf(rings)).toBe("drawing/too-large");
  });

  it("of 600 short lines inside one gap is read, and none of them makes an outline", () => {
    const random = randomFrom(5);
    const at = (): number => random() * 0.01;
    const dust = many(600, () => lineTags(at(), at(), at(), at()));
    const { outlines, open } = readDxf(dust);
    expect(outlines).toEqual([]);
    expect(open.length).toBeGreaterThan(550);
  });

  it("of one line drawn 20,000 times is that line, and every double is told", () => {
    const { open, repairs } = readDxf(many(20_000, () => lineTags(0, 0, 9, 5)));
    expect(open).toHaveLength(1);
    expect(repairs).toHaveLength(19_999);
  });

  it("of 300 lines from one point is read line by line", () => {
    const { open } = readDxf(
      many(300, (i) => lineTags(0, 0, 100 * Math.cos(i), 100 * Math.sin(i))),
    );
    expect(open).toHaveLength(300);
  });

  it("is not looked for in one spline that would become 90,000 arcs: it is refused, with its place", () => {
    const random = randomFrom(7);
    const points = Array.from({ length: 20_000 }, () => [
      5 * random(),
      5 * random(),
    ]);
    const knots = Array.from({ length: points.length + 4 }, (_, i) =>
      Math.max(0, Math.min(points.length - 3, i - 3)),
    );
    const wild = dxfText([
      [
        ...[0, "SPLINE", 8, "CUT", 70, 0, 71, 3],
        ...knots.flatMap((k) => [40, k]),
        ...points.flatMap(([x = 0, y = 0]) => [10, x, 20, y]),
      ],
    ]);
    expect(() => readDxf(wild)).toThrow(
      /a spline, from \([\d.]+, [\d.]+\), that would become more than 20000 arcs/,
    );
  });
});

describe("a large drawing of honest work", () => {
  it("is read with 5,000 holes in one sheet", () => {
    const sheet = dxfText([
      ...rectangle(0, 0, 800, 400),
      ...Array.from({ length: 5000 }, (_, i) =>
        circleTags(6 + 7.9 * (i % 100), 5 + 7.9 * Math.floor(i / 100), 2.5),
      ),
    ]);
    const { outlines, findings } = readDxf(sheet);
    expect(findings).toEqual([]);
    expect(outlines.filter((o) => o.depth === 0)).toHaveLength(1);
    expect(outlines.filter((o) => o.depth === 1)).toHaveLength(5000);
  });

  it("is read with a field of 10,000 parallel lines in an outline", () => {
    const field = dxfText([
      ...rectangle(-1, -1, 101, 501),
      ...Array.from({ length: 10_000 }, (_, i) =>
        lineTags(0, i / 20, 100, i / 20),
      ),
    ]);
    const { outlines, open } = readDxf(field);
    expect(outlines).toHaveLength(1);
    expect(open).toHaveLength(10_000);
  });

  it("is read with a text of 500 letters in 20,000 short lines", () => {
    const letters = dxfText(
      Array.from({ length: 500 }, (_, i) =>
        letter(0.8 * (i % 50), Math.floor(i / 50)),
      ).flat(),
    );
    const { outlines, open } = readDxf(letters);
    expect(outlines).toHaveLength(500);
    expect(open).toEqual([]);
    expect(
      outlines.every((o) => o.depth === 0 && o.contour.segments.length === 40),
    ).toBe(true);
  });

  it("is read with 60 walls of a labyrinth in each other", () => {
    const walls = Array.from({ length: 60 }, (_, i) =>
      rectangle(i, i, 200 - i, 200 - i),
    ).flat();
    const { outlines } = readDxf(dxfText(walls));
    expect(outlines.map((o) => o.depth)).toEqual([...Array(60).keys()]);
  });
});

function rectangle(x0: number, y0: number, x1: number, y1: number): Tags[] {
  return [
    lineTags(x0, y0, x1, y0),
    lineTags(x1, y0, x1, y1),
    lineTags(x1, y1, x0, y1),
    lineTags(x0, y1, x0, y0),
  ];
}

/** A round letter of 0.4 mm in 40 chords. */
function letter(x: number, y: number): Tags[] {
  const at = (i: number): [number, number] => {
    const a = ((i % 40) / 40) * 2 * Math.PI;
    const r = 0.2 + 0.05 * Math.cos(3 * a);
    return [x + r * Math.cos(a), y + r * Math.sin(a)];
  };
  return Array.from({ length: 40 }, (_, i) => lineTags(...at(i), ...at(i + 1)));
}
