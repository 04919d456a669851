import { describe, expect, it } from "vitest";
import { interpolate } from "../../src/drawing/dxf/interpolate.js";
import {
  bezierSpans,
  type Nurbs,
  nurbsFault,
  spanPoint,
} from "../../src/drawing/dxf/nurbs.js";
import { readDxf } from "../../src/drawing/read-dxf.js";
import { splineContour } from "../../src/drawing/spline.js";
import { contourArea, contourLength } from "../../src/geometry/contour.js";
import type { Arc, Segment } from "../../src/geometry/segment.js";
import { dxfText, type Tags } from "../helpers/dxf.js";
import { chainFaults, sharpestJoint, worstOff } from "../helpers/nearness.js";

const W = Math.SQRT1_2;

/** Point of a spline at a parameter of its domain. */
function at(nurbs: Nurbs, u: number) {
  const spans = bezierSpans(nurbs);
  const span = spans.find((s) => u >= s.from && u <= s.to);
  if (!span) throw new Error(`${u} is outside the domain`);
  return spanPoint(span, (u - span.from) / (span.to - span.from));
}

const QUARTER: Nurbs = {
  degree: 2,
  knots: [0, 0, 0, 1, 1, 1],
  points: [
    { x: 1, y: 0 },
    { x: 1, y: 1 },
    { x: 0, y: 1 },
  ],
  weights: [1, W, 1],
};

function splineTags(n: Nurbs, flags = 0): Tags {
  return [
    0,
    "SPLINE",
    8,
    "0",
    70,
    flags,
    71,
    n.degree,
    72,
    n.knots.length,
    73,
    n.points.length,
    ...n.knots.flatMap((k) => [40, k]),
    ...n.weights.flatMap((w) => [41, w]),
    ...n.points.flatMap((p) => [10, p.x, 20, p.y, 30, 0]),
  ];
}

describe("a rational quadratic for the quarter circle", () => {
  it("passes the worked points of the books", () => {
    // Check value 19.
    const middle = at(QUARTER, 0.5);
    expect([middle.x, middle.y]).toEqual([
      expect.closeTo(W, 8),
      expect.closeTo(W, 8),
    ]);
    const quarter = at(QUARTER, 0.25);
    expect([quarter.x, quarter.y]).toEqual([
      expect.closeTo(0.9297883, 8),
      expect.closeTo(0.36809471, 8),
    ]);
    expect(Math.hypot(quarter.x, quarter.y)).toBeCloseTo(1, 14);
  });

  it("is read as that arc, exactly", () => {
    const { open } = readDxf(dxfText([splineTags(QUARTER, 12)]));
    const segments = open[0]?.contour.segments ?? [];
    expect(segments).toHaveLength(1);
    const arc = segments[0] as Arc;
    expect(arc.radius).toBeCloseTo(1, 12);
    expect(arc.sweep).toBeCloseTo(Math.PI / 2, 12);
  });

  it("four times is the whole circle, two half circles", () => {
    const points: [number, number][] = [
      [1, 0],
      [1, 1],
      [0, 1],
      [-1, 1],
      [-1, 0],
      [-1, -1],
      [0, -1],
      [1, -1],
      [1, 0],
    ];
    const circle: Nurbs = {
      degree: 2,
      knots: [0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4],
      points: points.map(([x, y]) => ({ x: 7 + 5 * x, y: 5 * y })),
      weights: [1, W, 1, W, 1, W, 1, W, 1],
    };
    const { outlines } = readDxf(dxfText([splineTags(circle, 13)]));
    expect(
      outlines[0]?.contour.segments.map((s) => s.kind === "arc" && s.radius),
    ).toEqual([expect.closeTo(5, 9), expect.closeTo(5, 9)]);
  });

  it("read without its weights would be another curve", () => {
    const plain = at({ ...QUARTER, weights: [1, 1, 1] }, 0.5);
    expect(Math.hypot(plain.x, plain.y)).toBeCloseTo(0.75 * Math.SQRT2, 12);
  });
});

describe("a spline with unclamped knots", () => {
  // scipy 1.17.1: BSpline(arange(12), points + points[:3], 3), its domain 3 to 8.
  const ring = [
    [0, 0],
    [4, 0],
    [5, 3],
    [2, 5],
    [-1, 3],
  ].map(([x, y]) => ({ x: x as number, y: y as number }));
  const periodic: Nurbs = {
    degree: 3,
    knots: Array.from({ length: 12 }, (_, i) => i),
    points: [...ring, ...ring.slice(0, 3)],
    weights: ring.concat(ring.slice(0, 3)).map(() => 1),
  };

  it.each([
    [3, 3.5, 0.5],
    [3.5, 4.354166666666667, 1.5416666666666667],
    [5.25, 1.2604166666666665, 4.216145833333333],
    [7.9, 3.236, 0.365],
  ])("passes what scipy computes at %d", (u, x, y) => {
    const p = at(periodic, u);
    expect(p.x).toBeCloseTo(x, 12);
    expect(p.y).toBeCloseTo(y, 12);
  });

  it("closes smoothly, with area and length as scipy integrates them", () => {
    const { outlines } = readDxf(dxfText([splineTags(periodic, 11)]));
    const contour = outlines[0]?.contour;
    if (!contour) throw new Error("not closed");
    // scipy, 200,000 steps: area 16.2777777778, length 14.3739790709.
    expect(contourArea(contour)).toBeCloseTo(16.2777777778, 3);
    expect(Math.abs(contourLength(contour) - 14.3739790709)).toBeLessThan(
      0.00015,
    );
    expect(sharpestJoint(contour)).toBeLessThan(1e-5);
    expect(chainFaults(contour)).toEqual([]);
  });
});

/** The same curve from its other end: knots mirrored, points and weights in reverse. */
function backward({ degree, knots, points, weights }: Nurbs): Nurbs {
  return {
    degree,
    knots: knots.map((k) => 10 - k).reverse(),
    points: [...points].reverse(),
    weights: [...weights].reverse(),
  };
}

describe("a curve that is drawn twice", () => {
  const points = (all: number[][]) =>
    all.map(([x, y]) => ({ x: x as number, y: y as number }));
  const wave: Nurbs = {
    degree: 3,
    knots: [0, 0, 0, 0, 1, 2.5, 4, 4, 4, 4],
    points: points([
      [0, 0],
      [3, 6],
      [8, -2],
      [11, 7],
      [17, 3],
      [20, 0],
    ]),
    weights: [1, 1, 2, 1, 0.7, 1],
  };
  const chord: Tags = [0, "LINE", 8, "0", 10, 20, 20, 0, 11, 0, 21, 0];
  const ring = points([
    [0, 0],
    [4, 0],
    [5, 3],
    [2, 5],
    [-1, 3],
  ]);
  const periodicFrom = (k: number): Nurbs => {
    const turned = [...ring.slice(k), ...ring.slice(0, k)];
    return {
      degree: 3,
      knots: Array.from({ length: 12 }, (_, i) => i),
      points: [...turned, ...turned.slice(0, 3)],
      weights: Array<number>(8).fill(1),
    };
  };
  const oval = (up: number, from: number): Tags => [
    ...[0, "ELLIPSE", 8, "0", 10, 5, 20, 2, 11, 8, 21, 3, 40, 0.4],
    ...[41, from, 42, from + 2 * Math.PI, 210, 0, 220, 0, 230, up],
  ];
  // biome-ignore format: one case a row
  it.each<[string, Tags[]]>([
    ["a spline, once from its other end", [splineTags(wave), chord, splineTags(backward(wave))]],
    ["a closed spline, once the other way round", [splineTags(periodicFrom(0), 11), splineTags(backward(periodicFrom(0)), 11)]],
    ["a closed spline, begun at another place", [splineTags(periodicFrom(0), 11), splineTags(periodicFrom(2), 11)]],
    ["an ellipse, once the other way round", [oval(1, 0), oval(-1, 0)]],
    ["an ellipse, begun at another place", [oval(1, 0), oval(1, 1.3)]],
  ])("%s, is one outline, and told as a double", (_, tags) => {
    const { outlines, open, repairs, findings } = readDxf(dxfText(tags));
    expect(findings).toEqual([]);
    expect([outlines.length, open.length]).toEqual([1, 0]);
    expect(repairs.length).toBeGreaterThan(0);
    expect(repairs.every((r) => r.kind === "double-dropped")).toBe(true);
    const once = readDxf(dxfText(tags.slice(0, -1))).outlines[0];
    expect(contourArea(outlines[0]?.contour as never)).toBeCloseTo(
      contourArea(once?.contour as never),
      9,
    );
  });
});

describe("a spline of degree 5", () => {
  it("passes what scipy computes, and is fitted within 0.1 µm", () => {
    const quintic: Nurbs = {
      degree: 5,
      knots: [0, 0, 0, 0, 0, 0, 0.4, 1, 1, 1, 1, 1, 1],
      points: [
        [0, 0],
        [1, 3],
        [3, -2],
        [5, 4],
        [7, 0],
        [9, 1],
        [10, 0],
      ].map(([x, y]) => ({ x: x as number, y: y as number })),
      weights: [1, 1, 1, 1, 1, 1, 1],
    };
    // scipy 1.17.1, BSpline of the same.
    for (const [u, x, y] of [
      [0.1, 1.1525390625, 1.5317828125],
      [0.4, 4.2, 1.1056],
      [0.77, 7.882164620113168, 0.8574334457572017],
    ] as const) {
      expect(at(quintic, u).x).toBeCloseTo(x, 12);
      expect(at(quintic, u).y).toBeCloseTo(y, 12);
    }
    const contour = splineContour(bezierSpans(quintic), { tolerance: 0.0001 });
    if (!contour) throw new Error("no curve");
    const points = Array.from({ length: 1001 }, (_, i) =>
      at(quintic, i / 1000),
    );
    expect(worstOff(contour.segments, points)).toBeLessThan(0.0001);
    // scipy, 400,000 steps.
    expect(contourLength(contour)).toBeCloseTo(11.230064358, 4);
  });
});

describe("a spline's corners", () => {
  it("stay corners where control points lie on top of each other", () => {
    const corner: Nurbs = {
      degree: 3,
      knots: [0, 0, 0, 0, 1, 2, 3, 4, 4, 4, 4],
      points: [
        [0, 0],
        [2, 2],
        [5, 5],
        [5, 5],
        [5, 5],
        [8, 2],
        [10, 0],
      ].map(([x, y]) => ({ x: x as number, y: y as number })),
      weights: [1, 1, 1, 1, 1, 1, 1],
    };
    const contour = splineContour(bezierSpans(corner), { tolerance: 0.0001 });
    expect(contour?.segments.some((s) => s.end.x === 5 && s.end.y === 5)).toBe(
      true,
    );
    expect(
      sharpestJoint({ closed: false, segments: contour?.segments ?? [] }),
    ).toBeCloseTo(Math.PI / 2, 9);
    // Both sides run straight on the diagonals.
    expect(contour?.segments.every((s) => s.kind === "line")).toBe(true);
  });

  it("of degree 1 are the polygon", () => {
    const polygon: Nurbs = {
      degree: 1,
      knots: [0, 0, 1, 2, 3, 3],
      points: [
        { x: 0, y: 0 },
        { x: 4, y: 0 },
        { x: 0, y: 3 },
        { x: 0, y: 0 },
      ],
      weights: [1, 1, 1, 1],
    };
    expect(
      contourArea(
        readDxf(dxfText([splineTags(polygon)])).outlines[0]?.contour as never,
      ),
    ).toBe(6);
  });
});

describe("a spline given by fit points only", () => {
  const fit = [
    [0, 0],
    [3, 4],
    [8, 4],
    [8, -8],
    [12, -5],
  ].map(([x, y]) => ({ x: x as number, y: y as number }));
  const on = (spans: ReturnType<typeof interpolate>, u: number) => {
    const span = spans.find((s) => u >= s.from && u <= s.to);
    if (!span) throw new Error("outside");
    return spanPoint(span, (u - span.from) / (span.to - span.from));
  };

  // scipy 1.17.1, CubicSpline over the chord lengths 0, 5, 10, 22, 27.
  it.each([
    [
      "natural ends",
      null,
      null,
      [
        [2.5, 1.1988782877772044, 2.2628287777204745],
        [16, 8.423310985043837, -2.8689014956162966],
        [24, 9.209860752965447, -7.413924703455389],
      ],
    ],
    [
      "given tangents",
      { x: 0, y: 1 },
      { x: 1, y: 0 },
      [
        [2.5, 0.8487609329446063, 2.302113702623906],
        [16, 8.346355685131197, -3.437900874635569],
        [24, 9.216839650145772, -6.733667638483966],
      ],
    ],
  ] as const)(
    "runs as the cubic with %s does in scipy",
    (_, start, end, expected) => {
      const spans = interpolate(fit, start, end);
      for (const [u, x, y] of expected) {
        expect(on(spans, u).x).toBeCloseTo(x, 10);
        expect(on(spans, u).y).toBeCloseTo(y, 10);
      }
    },
  );

  it("closes smoothly over a ring of points as the periodic cubic does in scipy", () => {
    const ring = [...fit.slice(0, 4), { x: 0, y: 0 }];
    const spans = interpolate(ring, null, null);
    for (const [u, x, y] of [
      [2.5, 0.9412921652928131, 2.347614457079694],
      [7.5, 5.59059506687503, 4.654498575985332],
      [25, 5.321548435023029, -7.722926221885268],
    ] as const) {
      expect(on(spans, u).x).toBeCloseTo(x, 10);
      expect(on(spans, u).y).toBeCloseTo(y, 10);
    }
  });

  it("is read with a warning, as programs differ in what runs between the points", () => {
    const tags: Tags = [
      0,
      "SPLINE",
      8,
      "0",
      70,
      8,
      71,
      3,
      74,
      5,
      ...fit.flatMap((p) => [11, p.x, 21, p.y, 31, 0]),
    ];
    const { open, findings } = readDxf(dxfText([tags]));
    const told = findings.find((f) => f.code === "drawing/fit-points");
    expect(told?.message).toContain("by chord lengths, with no curvature");
    // scipy 1.17.1: CubicSpline over the square roots of the chords runs up to 0.41432 mm from the one over the chords.
    const doubt = Number(/up to ([\d.]+) mm/.exec(told?.message ?? "")?.[1]);
    expect(doubt).toBeGreaterThan(0.4143 * 0.98);
    expect(doubt).toBeLessThan(0.4144);
    expect(worstOff(open[0]?.contour.segments as Segment[], fit)).toBeLessThan(
      0.00015,
    );
  });
});

describe("a closed spline given by fit points only", () => {
  it("closes smoothly whether its first point is repeated or not", () => {
    const points = [
      [0, 0],
      [4, 0],
      [5, 3],
      [2, 5],
      [-1, 3],
    ];
    const area = (through: number[][], flags: number) =>
      contourArea(
        readDxf(
          dxfText([
            [
              ...[0, "SPLINE", 8, "0", 70, flags, 71, 3],
              ...through.flatMap(([x, y]) => [11, x, 21, y] as Tags),
            ],
          ]),
        ).outlines[0]?.contour as never,
      );
    const repeated = area([...points, [0, 0]], 8);
    expect(area(points, 9)).toBeCloseTo(repeated, 9);
  });
});

describe("a spline that cannot be one", () => {
  it.each<[string, Partial<Nurbs>]>([
    ["knots", { knots: [0, 0, 0, 1, 1] }],
    ["weights", { weights: [1, 1] }],
    ["weight", { weights: [1, 0, 1] }],
    ["knots do not rise", { knots: [0, 0, 0, 1, 0.5, 1] }],
    ["span nothing", { knots: [1, 1, 1, 1, 1, 1] }],
    [
      "control points",
      { points: [{ x: 0, y: 0 }], weights: [1], knots: [0, 0, 1, 1] },
    ],
  ])("for its %s is named an error, and the rest is read", (word, spoilt) => {
    const bad = { ...QUARTER, ...spoilt };
    expect(nurbsFault(bad)).toContain(word);
    const { findings, outlines } = readDxf(
      dxfText([splineTags(bad), [0, "CIRCLE", 8, "0", 10, 0, 20, 0, 40, 1]]),
    );
    expect(findings.map((f) => [f.code, f.severity])).toEqual([
      ["drawing/bad-entity", "error"],
    ]);
    expect(outlines).toHaveLength(1);
  });

  it("may leave out the first and last knot, which the curve does not depend on", () => {
    const { open } = readDxf(
      dxfText([splineTags({ ...QUARTER, knots: [0, 0, 1, 1] })]),
    );
    expect(open[0]?.contour.segments).toHaveLength(1);
  });
});
