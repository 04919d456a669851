import { describe, expect, it } from "vitest";
import { InputError } from "../../src/base/finding.js";
import { readDxf } from "../../src/drawing/read-dxf.js";
import { contourArea } from "../../src/geometry/contour.js";
import { dxfText, insertTags, type Tags } from "../helpers/dxf.js";

const { PI } = Math;
const circle: Tags = [0, "CIRCLE", 8, "A", 10, 0, 20, 0, 40, 5];
// biome-ignore format: a vertex a line
const square: Tags = [
  10, 0, 20, 0,
  10, 10, 20, 0,
  10, 10, 20, 10,
  10, 0, 20, 10,
];
/** A quarter disc of radius 10: 25 π. */
const quarter: Tags[] = [
  [0, "LINE", 8, "0", 10, 0, 20, 0, 11, 10, 21, 0],
  [0, "ARC", 8, "0", 10, 0, 20, 0, 40, 10, 50, 0, 51, 90],
  [0, "LINE", 8, "0", 10, 0, 20, 10, 11, 0, 21, 0],
];

const areas = (text: string): number[] =>
  readDxf(text).outlines.map((o) => contourArea(o.contour));

describe("an odd file", () => {
  // biome-ignore format: one case a row
  it.each<[string, Tags]>([
    ["over a half circle and back the same way", [10, 0, 20, 0, 42, 1, 10, 10, 20, 0, 42, -1]],
    ["along a line and back with a stop", [10, 0, 20, 0, 10, 10, 20, 0, 10, 5, 20, 0]],
  ])("with a closed polyline that runs %s has an open line, and says so", (_, vertices) => {
    const { outlines, open, findings } = readDxf(
      dxfText([[0, "LWPOLYLINE", 8, "A", 70, 1, ...vertices]]),
    );
    expect(outlines).toEqual([]);
    expect(open).toHaveLength(1);
    expect(findings.map((f) => f.code)).toContain("outline/not-closed");
  });

  it("with a figure of eight of two equal loops is told that it crosses itself", () => {
    const eight: Tags = [
      10, 0, 20, 0, 10, 10, 20, 10, 10, 10, 20, 0, 10, 0, 20, 10,
    ];
    const { findings } = readDxf(
      dxfText([[0, "LWPOLYLINE", 8, "A", 70, 1, ...eight]]),
    );
    expect(findings.map((f) => f.code)).toContain("outline/crosses-itself");
  });

  // biome-ignore format: one case a row
  it.each<[string, Tags, number]>([
    ["a closed polyline that repeats its first point", [0, "LWPOLYLINE", 8, "A", 70, 1, ...square, 10, 0, 20, 0], 100],
    ["a polyline with a bulge on its closing side", [0, "LWPOLYLINE", 8, "A", 70, 1, 10, 0, 20, 0, 10, 10, 20, 0, 10, 10, 20, 10, 42, 1], 50 + 25 * PI],
    ["a bulge on a closing side without length", [0, "LWPOLYLINE", 8, "A", 70, 1, 10, 0, 20, 0, 10, 10, 20, 0, 10, 10, 20, 10, 42, 1, 10, 0, 20, 0, 42, 0.5], 50 + 25 * PI],
    ["a bulge too small to have a radius", [0, "LWPOLYLINE", 8, "A", 70, 1, ...square, 42, 4.5e-312], 100],
    ["a polyline with the flag for line types along it", [0, "LWPOLYLINE", 8, "A", 70, 129, ...square], 100],
    ["an arc from 0 to 0 degrees", [0, "ARC", 8, "A", 10, 0, 20, 0, 40, 5, 50, 0, 51, 0], 25 * PI],
    ["an ellipse round as a circle that ends at 2π with six digits", [0, "ELLIPSE", 8, "A", 10, 0, 20, 0, 11, 10, 21, 0, 40, 1, 41, 0, 42, 6.28319], 100 * PI],
    ["a small one that ends at 2π with five digits", [0, "ELLIPSE", 8, "A", 10, 0, 20, 0, 11, 1, 21, 0, 40, 1, 41, 0, 42, 6.2832], PI],
    ["comments among its tags", [999, "x", 0, "CIRCLE", 999, "in", 8, "A", 10, 0, 999, "y", 20, 0, 40, 5], 25 * PI],
  ])("with %s has the area that it means", (_, tags, area) => {
    const [found, ...more] = areas(dxfText([tags]));
    expect(more).toEqual([]);
    expect(found).toBeCloseTo(area, 9);
  });

  // Ellipses are fitted to 0.15 µm, 48.5 mm all round: up to 0.007 mm² of area.
  it.each<[string, Tags, number]>([
    ["goes round twice", [11, 10, 21, 0, 40, 0.5, 41, 0, 42, 4 * PI], 50 * PI],
    [
      "has a longer second axis",
      [11, 5, 21, 0, 40, 2, 41, 0, 42, 2 * PI],
      50 * PI,
    ],
  ])("with an ellipse that %s has it once", (_, tags, area) => {
    const drawn = dxfText([[0, "ELLIPSE", 8, "A", 10, 0, 20, 0, ...tags]]);
    const [found] = areas(drawn);
    expect(Math.abs((found as number) - area)).toBeLessThan(0.0073);
  });

  it("with an insertion seen from behind lies on the other side of x = 0", () => {
    const behind = insertTags("Q", 5, 0, [210, 0, 220, 0, 230, -1]);
    const { outlines } = readDxf(dxfText([behind], { blocks: { Q: quarter } }));
    const xs = outlines[0]?.contour.segments.map((s) => s.start.x) ?? [];
    expect([Math.min(...xs), Math.max(...xs)]).toEqual([
      expect.closeTo(-15, 9),
      expect.closeTo(-5, 9),
    ]);
    expect(areas(dxfText([behind], { blocks: { Q: quarter } }))[0]).toBeCloseTo(
      25 * PI,
      9,
    );
  });

  it("with an insertion of scale 0, or an external one, is in error", () => {
    const flat = dxfText([insertTags("Q", 5, 0, [41, 0])], {
      blocks: { Q: quarter },
    });
    const codes = (text: string) =>
      readDxf(text)
        .findings.filter((f) => f.severity === "error")
        .map((f) => f.code);
    expect(codes(flat)).toContain("drawing/bad-entity");
    expect(codes(dxfText([insertTags("ELSEWHERE", 0, 0)]))).toContain(
      "drawing/block-missing",
    );
  });

  it.each(["1.D+01", "1,5", "0x10", "1e", "--1", "5 mm"])(
    "with the number %s is refused with its line",
    (number) => {
      const text = dxfText([[0, "CIRCLE", 8, "A", 10, 0, 20, 0, 40, number]]);
      expect(() => readDxf(text)).toThrow(InputError);
      expect(() => readDxf(text)).toThrow(/^Line \d+: ".*" is not a number/);
    },
  );

  it.each([
    ["CR", (t: string) => t.replaceAll("\n", "\r")],
    [
      "LF and CR LF in turn",
      (t: string) =>
        t.replace(/\n/g, (_, i: number) => (i % 3 ? "\r\n" : "\n")),
    ],
    [
      "blanks round its group codes",
      (t: string) => t.replace(/^(\d+)$/gm, "  $1\t"),
    ],
  ])("with %s at its lines is read all the same", (_, spoil) => {
    expect(areas(spoil(dxfText([circle])))[0]).toBeCloseTo(25 * PI, 9);
  });

  it.each(["3DFACE", "SOLID", "REGION", "3DSOLID", "MLINE", "HELIX", "circle"])(
    "with an outline drawn as %s says so, and that nothing is left to cut",
    (kind) => {
      const { findings } = readDxf(dxfText([[0, kind, 8, "A", 10, 0, 20, 0]]));
      expect(findings.map((f) => f.code)).toEqual([
        "drawing/left-alone",
        "drawing/empty",
      ]);
    },
  );

  it.each([45.00000001, 44.00000001 + 1])(
    "with an arc of next to nothing has no circle in its place (from 45 to %d degrees)",
    (end) => {
      const arc: Tags = [
        ...[0, "ARC", 8, "A", 10, 50, 20, 0, 40, 5, 50, 45, 51, end],
      ];
      const { outlines, open, repairs } = readDxf(dxfText([circle, arc]));
      expect(outlines).toHaveLength(1);
      expect(open).toEqual([]);
      expect(repairs.map((r) => r.kind)).toEqual(["zero-length-dropped"]);
    },
  );

  it("with an ellipse whose axes enclose nothing is told so: 20 mm of it are no zero length", () => {
    const flat: Tags = [
      ...[0, "ELLIPSE", 8, "A", 10, 0, 20, 0, 11, 10, 21, 0, 40, 0],
    ];
    const { findings, repairs } = readDxf(dxfText([circle, flat]));
    expect(findings.map((f) => f.code)).toEqual(["drawing/bad-entity"]);
    expect(repairs).toEqual([]);
  });

  const closed: Tags = [0, "LWPOLYLINE", 8, "A", 70, 1, ...square];
  const side: Tags = [0, "LINE", 8, "A", 10, 0, 20, 0, 11, 10, 21, 0];
  // biome-ignore format: one case a row
  it.each<[string, readonly Tags[], number]>([
    ["a side of a polyline", [closed, side], 10],
    ["a part of a side, from end to start", [closed, [0, "LINE", 8, "A", 10, 8, 20, 10, 11, 3, 21, 10]], 5],
    ["three sides of a polyline", [closed, side, [0, "LINE", 8, "A", 10, 10, 20, 0, 11, 10, 21, 10], [0, "LINE", 8, "A", 10, 10, 20, 10, 11, 0, 21, 10]], 30],
    ["a stretch of a circle across the end of its halves", [circle, [0, "ARC", 8, "A", 10, 0, 20, 0, 40, 5, 50, 150, 51, 240]], 2.5 * PI],
  ])("with %s drawn over it once more has it once, and says so", (_, drawn, size) => {
    const { outlines, open, repairs } = readDxf(dxfText(drawn));
    expect(outlines).toHaveLength(1);
    expect(open).toEqual([]);
    expect(repairs).toEqual([
      expect.objectContaining({
        kind: "double-dropped",
        size: expect.closeTo(size, 9),
      }),
    ]);
  });

  it("with pieces of slanted sides that run over each other, to four decimals, has the sides whole", () => {
    const corners = [
      [0, 0],
      [31.2345, 7.6543],
      [23.4567, 28.7654],
      [-7.1234, 19.8765],
    ] as const;
    const pieces = corners.flatMap(([x, y], i): Tags[] => {
      const [toX, toY] = corners[(i + 1) % 4] as readonly [number, number];
      const at = (t: number): readonly string[] => [
        (x + t * (toX - x)).toFixed(4),
        (y + t * (toY - y)).toFixed(4),
      ];
      return [
        [0, 0.62],
        [1, 0.37],
      ].map(([t = 0, u = 0]): Tags => {
        const [[ax = "", ay = ""], [bx = "", by = ""]] = [at(t), at(u)];
        return [0, "LINE", 8, "A", 10, ax, 20, ay, 11, bx, 21, by];
      });
    });
    const { outlines, open, findings } = readDxf(dxfText(pieces));
    expect([outlines.length, open.length, findings]).toEqual([1, 0, []]);
    // The shoelace formula; four decimals move each side by less than 0.1 µm.
    const twice = corners.reduce((sum, [x, y], i) => {
      const [u, v] = corners[(i + 1) % 4] as readonly [number, number];
      return sum + x * v - u * y;
    }, 0);
    const found = outlines[0] ? contourArea(outlines[0].contour) : 0;
    expect(Math.abs(found - twice / 2)).toBeLessThan(0.0001 * 110);
  });

  it("with a line that leaves an outline, or lies beside it by 1 µm, keeps that line and tells of it", () => {
    for (const [x, y] of [
      [12, 0],
      [10, 0.001],
    ]) {
      const line: Tags = [
        ...[0, "LINE", 8, "A", 10, 5, 20, 0, 11, x ?? 0, 21, y ?? 0],
      ];
      expect(readDxf(dxfText([closed, line])).open).toHaveLength(1);
    }
  });

  it("with zeros after its end is read all the same", () => {
    const bytes = new TextEncoder().encode(
      `${dxfText([circle])}${"\0".repeat(512)}`,
    );
    const { outlines, findings } = readDxf(bytes);
    expect(outlines).toHaveLength(1);
    expect(findings.map((f) => f.code)).toEqual(["drawing/after-end-mark"]);
  });

  it("with vertices that belong to no polyline says so", () => {
    const stray: Tags = [0, "VERTEX", 8, "A", 10, 1, 20, 1];
    const { findings } = readDxf(dxfText([circle, stray]));
    expect(findings.map((f) => f.code)).toEqual(["drawing/left-alone"]);
  });

  it("without a unit and without an outline is told to be empty, not asked for its unit", () => {
    expect(() => readDxf(dxfText([], { insunits: null }))).toThrow(
      /nothing to cut/,
    );
  });
});
