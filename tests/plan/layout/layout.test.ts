import { describe, expect, it } from "vitest";
import { readDxf } from "../../../src/drawing/read-dxf.js";
import type { JobFile } from "../../../src/plan/job/file.js";
import { settleJob } from "../../../src/plan/job/job.js";
import { layOut } from "../../../src/plan/layout/layout.js";
import {
  circleTags,
  dxfText,
  lineTags,
  rectangleTags,
  type Tags,
} from "../../helpers/dxf.js";

const laid = (entities: readonly Tags[], job: JobFile = {}) =>
  layOut(readDxf(dxfText(entities)), settleJob(job));
const plate = rectangleTags(0, 0, 60, 40);
const hole = [circleTags(20, 20, 8)];
const island = [circleTags(20, 20, 3)];

describe("the role of an outline", () => {
  it("follows the nesting: a part, an opening in it, a part in that", () => {
    const { features, stock } = laid([...plate, ...hole, ...island]);
    expect(features.map((f) => [f.id, f.depth, f.parent])).toEqual([
      ["part-1", 0, null],
      ["opening-1", 1, "part-1"],
      ["part-2", 2, "opening-1"],
    ]);
    expect(stock).toBeNull();
  });

  it("starts from what the job says of the outermost outline", () => {
    const asStock = laid([...plate, ...hole], { roles: { outer: "stock" } });
    expect(asStock.features.map((f) => f.id)).toEqual(["opening-1"]);
    expect(asStock.features[0]?.depth).toBe(0);
    expect(asStock.stock).not.toBeNull();
    const asOpening = laid([...plate, ...hole], {
      roles: { outer: "opening" },
    });
    expect(asOpening.features.map((f) => f.id)).toEqual([
      "opening-1",
      "part-1",
    ]);
  });

  it("is the layer's where the job names one", () => {
    const { features, roles } = laid(
      [
        ...rectangleTags(0, 0, 60, 40, "BLOCK"),
        circleTags(20, 20, 8, "DIE"),
        circleTags(20, 20, 3, "NOTES"),
      ],
      {
        roles: { layers: { BLOCK: "stock", DIE: "opening", NOTES: "ignore" } },
      },
    );
    expect(roles).toEqual(["stock", "opening", "ignore"]);
    expect(features.map((f) => f.id)).toEqual(["opening-1"]);
  });
});

describe("holes that are drawn", () => {
  it("are the circles and points of the start-hole layer, and no features", () => {
    const { features, holes } = laid(
      [
        ...plate,
        circleTags(30, 20, 0.5, "HOLES"),
        [0, "POINT", 8, "HOLES", 10, 10, 20, 10],
      ],
      { startHoles: { layer: "HOLES" } },
    );
    expect(features.map((f) => f.id)).toEqual(["part-1"]);
    expect(holes).toEqual([
      { at: { x: 10, y: 10 }, diameter: null },
      { at: { x: 30, y: 20 }, diameter: 1 },
    ]);
  });
});

describe("what does not make sense is told", () => {
  const codes = (entities: readonly Tags[], job: JobFile = {}): string[] =>
    laid(entities, job).findings.map((f) => f.code);

  it("an open outline, unless its layer is ignored", () => {
    const scrap = [lineTags(70, 0, 80, 0, "SCRAP")];
    expect(codes([...plate, ...scrap])).toContain("outline/not-closed");
    const ignored = { roles: { layers: { SCRAP: "ignore" } } } as const;
    expect(codes([...plate, ...scrap], ignored)).toEqual([]);
  });

  it("outlines that cross, unless one of them is ignored", () => {
    const over = [circleTags(60, 20, 5, "NOTES")];
    expect(codes([...plate, ...over])).toContain("outline/crosses-another");
    const ignored = { roles: { layers: { NOTES: "ignore" } } } as const;
    expect(codes([...plate, ...over], ignored)).toEqual([]);
  });

  it("two blocks, an opening in an opening, nothing to cut", () => {
    const second = rectangleTags(100, 0, 20, 20);
    expect(
      codes([...plate, ...second], { roles: { outer: "stock" } }),
    ).toContain("role/two-blocks");
    const nested = { roles: { layers: { "0": "opening" } } } as const;
    expect(codes([...plate, ...hole], nested)).toContain(
      "role/same-inside-same",
    );
    const nothing = { roles: { layers: { "0": "ignore" } } } as const;
    expect(codes(plate, nothing)).toContain("role/nothing-to-cut");
  });
});
