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

  it("of 3,000 circles in each other is refused", () => {
    const rings = many(3000, (i) => circleTags(0, 0, 1 + i / 100));
    expect(codeOf(rings)).toBe("drawing/too-large");
  });

  it("of 300 circles in each other is nested 299 deep", () => {
    const { outlines } = readDxf(
      many(300, (i) => circleTags(0, 0, 1 + i / 100)),
    );
    outlines.forEach((o, i) => {
      expect([o.depth, o.parent]).toEqual([299 - i, i === 299 ? null : i + 1]);
    });
  });

  it("of 600 short lines inside one gap is read, and none of them makes an outline", () => {
    const random = randomFrom(5);
    const at = (): number => random() * 0.01;
    const dust = many(600, () => lineTags(at(), at(), at(), at()));
    const { outlines, open } = readDxf(dust);
    expect(outlines).toEqual([]);
    expect(open.length).toBeGreaterThan(550);
  });

  it("of 300 lines from one point is read line by line", () => {
    const { open } = readDxf(
      many(300, (i) => lineTags(0, 0, 100 * Math.cos(i), 100 * Math.sin(i))),
    );
    expect(open).toHaveLength(300);
  });
});
