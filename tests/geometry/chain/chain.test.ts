import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { chainStrands } from "../../../src/geometry/chain/chain.js";
import {
  type Contour,
  contourArea,
  contourLength,
} from "../../../src/geometry/contour.js";
import {
  arcAbout,
  line,
  reverseSegment,
  type Segment,
  segmentFromBulge,
} from "../../../src/geometry/segment.js";
import { chainFaults } from "../../helpers/nearness.js";

const GAP = 0.01;

const loose = (...segments: Segment[]): Contour[] =>
  segments.map((s) => ({ closed: false, segments: [s] }));

const edge = (x1: number, y1: number, x2: number, y2: number): Segment =>
  line({ x: x1, y: y1 }, { x: x2, y: y2 });

/** Sides of a rectangle, each its own strand. */
const rectangle = (x: number, y: number, w: number, h: number): Segment[] => [
  edge(x, y, x + w, y),
  edge(x + w, y, x + w, y + h),
  edge(x + w, y + h, x, y + h),
  edge(x, y + h, x, y),
];

/** Half circles and straight sides: 2 w + π h round, w·h + π h²/4 in area. */
function slot(w: number, h: number): Segment[] {
  return [
    edge(0, 0, w, 0),
    arcAbout({ x: w, y: h / 2 }, h / 2, -Math.PI / 2, Math.PI),
    edge(w, h, 0, h),
    arcAbout({ x: 0, y: h / 2 }, h / 2, Math.PI / 2, Math.PI),
  ];
}

function only(contours: Contour[]): Contour {
  const { chains, mends } = chainStrands(contours, GAP);
  expect(mends).toEqual([]);
  expect(chains).toHaveLength(1);
  return (chains[0] as { contour: Contour }).contour;
}

describe("loose lines and arcs", () => {
  it("close to one outline whatever their order and direction", () => {
    const [a, b, c, d] = slot(10, 4) as [Segment, Segment, Segment, Segment];
    const outline = only(loose(reverseSegment(c), a, d, reverseSegment(b)));
    expect(outline.closed).toBe(true);
    // 10·4 + π·2² = 52.566370614, 2·10 + π·4 = 32.566370614.
    expect(contourArea(outline)).toBeCloseTo(52.566370614, 9);
    expect(contourLength(outline)).toBeCloseTo(32.566370614, 9);
    expect(chainFaults(outline)).toEqual([]);
  });

  it("run counter-clockwise when they were drawn clockwise", () => {
    const outline = only(loose(...rectangle(0, 0, 3, 2).map(reverseSegment)));
    expect(contourArea(outline)).toBe(6);
  });

  it("become one line where they lie in a row, one arc where they lie on one circle", () => {
    const [bottom, right, top, left] = rectangle(0, 0, 12, 4) as [
      Segment,
      Segment,
      Segment,
      Segment,
    ];
    const outline = only(
      loose(
        edge(0, 0, 5, 0),
        edge(5, 0, 7, 0),
        edge(7, 0, 12, 0),
        right,
        top,
        left,
      ),
    );
    expect(outline.segments).toHaveLength(4);
    expect(bottom.kind).toBe("line");

    const quarter = Math.PI / 2;
    const pie = only(
      loose(
        edge(0, 0, 5, 0),
        arcAbout({ x: 0, y: 0 }, 5, 0, quarter),
        arcAbout({ x: 0, y: 0 }, 5, quarter, quarter),
        edge(-5, 0, 0, 0),
      ),
    );
    expect(pie.segments.map((s) => s.kind).sort()).toEqual(["arc", "line"]);
    expect(contourArea(pie)).toBeCloseTo((Math.PI * 25) / 2, 9);
  });

  it("make a circle of two half circles, whatever it was drawn of", () => {
    const third = (2 * Math.PI) / 3;
    const circle = only(
      loose(
        ...[0, 1, 2].map((k) => arcAbout({ x: 4, y: -7 }, 3, k * third, third)),
      ),
    );
    expect(circle.segments.map((s) => s.kind === "arc" && s.sweep)).toEqual([
      Math.PI,
      Math.PI,
    ]);
    expect(contourArea(circle)).toBeCloseTo(9 * Math.PI, 9);
  });

  it("with 501 points on each side become a square of 4 lines", () => {
    const side = (x: number, y: number, dx: number, dy: number) =>
      Array.from({ length: 500 }, (_, i) =>
        edge(
          x + (dx * i) / 500,
          y + (dy * i) / 500,
          x + (dx * (i + 1)) / 500,
          y + (dy * (i + 1)) / 500,
        ),
      );
    const square = only(
      loose(
        ...side(0, 0, 10, 0),
        ...side(10, 0, 0, 10),
        ...side(10, 10, -10, 0),
        ...side(0, 10, 0, -10),
      ),
    );
    expect(square.segments).toHaveLength(4);
  });

  it("of a polygon with 5,000 sides stay 5,000: a long bend is not taken for a row", () => {
    const n = 5000;
    const at = (i: number) => ({
      x: 0.5 * Math.cos((2 * Math.PI * (i % n)) / n),
      y: 0.5 * Math.sin((2 * Math.PI * (i % n)) / n),
    });
    const sides = Array.from({ length: n }, (_, i) => line(at(i), at(i + 1)));
    const polygon = only([{ closed: true, segments: sides }]);
    // Merged runs may pass over vertices within 0.1 nm, never bend away from them: r²·(n/2)·sin(2π/n) stays.
    expect(contourArea(polygon)).toBeCloseTo(
      0.125 * n * Math.sin((2 * Math.PI) / n),
      6,
    );
  });
});

describe("gaps", () => {
  it("of 4 µm between lines close where the lines cross, and are told with place and size", () => {
    const { chains, mends } = chainStrands(
      loose(
        edge(0.004, 0, 10, 0),
        edge(10, 0, 10, 5),
        edge(10, 5, 0, 5),
        edge(0, 5, 0, 0),
      ),
      GAP,
    );
    const outline = chains[0]?.contour as Contour;
    expect(contourArea(outline)).toBe(50);
    expect(mends).toEqual([
      {
        kind: "gap-closed",
        at: { x: 0.002, y: 0 },
        size: expect.closeTo(0.004, 12),
      },
    ]);
  });

  it("of 6 µm at an arc close half way, and the arc still agrees with its ends", () => {
    const [a, b, c, d] = slot(10, 4) as [Segment, Segment, Segment, Segment];
    const { chains, mends } = chainStrands(
      loose(a, arcAbout({ x: 10.006, y: 2 }, 2, -Math.PI / 2, Math.PI), c, d),
      GAP,
    );
    expect(b.kind).toBe("arc");
    const outline = chains[0]?.contour as Contour;
    expect(outline.closed).toBe(true);
    expect(chainFaults(outline)).toEqual([]);
    expect(mends.map((m) => m.kind)).toEqual(["gap-closed", "gap-closed"]);
    // Half of the 6 µm over a height of 4 mm.
    expect(contourArea(outline)).toBeCloseTo(52.566370614 + 0.003 * 4, 6);
  });

  it("of 12 µm stay open", () => {
    const { chains } = chainStrands(
      loose(
        edge(0.012, 0, 10, 0),
        edge(10, 0, 10, 5),
        edge(10, 5, 0, 5),
        edge(0, 5, 0, 0),
      ),
      GAP,
    );
    expect(chains.map((c) => c.contour.closed)).toEqual([false]);
    expect(chains[0]?.contour.segments).toHaveLength(4);
  });

  it("in an arc of 359.97° close without changing its radius by a micrometre", () => {
    const { chains } = chainStrands(
      loose(arcAbout({ x: 0, y: 0 }, 10, 0.0005, 2 * Math.PI - 0.0008)),
      GAP,
    );
    const outline = chains[0]?.contour as Contour;
    expect(outline.closed).toBe(true);
    expect(chainFaults(outline)).toEqual([]);
    for (const s of outline.segments)
      if (s.kind === "arc")
        expect(Math.abs(s.radius - 10)).toBeLessThan(0.001 * 5);
    expect(Math.abs(contourArea(outline) - 100 * Math.PI)).toBeLessThan(0.1);
  });

  it("between pieces shorter than the gap are closed with the right neighbours", () => {
    // A circle of radius 1 in pieces of 5 µm, each end 1 µm off.
    const n = 1256;
    const at = (i: number, r: number) => ({
      x: r * Math.cos((2 * Math.PI * i) / n),
      y: r * Math.sin((2 * Math.PI * i) / n),
    });
    const pieces = Array.from({ length: n }, (_, i) =>
      line(at(i, 1), at(i + 1, 1.000001)),
    );
    const { chains } = chainStrands(loose(...pieces), GAP);
    expect(chains).toHaveLength(1);
    expect(chains[0]?.contour.closed).toBe(true);
    expect(contourArea(chains[0]?.contour as Contour)).toBeCloseTo(Math.PI, 4);
  });
});

describe("things drawn twice", () => {
  it("are dropped, also when drawn backwards, and told", () => {
    const sides = rectangle(0, 0, 6, 3);
    const { chains, mends } = chainStrands(
      loose(...sides, sides[1] as Segment, reverseSegment(sides[2] as Segment)),
      GAP,
    );
    expect(chains.map((c) => contourArea(c.contour))).toEqual([18]);
    expect(mends).toEqual([
      { kind: "double-dropped", at: { x: 6, y: 1.5 }, size: 3 },
      { kind: "double-dropped", at: { x: 3, y: 3 }, size: 6 },
    ]);
  });

  it("in part become one line", () => {
    const [, right, top, left] = rectangle(0, 0, 10, 5) as [
      Segment,
      Segment,
      Segment,
      Segment,
    ];
    const { chains, mends } = chainStrands(
      loose(edge(0, 0, 6, 0), edge(10, 0, 4, 0), right, top, left),
      GAP,
    );
    expect(chains[0]?.contour.segments).toHaveLength(4);
    expect(contourArea(chains[0]?.contour as Contour)).toBe(50);
    expect(mends).toEqual([
      { kind: "overlap-merged", at: { x: 5, y: 0 }, size: 2 },
    ]);
  });

  it("in part, three in a row, become one line", () => {
    const { chains } = chainStrands(
      loose(edge(9, 0, 14, 0), edge(0, 0, 6, 0), edge(4, 0, 10, 0)),
      GAP,
    );
    expect(chains.map((c) => contourLength(c.contour))).toEqual([14]);
  });

  it("in part on one circle become one arc, or a circle when they go round it", () => {
    const o = { x: 0, y: 0 };
    const half = chainStrands(
      loose(
        arcAbout(o, 4, 0, 2),
        reverseSegment(arcAbout(o, 4, 1, Math.PI - 1)),
      ),
      GAP,
    );
    expect(half.chains.map((c) => contourLength(c.contour))).toEqual([
      expect.closeTo(4 * Math.PI, 9),
    ]);
    const full = chainStrands(
      loose(arcAbout(o, 4, 0, 4), arcAbout(o, 4, 3.5, 3.5)),
      GAP,
    );
    expect(full.chains.map((c) => contourArea(c.contour))).toEqual([
      expect.closeTo(16 * Math.PI, 9),
    ]);
  });

  it("there and back between two points is one open line", () => {
    const { chains, mends } = chainStrands(
      [{ closed: true, segments: [edge(0, 0, 5, 0), edge(5, 0, 0, 0)] }],
      GAP,
    );
    expect(chains.map((c) => c.contour.closed)).toEqual([false]);
    expect(mends.map((m) => m.kind)).toEqual(["double-dropped"]);
  });
});

describe("slivers", () => {
  it("go out of their neighbours' way: the outline stays closed without them", () => {
    const { chains } = chainStrands(
      [
        {
          closed: true,
          segments: [
            edge(0, 0, 6, 0),
            edge(6, 0, 6, 0.000004),
            edge(6, 0.000004, 6, 3),
            edge(6, 3, 0, 0),
          ],
        },
      ],
      GAP,
    );
    expect(chains.map((c) => c.contour.segments.length)).toEqual([3]);
    expect(chainFaults(chains[0]?.contour as Contour)).toEqual([]);
  });

  it("without length are dropped and told", () => {
    const { chains, mends } = chainStrands(
      loose(...rectangle(0, 0, 6, 3), edge(6, 0, 6, 0.000001)),
      GAP,
    );
    expect(chains.map((c) => c.contour.segments.length)).toEqual([4]);
    expect(mends.map((m) => m.kind)).toEqual(["zero-length-dropped"]);
  });
});

describe("branches", () => {
  it("go on by the smallest turn: a line that ends on a corner of two collinear ones is left over", () => {
    const { chains } = chainStrands(
      loose(
        edge(0, 0, 5, 0),
        edge(5, 0, 10, 0),
        edge(10, 0, 10, 5),
        edge(10, 5, 0, 5),
        edge(0, 5, 0, 0),
        edge(5, 0, 5, 5),
      ),
      GAP,
    );
    expect(
      chains.map((c) => [c.contour.closed, contourLength(c.contour)]),
    ).toEqual([
      [true, 30],
      [false, 5],
    ]);
  });

  it("that come back to the same corner close there: two squares that touch are two squares", () => {
    const { chains } = chainStrands(
      loose(...rectangle(0, 0, 4, 4), ...rectangle(4, 4, 3, 3)),
      GAP,
    );
    expect(chains.map((c) => contourArea(c.contour))).toEqual([16, 9]);
  });

  it("do not part what was drawn as one polyline", () => {
    // An open bow that passes (5, 0) twice; the drawn way goes straight on there.
    const bow = [
      edge(0, 0, 5, 0),
      edge(5, 0, 8, 3),
      edge(8, 3, 5, 6),
      edge(5, 6, 5, 0),
      edge(5, 0, 5, -4),
    ];
    const { chains } = chainStrands([{ closed: false, segments: bow }], GAP);
    expect(chains).toHaveLength(1);
    expect(chains[0]?.contour.segments[0]?.start).toEqual({ x: 0, y: 0 });
    expect(chains[0]?.contour.segments.at(-1)?.end).toEqual({ x: 5, y: -4 });
  });

  it("of 100 lines from one point stay as they are", () => {
    const star = Array.from({ length: 100 }, (_, i) =>
      edge(0, 0, Math.cos(i * 0.06), Math.sin(i * 0.06)),
    );
    expect(chainStrands(loose(...star), GAP).chains).toHaveLength(100);
  });
});

describe("a contour cut up, shuffled, turned round and shaken by less than 5 µm", () => {
  /** Star-shaped about the origin, so it never crosses itself; every side 2 mm or longer; half of them bulge. */
  const contour = fc
    .array(
      fc.record({
        radius: fc.double({ min: 10, max: 20, noNaN: true }),
        bulge: fc.constantFrom(0, 0, 0.15, -0.1),
      }),
      { minLength: 3, maxLength: 12 },
    )
    .map((corners): Segment[] => {
      const at = (i: number) => {
        const angle = (2 * Math.PI * (i % corners.length)) / corners.length;
        const r = corners[i % corners.length]?.radius ?? 0;
        return { x: r * Math.cos(angle), y: r * Math.sin(angle) };
      };
      return corners.flatMap(
        (c, i) => segmentFromBulge(at(i), at(i + 1), c.bulge) ?? [],
      );
    });

  it("comes back whole", () => {
    fc.assert(
      fc.property(
        contour,
        fc.infiniteStream(fc.double({ min: 0, max: 1, noNaN: true })),
        (segments, stream) => {
          const next = () => stream.next().value as number;
          const shake = (p: { x: number; y: number }) => {
            const angle = 2 * Math.PI * next();
            const r = 0.0049 * next();
            return {
              x: p.x + r * Math.cos(angle),
              y: p.y + r * Math.sin(angle),
            };
          };
          const shaken = segments
            .map((s): readonly [number, Segment] => {
              const bulge = s.kind === "arc" ? Math.tan(s.sweep / 4) : 0;
              const moved = segmentFromBulge(
                shake(s.start),
                shake(s.end),
                bulge,
              ) as Segment;
              return [next(), next() < 0.5 ? moved : reverseSegment(moved)];
            })
            .sort((a, b) => a[0] - b[0])
            .map(([, s]) => s);
          const { chains } = chainStrands(loose(...shaken), GAP);
          expect(chains).toHaveLength(1);
          const outline = chains[0]?.contour as Contour;
          expect(outline.closed).toBe(true);
          expect(chainFaults(outline)).toEqual([]);
          const whole = { closed: true, segments };
          // Moving a border of length L by at most 10 µm changes the area by at most 0.01 L, roughly.
          expect(
            Math.abs(contourArea(outline) - contourArea(whole)),
          ).toBeLessThan(0.012 * contourLength(whole));
        },
      ),
      { numRuns: 200 },
    );
  });
});
