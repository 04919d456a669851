import { describe, expect, it } from "vitest";
import { passLook } from "../../src/report/preview-style.js";

type Triple = readonly [number, number, number];

const SIX = [1, 2, 3, 4, 5, 6].map((n) => passLook(n));

/** sRGB hex to linear light (IEC 61966-2-1). */
function linear(hex: string): Triple {
  const channel = (i: number): number => {
    const c = Number.parseInt(hex.slice(1 + 2 * i, 3 + 2 * i), 16) / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  };
  return [channel(0), channel(1), channel(2)];
}

/** CIE L*a*b* under D65 from linear sRGB. */
function lab([r, g, b]: Triple): Triple {
  const f = (t: number): number =>
    t > 216 / 24389 ? Math.cbrt(t) : (t * (24389 / 27) + 16) / 116;
  const x = f((0.4124 * r + 0.3576 * g + 0.1805 * b) / 0.9505);
  const y = f(0.2126 * r + 0.7152 * g + 0.0722 * b);
  const z = f((0.0193 * r + 0.1192 * g + 0.9505 * b) / 1.089);
  return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
}

/**
 * How someone without one kind of cone sees a colour: Viénot, Brettel, Mollon, Color Res. Appl. 24 (1999) 243-252,
 * matrices from memory; written here with the inverse of their RGB to LMS matrix worked out by cofactors.
 */
function seenWithout(cone: "L" | "M", [r, g, b]: Triple): Triple {
  const m = [
    [17.8824, 43.5161, 4.11935],
    [3.45565, 27.1554, 3.86714],
    [0.0299566, 0.184309, 1.46709],
  ] as const;
  let [l, md, s] = m.map(
    (row) => row[0] * r + row[1] * g + row[2] * b,
  ) as unknown as [number, number, number];
  if (cone === "L") l = 2.02344 * md - 2.52581 * s;
  else md = 0.494207 * l + 1.24827 * s;
  const det = (a: Triple, c: Triple, d: Triple): number =>
    a[0] * (c[1] * d[2] - c[2] * d[1]) -
    a[1] * (c[0] * d[2] - c[2] * d[0]) +
    a[2] * (c[0] * d[1] - c[1] * d[0]);
  const v: Triple = [l, md, s];
  const whole = det(m[0], m[1], m[2]);
  // Cramer's rule: column k replaced by the right-hand side.
  const solved = [0, 1, 2].map((k) => {
    const rows = m.map((row, i) =>
      row.map((c, j) => (j === k ? v[i] : c)),
    ) as unknown as Triple[];
    return det(rows[0] as Triple, rows[1] as Triple, rows[2] as Triple) / whole;
  });
  return solved.map((c) => Math.min(1, Math.max(0, c))) as unknown as Triple;
}

function pairs(): [string, string][] {
  return SIX.flatMap((a, i) =>
    SIX.slice(i + 1).map((b): [string, string] => [a.color, b.color]),
  );
}

function apart(a: Triple, b: Triple): number {
  const [p, q] = [lab(a), lab(b)];
  return Math.hypot(p[0] - q[0], p[1] - q[1], p[2] - q[2]);
}

describe("the colours of the passes", () => {
  // A difference of 10 in L*a*b* is seen at a glance (common reading of CIE 1976).
  it.each(["L", "M"] as const)("are told apart without %s cones", (cone) => {
    for (const [a, b] of pairs())
      expect(
        apart(seenWithout(cone, linear(a)), seenWithout(cone, linear(b))),
        `${a} against ${b}`,
      ).toBeGreaterThan(15);
  });

  it("of the first three passes are told apart in a grey print", () => {
    const light = SIX.slice(0, 3).map((p) => lab(linear(p.color))[0]);
    const sorted = [...light].sort((x, y) => x - y);
    expect((sorted[1] as number) - (sorted[0] as number)).toBeGreaterThan(12);
    expect((sorted[2] as number) - (sorted[1] as number)).toBeGreaterThan(12);
  });

  it("are not needed: no two passes have the same dash, and later ones are thinner", () => {
    expect(new Set(SIX.map((p) => p.dash)).size).toBe(6);
    const widths = SIX.map((p) => p.width);
    expect([...widths].sort((a, b) => b - a)).toEqual(widths);
  });

  it("stand out from white paper, even in grey", () => {
    for (const { color } of SIX)
      expect(lab(linear(color))[0], color).toBeLessThan(75);
  });
});
