import { describe, expect, it } from "vitest";
import { readDxf } from "../../../src/drawing/read-dxf.js";
import { contourArea, contourLength } from "../../../src/geometry/contour.js";
import type { Arc, Segment } from "../../../src/geometry/segment.js";
import {
  arcTags,
  circleTags,
  type DxfParts,
  dxfText,
  lineTags,
  lwpolylineTags,
  type Tags,
} from "../../helpers/dxf.js";
import {
  chainFaults,
  sharpestJoint,
  worstOff,
} from "../../helpers/nearness.js";

const read = (entities: readonly Tags[], parts: DxfParts = {}) =>
  readDxf(dxfText(entities, parts));

/** The segments of the only chain in the drawing, closed or open. */
function onlyChain(entities: readonly Tags[], parts: DxfParts = {}) {
  const { outlines, open } = read(entities, parts);
  expect(outlines.length + open.length).toBe(1);
  const contour = outlines[0]?.contour ?? open[0]?.contour;
  if (!contour) throw new Error("no chain");
  expect(chainFaults(contour)).toEqual([]);
  return contour;
}

const onlyArc = (entities: readonly Tags[]): Arc => {
  const { segments } = onlyChain(entities);
  expect(segments.map((s) => s.kind)).toEqual(["arc"]);
  return segments[0] as Arc;
};

const rounded = (p: { x: number; y: number }) => [
  Math.round(p.x * 1e9) / 1e9 + 0,
  Math.round(p.y * 1e9) / 1e9 + 0,
];

const DOWN: Tags = [210, 0, 220, 0, 230, -1];

describe("LINE", () => {
  it("is in world coordinates: its extrusion moves nothing", () => {
    const { segments } = onlyChain([[...lineTags(1, 2, 3, 4), ...DOWN]]);
    expect(segments).toEqual([
      { kind: "line", start: { x: 1, y: 2 }, end: { x: 3, y: 4 } },
    ]);
  });

  it("at a height is read, sloping is not, and that is told", () => {
    expect(
      read([[0, "LINE", 8, "0", 10, 0, 20, 0, 30, 5, 11, 9, 21, 0, 31, 5]])
        .open,
    ).toHaveLength(1);
    const sloping = read([
      [0, "LINE", 8, "0", 10, 0, 20, 0, 30, 0, 11, 9, 21, 0, 31, 5],
    ]);
    expect(sloping.open).toEqual([]);
    expect(sloping.skipped).toEqual([{ kind: "LINE", layer: "0", count: 1 }]);
    expect(sloping.findings.map((f) => f.code)).toContain("drawing/not-flat");
  });
});

describe("CIRCLE", () => {
  it("is two half circles about its centre", () => {
    const { segments } = onlyChain([circleTags(4, -3, 2.5)]);
    expect(
      segments.map((s) => s.kind === "arc" && [s.center, s.radius, s.sweep]),
    ).toEqual([
      [{ x: 4, y: -3 }, 2.5, Math.PI],
      [{ x: 4, y: -3 }, 2.5, Math.PI],
    ]);
  });

  it("seen from below lies mirrored: centre (3, 4) at (−3, 4)", () => {
    // Check value 16.
    const { segments } = onlyChain([[...circleTags(3, 4, 1), ...DOWN]]);
    expect(rounded((segments[0] as Arc).center)).toEqual([-3, 4]);
  });

  it("seen edge on is not read", () => {
    const drawing = read([[...circleTags(3, 4, 1), 210, 0, 220, 1, 230, 0]]);
    expect(drawing.outlines).toEqual([]);
    expect(drawing.findings.map((f) => f.code)).toContain("drawing/not-flat");
  });

  it("without a radius, or with a negative one, is an error with its line", () => {
    for (const radius of [[], [40, -2]] as Tags[]) {
      const { findings } = read([
        [0, "CIRCLE", 8, "CUT", 10, 0, 20, 0, ...radius],
        circleTags(9, 9, 1),
      ]);
      expect(findings[0]).toMatchObject({
        code: "drawing/bad-entity",
        severity: "error",
      });
      expect(findings[0]?.message).toMatch(/CIRCLE on layer CUT \(line \d+\)/);
    }
  });

  it("of radius 0 is dropped and told", () => {
    expect(read([circleTags(1, 1, 0)]).repairs).toEqual([
      { kind: "zero-length-dropped", layer: "0", at: [1, 1], size: 0 },
    ]);
  });
});

describe("ARC", () => {
  it("runs counter-clockwise from its first to its second angle, across 0 too", () => {
    const arc = onlyArc([arcTags(0, 0, 2, 350, 20)]);
    expect(arc.sweep).toBeCloseTo((30 * Math.PI) / 180, 12);
    expect(arc.start.x).toBeCloseTo(2 * Math.cos(Math.PI / 18), 12);
    expect(arc.start.y).toBeCloseTo(-2 * Math.sin(Math.PI / 18), 12);
  });

  it("seen from below becomes clockwise", () => {
    // Check value 16: (x, y) goes to (−x, y), so from (−2, 0) over (0, 2).
    const arc = onlyArc([[...arcTags(0, 0, 2, 0, 90), ...DOWN]]);
    expect(rounded(arc.start)).toEqual([-2, 0]);
    expect(rounded(arc.end)).toEqual([0, 2]);
    expect(arc.sweep).toBeCloseTo(-Math.PI / 2, 12);
  });

  it("with equal angles is the whole circle", () => {
    expect(contourArea(onlyChain([arcTags(0, 0, 2, 0, 360)]))).toBeCloseTo(
      4 * Math.PI,
      12,
    );
    expect(contourArea(onlyChain([arcTags(0, 0, 2, 45, 45)]))).toBeCloseTo(
      4 * Math.PI,
      12,
    );
  });
});

describe("a flat ARC over a side of 30 mm", () => {
  it.each([4000, 20_000, 1e6])(
    "with a radius of %d mm is read as it is",
    (r) => {
      const half = Math.asin(15 / r);
      const degrees = (half * 180) / Math.PI;
      const contour = onlyChain([
        lineTags(0, 20, 0, 0),
        lineTags(0, 0, 30, 0),
        lineTags(30, 0, 30, 20),
        arcTags(15, 20 - r * Math.cos(half), r, 90 - degrees, 90 + degrees),
      ]);
      expect(contour.closed).toBe(true);
      // A circular segment's area is r²(φ − sin φ)/2; for φ this small sin φ = φ − φ³/6 + φ⁵/120.
      const turn = 2 * half;
      const cap = (r * r * (turn ** 3 / 6 - turn ** 5 / 120)) / 2;
      expect(Math.abs(contourArea(contour) - 600 - cap)).toBeLessThan(1e-5);
    },
  );

  it("is an ellipse's as well", () => {
    const half = Math.asin(15 / 6000);
    const contour = onlyChain([
      lineTags(0, 20, 0, 0),
      lineTags(0, 0, 30, 0),
      lineTags(30, 0, 30, 20),
      [
        ...[0, "ELLIPSE", 8, "0", 10, 15, 20, 20 - 3000 * Math.cos(half)],
        ...[11, 6000, 21, 0, 40, 0.5],
        ...[41, Math.PI / 2 - half, 42, Math.PI / 2 + half],
      ],
    ]);
    // An ellipse's segment is b/a times its circle's.
    const turn = 2 * half;
    const cap = (0.5 * 6000 ** 2 * (turn ** 3 / 6 - turn ** 5 / 120)) / 2;
    expect(Math.abs(contourArea(contour) - 600 - cap)).toBeLessThan(0.005);
  });
});

describe("LWPOLYLINE", () => {
  it("bulges to the right of its way for a positive bulge", () => {
    // Check value 15: (0, 0) to (10, 0) with 0.5: radius 6.25, centre (5, 3.75), lowest point (5, −2.5).
    const arc = onlyArc([
      lwpolylineTags(
        [
          [0, 0, 0.5],
          [10, 0],
        ],
        false,
      ),
    ]);
    expect(arc.radius).toBeCloseTo(6.25, 12);
    expect(rounded(arc.center)).toEqual([5, 3.75]);
    // Check value 14: bulge 0.5 is 106.26020471°.
    expect((arc.sweep * 180) / Math.PI).toBeCloseTo(106.26020471, 8);
    expect(worstOff([arc], [{ x: 5, y: -2.5 }])).toBeLessThan(1e-12);
  });

  it("closed, of two bulges of 1, is a circle", () => {
    expect(
      contourArea(
        onlyChain([
          lwpolylineTags(
            [
              [0, 0, 1],
              [10, 0, 1],
            ],
            true,
          ),
        ]),
      ),
    ).toBeCloseTo(25 * Math.PI, 12);
  });

  it("keeps all its vertices when they carry ids (group 91)", () => {
    const tags: Tags = [
      0,
      "LWPOLYLINE",
      8,
      "0",
      90,
      4,
      70,
      1,
      43,
      0,
      10,
      0,
      20,
      0,
      91,
      11,
      10,
      6,
      20,
      0,
      91,
      12,
      10,
      6,
      20,
      3,
      91,
      13,
      10,
      0,
      20,
      3,
      91,
      14,
    ];
    expect(contourArea(onlyChain([tags]))).toBe(18);
  });

  it("is read by its vertices, whatever their count (group 90) says", () => {
    for (const count of [[], [90, 2], [90, 99]] as Tags[]) {
      const tags: Tags = [
        0,
        "LWPOLYLINE",
        8,
        "0",
        ...count,
        70,
        1,
        10,
        0,
        20,
        0,
        10,
        4,
        20,
        0,
        10,
        0,
        20,
        3,
      ];
      expect(contourArea(onlyChain([tags]))).toBe(6);
    }
  });

  it("may repeat its first vertex at the end", () => {
    const drawing = read([
      lwpolylineTags(
        [
          [0, 0],
          [4, 0],
          [0, 3],
          [0, 0],
        ],
        true,
      ),
    ]);
    expect(drawing.outlines[0]?.contour.segments).toHaveLength(3);
    expect(drawing.repairs).toEqual([]);
  });

  it("seen from below lies mirrored and bulges the other way", () => {
    const arc = onlyArc([
      [
        ...lwpolylineTags(
          [
            [0, 0, 0.5],
            [10, 0],
          ],
          false,
        ),
        ...DOWN,
      ],
    ]);
    expect(rounded(arc.end)).toEqual([-10, 0]);
    expect(rounded(arc.center)).toEqual([-5, 3.75]);
    expect(arc.sweep).toBeLessThan(0);
  });

  it("with a vertex that lacks its y is an error", () => {
    const { findings } = read([
      [0, "LWPOLYLINE", 8, "0", 90, 2, 70, 0, 10, 0, 10, 5, 20, 1],
    ]);
    expect(findings[0]?.code).toBe("drawing/bad-entity");
  });
});

describe("POLYLINE", () => {
  const vertex = (x: number, y: number, more: Tags = []): Tags => [
    0,
    "VERTEX",
    8,
    "0",
    10,
    x,
    20,
    y,
    30,
    0,
    ...more,
  ];

  it("has its vertices after it, with bulges", () => {
    const area = contourArea(
      onlyChain([
        [0, "POLYLINE", 8, "0", 66, 1, 70, 1, 10, 0, 20, 0, 30, 0],
        vertex(0, 0),
        vertex(10, 0, [42, 1]),
        vertex(10, 4),
        vertex(0, 4, [42, 1]),
        [0, "SEQEND", 8, "0"],
      ]),
    );
    expect(area).toBeCloseTo(40 + 4 * Math.PI, 12);
  });

  it("may lack its end (SEQEND), before another entity or the end of the section", () => {
    const triangle: Tags[] = [
      [0, "POLYLINE", 8, "0", 66, 1, 70, 1],
      vertex(0, 0),
      vertex(4, 0),
      vertex(0, 3),
    ];
    const { outlines } = read([
      ...triangle,
      circleTags(20, 0, 1),
      ...triangle.map((t) => t),
    ]);
    expect(outlines.map((o) => contourArea(o.contour))).toEqual([
      6,
      expect.closeTo(Math.PI, 9),
    ]);
  });

  it("smoothed to a spline is followed through its spline vertices, not its frame", () => {
    const area = contourArea(
      onlyChain([
        [0, "POLYLINE", 8, "0", 66, 1, 70, 5, 75, 6],
        vertex(-9, -9, [70, 16]),
        vertex(99, 0, [70, 16]),
        vertex(0, 0, [70, 8]),
        vertex(4, 0, [70, 8]),
        vertex(0, 3, [70, 8]),
        [0, "SEQEND"],
      ]),
    );
    expect(area).toBe(6);
  });

  it("in space is read in world coordinates when it is flat", () => {
    const points: Tags[] = [vertex(0, 0), vertex(4, 0), vertex(0, 3)];
    expect(
      contourArea(
        onlyChain([[0, "POLYLINE", 8, "0", 66, 1, 70, 9, ...DOWN], ...points]),
      ),
    ).toBe(6);
  });

  it("that is a mesh is skipped and counted", () => {
    const { skipped, findings } = read([
      [0, "POLYLINE", 8, "M", 66, 1, 70, 16, 71, 2, 72, 2],
      vertex(0, 0, [70, 64]),
      vertex(1, 0, [70, 64]),
      [0, "SEQEND"],
    ]);
    expect(skipped).toEqual([{ kind: "POLYLINE mesh", layer: "M", count: 1 }]);
    expect(findings.map((f) => f.code)).toEqual([
      "drawing/left-alone",
      "drawing/empty",
    ]);
  });
});

describe("ELLIPSE", () => {
  const ellipse = (a: number, ratio: number, more: Tags = []): Tags => [
    0,
    "ELLIPSE",
    8,
    "0",
    10,
    3,
    20,
    4,
    30,
    0,
    11,
    a,
    21,
    0,
    31,
    0,
    40,
    ratio,
    41,
    0,
    42,
    2 * Math.PI,
    ...more,
  ];

  /** Simpson's rule on the arc length: the perimeter to 1e-10. */
  function perimeter(a: number, b: number): number {
    const n = 4000;
    const h = (2 * Math.PI) / n;
    const f = (t: number) => Math.hypot(a * Math.sin(t), b * Math.cos(t));
    let sum = 0;
    for (let i = 0; i < n; i++)
      sum += (f(i * h) + 4 * f((i + 0.5) * h) + f((i + 1) * h)) * (h / 6);
    return sum;
  }

  it("is one chain, to the last bit, even where it is thinner than its tolerance", () => {
    for (const ratio of [4e-6, 1e-5, 1e-3])
      expect(chainFaults(onlyChain([ellipse(76.2, ratio)]))).toEqual([]);
  });

  it.each([
    [20, 0.5],
    [8, 0.95],
    [10, 0.05],
  ])(
    "with half axis %d and ratio %d has the area π·a·b and the perimeter of the integral, in arcs that follow on smoothly",
    (a, ratio) => {
      const contour = onlyChain([ellipse(a, ratio)]);
      const round = perimeter(a, a * ratio);
      // A border within 0.1 µm changes the area by less than the perimeter times that.
      expect(
        Math.abs(contourArea(contour) - Math.PI * a * a * ratio),
      ).toBeLessThan(0.0001 * round);
      expect(Math.abs(contourLength(contour) - round)).toBeLessThan(
        0.00002 * round,
      );
      expect(sharpestJoint(contour)).toBeLessThan(1e-6);
      expect(contour.segments.length).toBeLessThan(130);
      const points = Array.from({ length: 2000 }, (_, i) => ({
        x: 3 + a * Math.cos(i / 318),
        y: 4 + a * ratio * Math.sin(i / 318),
      }));
      expect(worstOff(contour.segments, points)).toBeLessThan(0.00015);
    },
  );

  it("in part runs from its first to its second parameter", () => {
    const tags: Tags = [
      0,
      "ELLIPSE",
      8,
      "0",
      10,
      0,
      20,
      0,
      11,
      0,
      21,
      6,
      40,
      0.5,
      41,
      0,
      42,
      Math.PI / 2,
    ];
    const { segments } = onlyChain([tags]);
    // Major axis along +y, so the minor one along −x.
    expect(rounded((segments[0] as Segment).start)).toEqual([0, 6]);
    expect(rounded((segments.at(-1) as Segment).end)).toEqual([-3, 0]);
  });

  it("seen from below runs the other way round", () => {
    const tags: Tags = [
      0,
      "ELLIPSE",
      8,
      "0",
      10,
      0,
      20,
      0,
      11,
      6,
      21,
      0,
      40,
      0.5,
      41,
      0,
      42,
      Math.PI / 2,
      ...DOWN,
    ];
    expect(rounded((onlyChain([tags]).segments.at(-1) as Segment).end)).toEqual(
      [0, -3],
    );
  });

  it("of ratio 1 is exact arcs", () => {
    const { segments } = onlyChain([ellipse(5, 1)]);
    expect(segments.map((s) => s.kind === "arc" && s.radius)).toEqual([5, 5]);
    const half: Tags = [
      0,
      "ELLIPSE",
      8,
      "0",
      10,
      0,
      20,
      0,
      11,
      5,
      21,
      0,
      40,
      1,
      41,
      1,
      42,
      2,
    ];
    expect(onlyArc([half]).sweep).toBeCloseTo(1, 12);
  });

  it("with parameters many turns away is read like any other", () => {
    const from = 2 * Math.PI * 1e8;
    const tags: Tags = [
      0,
      "ELLIPSE",
      8,
      "0",
      10,
      0,
      20,
      0,
      11,
      6,
      21,
      0,
      40,
      0.5,
      41,
      from,
      42,
      from + Math.PI / 2,
    ];
    const { segments } = onlyChain([tags]);
    expect(segments.at(-1)?.end.y).toBeCloseTo(3, 5);
  });

  it("more than 10 m across is an error, not an hour of fitting", () => {
    expect(read([ellipse(6000, 0.5)]).findings[0]).toMatchObject({
      code: "drawing/bad-entity",
      message: expect.stringContaining("10 m across"),
    });
  });

  it("is fitted as finely as the caller asks", () => {
    const text = dxfText([ellipse(20, 0.5)]);
    const coarse =
      readDxf(text, { curveFit: 0.01 }).outlines[0]?.contour.segments.length ??
      0;
    expect(coarse).toBeLessThan(40);
    expect(() => readDxf(text, { curveFit: 0 })).toThrow(RangeError);
  });
});

describe("POINT", () => {
  it("is a place on its layer, no outline", () => {
    const { points, findings } = read([
      [0, "POINT", 8, "HOLES", 10, 7, 20, 8, 30, 0],
    ]);
    expect(points).toEqual([{ layer: "HOLES", at: { x: 7, y: 8 } }]);
    expect(findings.map((f) => f.code)).toEqual(["drawing/empty"]);
  });
});

describe("everything else", () => {
  it("is skipped and counted by kind and layer", () => {
    const { skipped } = read([
      [0, "TEXT", 8, "NOTES", 10, 0, 20, 0, 1, "DIE 7"],
      [0, "HATCH", 8, "FILL", 10, 0, 20, 0],
      [0, "TEXT", 8, "NOTES", 10, 5, 20, 0, 1, "REV B"],
      [0, "LEADER", 8, "0", 10, 0, 20, 0],
      [0, "RAY", 8, "0", 10, 0, 20, 0],
      [0, "ACAD_PROXY_ENTITY", 8, "0"],
      [0, "constructor", 8, "0"],
      [0, "VERTEX", 8, "0", 10, 0, 20, 0],
      circleTags(0, 0, 1),
    ]);
    expect(skipped).toEqual([
      { kind: "TEXT", layer: "NOTES", count: 2 },
      { kind: "HATCH", layer: "FILL", count: 1 },
      { kind: "LEADER", layer: "0", count: 1 },
      { kind: "RAY", layer: "0", count: 1 },
      { kind: "ACAD_PROXY_ENTITY", layer: "0", count: 1 },
      { kind: "constructor", layer: "0", count: 1 },
      { kind: "VERTEX", layer: "0", count: 1 },
    ]);
  });
});

describe("what is told of a drawing in sum", () => {
  const told = (entities: readonly Tags[]) =>
    read([...entities, circleTags(500, 0, 1)]).findings;

  it("an outline may hide in regions, solids and proxies, so they are told with what to do", () => {
    const [region, proxy] = told([
      [0, "REGION", 8, "CUT"],
      [0, "REGION", 8, "CUT"],
      [0, "ACAD_PROXY_ENTITY", 8, "CUT"],
      [0, "MTEXT", 8, "CUT"],
      [0, "XLINE", 8, "CUT"],
    ]);
    expect(region).toMatchObject({
      code: "drawing/left-alone",
      severity: "warning",
      layers: ["CUT"],
      message: expect.stringMatching(/^2 REGION on layer CUT .*explode/),
    });
    expect(proxy?.message).toContain("another program");
    expect(told([[0, "DIMENSION", 8, "0"]])).toEqual([]);
  });

  it("outlines at different heights are told, at one height not", () => {
    const at = (z: number, x: number): Tags => [
      ...[0, "CIRCLE", 8, "0", 10, x, 20, 0, 30, z, 40, 1],
    ];
    expect(told([at(0, 0), at(25, 9)])).toMatchObject([
      {
        code: "drawing/heights",
        severity: "warning",
        message: expect.stringContaining("z from 0 to 25 mm"),
      },
    ]);
    expect(read([at(25, 0), at(25, 9)]).findings).toEqual([]);
  });

  it("widths and thicknesses are told: the middle line is read", () => {
    const wide = lwpolylineTags(
      [
        [0, 0],
        [9, 0],
        [0, 9],
      ],
      true,
    );
    expect(told([[...wide, 43, 0.5]]).map((f) => f.code)).toEqual([
      "drawing/width",
    ]);
    expect(told([[...wide, 43, 0]])).toEqual([]);
    expect(told([[...wide, 39, 10]]).map((f) => f.code)).toEqual([
      "drawing/thickness",
    ]);
  });
});
