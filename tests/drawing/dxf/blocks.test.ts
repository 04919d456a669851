import { describe, expect, it } from "vitest";
import { InputError } from "../../../src/base/finding.js";
import { readDxf } from "../../../src/drawing/read-dxf.js";
import {
  contourArea,
  contourBox,
  contourLength,
} from "../../../src/geometry/contour.js";
import type { Arc } from "../../../src/geometry/segment.js";
import {
  arcTags,
  circleTags,
  type DxfParts,
  dxfText,
  insertTags,
  lineTags,
  lwpolylineTags,
  type Tags,
} from "../../helpers/dxf.js";
import { worstOff } from "../../helpers/nearness.js";

const read = (entities: readonly Tags[], parts: DxfParts) =>
  readDxf(dxfText(entities, parts));

/** A flag of 3 by 1, standing on (0, 0): no mirror image of it is a turned one. */
const FLAG = lwpolylineTags(
  [
    [0, 0],
    [3, 1],
    [0, 1],
  ],
  true,
);

/** Corners of the only outline, rounded, in no order. */
function corners(entities: readonly Tags[], parts: DxfParts): string[] {
  const { outlines } = read(entities, parts);
  expect(outlines).toHaveLength(1);
  return (outlines[0]?.contour.segments ?? [])
    .map(
      ({ start: { x, y } }) =>
        `${Math.round(x * 1e6) / 1e6 + 0},${Math.round(y * 1e6) / 1e6 + 0}`,
    )
    .sort();
}

describe("an inserted block", () => {
  const blocks = { FLAG: [FLAG] };

  it("lies with its base point at the insertion", () => {
    expect(
      corners([insertTags("FLAG", 10, 20)], {
        blocks,
        bases: { FLAG: [3, 1] },
      }),
    ).toEqual(["10,20", "7,19", "7,20"]);
  });

  it("is scaled, then turned", () => {
    // (3, 1) scaled by 2 is (6, 2), turned by 90° (−2, 6).
    expect(
      corners([insertTags("FLAG", 10, 0, [41, 2, 42, 2, 50, 90])], { blocks }),
    ).toEqual(["10,0", "8,0", "8,6"]);
  });

  it("is mirrored by a negative scale", () => {
    expect(corners([insertTags("FLAG", 0, 0, [41, -1])], { blocks })).toEqual([
      "-3,1",
      "0,0",
      "0,1",
    ]);
  });

  it("is mirrored by an extrusion that looks down, its place too", () => {
    expect(
      corners([insertTags("FLAG", 10, 0, [210, 0, 220, 0, 230, -1])], {
        blocks,
      }),
    ).toEqual(["-10,0", "-10,1", "-13,1"]);
  });

  it("of any case, or of a name that means something to JavaScript, is found", () => {
    expect(corners([insertTags("flag", 0, 0)], { blocks })).toHaveLength(3);
    const odd = Object.fromEntries([["__proto__", [FLAG]]]);
    expect(
      corners([insertTags("__proto__", 0, 0)], { blocks: odd }),
    ).toHaveLength(3);
  });

  it("keeps the direction of its outline's bulges when mirrored", () => {
    const half = {
      HALF: [
        lwpolylineTags(
          [
            [0, 0, 1],
            [10, 0],
          ],
          true,
        ),
      ],
    };
    const box = contourBox(
      read([insertTags("HALF", 0, 0, [42, -1])], { blocks: half }).outlines[0]
        ?.contour as never,
    );
    expect(
      [box.minY, box.maxY].map((v) => Math.round(v * 1e9) / 1e9 + 0),
    ).toEqual([0, 5]);
  });

  it("in rows and columns lies in each cell, the grid turned with the block", () => {
    const { outlines } = read(
      [insertTags("DOT", 1, 1, [70, 3, 71, 2, 44, 10, 45, 4, 50, 90])],
      { blocks: { DOT: [circleTags(0, 0, 1)] } },
    );
    const centers = outlines.map((o) => (o.contour.segments[0] as Arc).center);
    expect(centers.map((c) => `${Math.round(c.x)},${Math.round(c.y)}`)).toEqual(
      ["1,1", "1,11", "1,21", "-3,1", "-3,11", "-3,21"],
    );
  });

  it("with a curve in it has the same curve in each cell, moved", () => {
    const ellipse: Tags = [
      0,
      "ELLIPSE",
      8,
      "0",
      10,
      7,
      20,
      2,
      11,
      4,
      21,
      3,
      40,
      0.4,
      41,
      0,
      42,
      2 * Math.PI,
    ];
    const cells = insertTags("DISC", 1, 1, [70, 2, 71, 2, 44, 30, 45, 40]);
    const turned = insertTags("DISC", 200, 0, [50, 90]);
    const { outlines } = read([cells, turned], { blocks: { DISC: [ellipse] } });
    const boxes = outlines.map((o) => contourBox(o.contour));
    // Half width of the ellipse: √(4² + (0.4·3)²), half height √(3² + (0.4·4)²).
    const [w, h] = [Math.hypot(4, 1.2), Math.hypot(3, 1.6)];
    const expected = [
      [8, 3, w, h],
      [38, 3, w, h],
      [8, 43, w, h],
      [38, 43, w, h],
      [198, 7, h, w],
    ] as const;
    expected.forEach(([x, y, halfWidth, halfHeight], i) => {
      expect(boxes[i]?.minX).toBeCloseTo(x - halfWidth, 3);
      expect(boxes[i]?.maxX).toBeCloseTo(x + halfWidth, 3);
      expect(boxes[i]?.minY).toBeCloseTo(y - halfHeight, 3);
      expect(boxes[i]?.maxY).toBeCloseTo(y + halfHeight, 3);
    });
  });

  it("in a block in a block lies where the two placements together put it", () => {
    // Inner: flag at (1, 0) turned by 90°: corners (1, 0), (0, 3), (0, 0). Outer: doubled and moved by (100, 0).
    const nested = { FLAG: [FLAG], PAIR: [insertTags("FLAG", 1, 0, [50, 90])] };
    expect(
      corners([insertTags("PAIR", 100, 0, [41, 2, 42, 2])], { blocks: nested }),
    ).toEqual(["100,0", "100,6", "102,0"]);
  });
});

describe("a block scaled unevenly", () => {
  it("turns a circle into an ellipse: area π·6·2", () => {
    const { outlines } = read([insertTags("DOT", 5, 5, [41, 3, 42, 1])], {
      blocks: { DOT: [circleTags(0, 0, 2)] },
    });
    const contour = outlines[0]?.contour;
    if (!contour) throw new Error("not closed");
    expect(Math.abs(contourArea(contour) - 12 * Math.PI)).toBeLessThan(
      0.0001 * contourLength(contour),
    );
  });

  it("turned inside shears: a circle becomes the slanted ellipse", () => {
    // x scaled by 3 after a turn: points (3·2·cos(t + 30°), 2·sin(t + 30°)); area 3·π·4 whatever the turn.
    const blocks = {
      DOT: [circleTags(0, 0, 2)],
      TURNED: [insertTags("DOT", 0, 0, [50, 30, 42, 0.5])],
    };
    const { outlines } = read([insertTags("TURNED", 0, 0, [41, 3])], {
      blocks,
    });
    const contour = outlines[0]?.contour;
    if (!contour) throw new Error("not closed");
    const c = Math.cos(Math.PI / 6);
    const points = Array.from({ length: 1000 }, (_, i) => {
      const u = 2 * Math.cos(i / 159);
      const v = Math.sin(i / 159);
      return { x: 3 * (u * c - v / 2), y: u / 2 + v * c };
    });
    expect(worstOff(contour.segments, points)).toBeLessThan(0.00015);
    expect(Math.abs(contourArea(contour) - 6 * Math.PI)).toBeLessThan(
      0.00015 * contourLength(contour),
    );
  });

  it("turns arcs and bulges into parts of the same ellipse, which still join", () => {
    const blocks = {
      SLOT: [
        lineTags(0, 0, 10, 0),
        arcTags(10, 2, 2, 270, 90),
        lwpolylineTags(
          [
            [10, 4],
            [0, 4, 1],
            [0, 0],
          ],
          false,
        ),
      ],
    };
    const { outlines, open } = read(
      [insertTags("SLOT", 0, 0, [41, 1, 42, 3])],
      { blocks },
    );
    expect(open).toEqual([]);
    expect(contourArea(outlines[0]?.contour as never)).toBeCloseTo(
      3 * (40 + 4 * Math.PI),
      2,
    );
  });
});

describe("blocks that go wrong", () => {
  it("such as one that holds itself are refused with an error, and the rest is read", () => {
    const blocks = {
      A: [circleTags(0, 0, 1), insertTags("B", 5, 0)],
      B: [insertTags("a", 5, 0), circleTags(0, 0, 2)],
    };
    const { findings, outlines } = read([insertTags("A", 0, 0)], { blocks });
    expect(findings.map((f) => [f.code, f.severity])).toEqual([
      ["drawing/block-loop", "error"],
    ]);
    expect(outlines).toHaveLength(2);
  });

  it("such as one that is not there are told with the line", () => {
    const { findings, skipped } = read(
      [insertTags("GONE", 0, 0), circleTags(0, 0, 1)],
      {},
    );
    expect(findings[0]?.code).toBe("drawing/block-missing");
    expect(findings[0]?.message).toMatch(/"GONE"/);
    expect(skipped).toEqual([{ kind: "INSERT", layer: "0", count: 1 }]);
  });

  it("such as a bomb of blocks in blocks are refused before they fill the memory", () => {
    const blocks: Record<string, Tags[]> = { L0: [circleTags(0, 0, 1)] };
    for (let level = 1; level <= 8; level++)
      blocks[`L${level}`] = Array.from({ length: 10 }, (_, i) =>
        insertTags(`L${level - 1}`, i, 0),
      );
    expect(() => read([insertTags("L8", 0, 0)], { blocks })).toThrow(
      InputError,
    );
    expect(() =>
      read([insertTags("L0", 0, 0, [70, 30_000, 71, 30_000, 44, 5, 45, 5])], {
        blocks,
      }),
    ).toThrow(/expanded \(block "L0", line \d+\)/);
    const empty = {
      E0: [],
      E1: [insertTags("E0", 0, 0, [70, 600, 71, 600, 44, 5, 45, 5])],
      E2: [insertTags("E1", 0, 0, [70, 600, 71, 600, 44, 5, 45, 5])],
    };
    expect(() => read([insertTags("E2", 0, 0)], { blocks: empty })).toThrow(
      InputError,
    );
  });
});

describe("a block that is not what it seems", () => {
  it("such as an external drawing is told with its name", () => {
    const text = dxfText([insertTags("FRAME", 0, 0), circleTags(0, 0, 1)], {
      blocks: { FRAME: [] },
    }).replace("2\nFRAME\n70\n0\n", "2\nFRAME\n70\n4\n1\nframe.dwg\n");
    const { findings } = readDxf(text.replace("1\n\n0\nENDBLK", "0\nENDBLK"));
    expect(findings[0]).toMatchObject({
      code: "drawing/block-missing",
      severity: "error",
      message: expect.stringContaining("it is in frame.dwg"),
    });
  });

  it("such as one defined twice is refused, as which is meant cannot be told", () => {
    const once = dxfText([insertTags("B", 0, 0), circleTags(9, 0, 1)], {
      blocks: { B: [circleTags(0, 0, 1)], b: [circleTags(0, 0, 2)] },
    });
    const { findings, outlines } = readDxf(once);
    expect(findings.map((f) => [f.code, f.severity])).toEqual([
      ["drawing/block-twice", "error"],
    ]);
    expect(outlines).toHaveLength(1);
  });

  it("such as one inserted at scale 0 is an error, not a guess", () => {
    const { findings } = read([insertTags("B", 0, 0, [41, 0])], {
      blocks: { B: [circleTags(0, 0, 1)] },
    });
    expect(findings[0]).toMatchObject({
      code: "drawing/bad-entity",
      message: expect.stringContaining("its scale is 0"),
    });
  });

  it("such as an array whose copies stand nearer than ends that are joined is an error, with their distance in mm", () => {
    const { findings, outlines } = read(
      [
        insertTags("B", 0, 0, [70, 2, 71, 30_000, 44, 5, 45, 0.001]),
        insertTags("TENTH", 0, 0),
      ],
      {
        blocks: {
          B: [circleTags(0, 0, 1)],
          // 0.05 apart in the block, which is inserted at a tenth of its size.
          HATCHED: [insertTags("B", 0, 0, [70, 3, 44, 0.05])],
          TENTH: [insertTags("HATCHED", 0, 0, [41, 0.1, 42, 0.1])],
        },
      },
    );
    expect(outlines).toEqual([]);
    expect(findings.slice(0, 2)).toEqual([
      expect.objectContaining({
        code: "drawing/bad-entity",
        message: expect.stringContaining(
          "its 2 × 30000 copies stand 0.001 mm apart",
        ),
      }),
      expect.objectContaining({
        code: "drawing/bad-entity",
        message: expect.stringContaining(
          "its 3 × 1 copies stand 0.005 mm apart",
        ),
      }),
    ]);
  });

  it("does not include an array without spacing: its copies are one", () => {
    const { findings, outlines, layers } = read(
      [insertTags("B", 0, 0, [70, 3, 71, 30_000, 44, 5])],
      { blocks: { B: [circleTags(0, 0, 1)] } },
    );
    expect(findings).toEqual([]);
    expect(outlines).toHaveLength(3);
    expect(layers.map((l) => l.entities)).toEqual([3]);
  });
});

describe("layers", () => {
  const layers = [
    ["CUT", 0, 7],
    ["OFF", 0, -7],
    ["ICE", 1, 7],
  ] as const;

  it("that were not asked for are told in one sentence, however many", () => {
    const names = Array.from({ length: 20 }, (_, i) => `L${i}`);
    const { findings } = readDxf(
      dxfText(names.map((name) => circleTags(0, 0, 5, name))),
      { onlyLayers: ["L0"] },
    );
    expect(findings.map((f) => f.message)).toEqual([
      "19 entities on layers L1, L2, L3, L4, L5, L6, L7, L8 and 11 more left out: the layer was not asked for.",
    ]);
  });

  it("that are off or frozen are left out, counted and told", () => {
    const drawing = read(
      [
        circleTags(0, 0, 1, "CUT"),
        circleTags(9, 0, 1, "OFF"),
        circleTags(0, 9, 1, "ICE"),
        circleTags(0, 19, 1, "ice"),
      ],
      { layers },
    );
    expect(drawing.outlines.map((o) => o.layer)).toEqual(["CUT"]);
    expect(drawing.layers).toEqual([
      { name: "CUT", entities: 1, state: "on" },
      { name: "OFF", entities: 1, state: "off" },
      { name: "ICE", entities: 2, state: "frozen" },
    ]);
    expect(drawing.skipped).toEqual([
      { kind: "CIRCLE", layer: "OFF", count: 1 },
      { kind: "CIRCLE", layer: "ICE", count: 2 },
    ]);
    expect(drawing.findings.map((f) => f.message)).toEqual([
      "1 entity on layer OFF left out: the layer is off.",
      "2 entities on layer ICE left out: the layer is frozen.",
    ]);
  });

  it("of a block: layer 0 within it is the insertion's, the others stay their own", () => {
    const blocks = { B: [circleTags(0, 0, 1), circleTags(9, 0, 1, "CUT")] };
    expect(
      read([insertTags("B", 0, 0, [], "DIE")], { layers, blocks }).outlines.map(
        (o) => o.layer,
      ),
    ).toEqual(["DIE", "CUT"]);
    // Off hides what is on that layer; frozen hides the whole insertion.
    expect(
      read([insertTags("B", 0, 0, [], "OFF")], { layers, blocks }).outlines.map(
        (o) => o.layer,
      ),
    ).toEqual(["CUT"]);
    expect(
      read([insertTags("B", 0, 0, [], "ICE")], { layers, blocks }).outlines,
    ).toEqual([]);
  });

  it("may be picked or skipped by the caller, whatever their case", () => {
    const text = dxfText(
      [circleTags(0, 0, 1, "CUT"), circleTags(9, 0, 1, "NOTES")],
      { layers },
    );
    expect(readDxf(text, { onlyLayers: ["cut"] }).outlines).toHaveLength(1);
    const skipped = readDxf(text, { skipLayers: ["Notes"] });
    expect(skipped.outlines.map((o) => o.layer)).toEqual(["CUT"]);
    expect(skipped.findings[0]?.message).toContain("was not asked for");
  });

  it("with characters written by their numbers have their names back", () => {
    for (const written of ["FR\\U+00C4SEN", "FR\\u+00c4SEN"])
      expect(read([circleTags(0, 0, 1, written)], {}).outlines[0]?.layer).toBe(
        "FRÄSEN",
      );
  });
});

describe("paper space and invisible entities", () => {
  it("are left out and told", () => {
    const drawing = read(
      [
        [...circleTags(0, 0, 1), 67, 1],
        [...circleTags(9, 0, 1), 60, 1],
        circleTags(20, 0, 1),
        [0, "VIEWPORT", 8, "0", 67, 1],
      ],
      {},
    );
    expect(drawing.outlines).toHaveLength(1);
    expect(drawing.findings.map((f) => f.message)).toEqual([
      "2 entities on layer 0 left out: it lies in paper space.",
      "1 entity on layer 0 left out: it is drawn invisible.",
    ]);
  });
});
