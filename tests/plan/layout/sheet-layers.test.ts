import { describe, expect, it } from "vitest";
import type { Finding } from "../../../src/base/finding.js";
import type { JobFile } from "../../../src/plan/job/file.js";
import { inspect } from "../../../src/run.js";
import {
  circleTags,
  dxfText,
  lineTags,
  rectangleTags,
  type Tags,
  textTags,
} from "../../helpers/dxf.js";

const looked = (entities: readonly Tags[], job: JobFile = {}) =>
  inspect({
    name: "sheet",
    drawing: dxfText(entities),
    job: JSON.stringify({ units: "mm", ...job }),
  });
const sheets = (findings: readonly Finding[]) =>
  findings.filter((f) => f.code === "role/sheet-layer");

const die = [circleTags(60, 60, 10, "DIE"), circleTags(90, 60, 10, "DIE")];
const frame = [
  ...rectangleTags(0, 0, 277, 190, "FRAME"),
  ...rectangleTags(180, 10, 90, 40, "FRAME"),
  textTags(185, 20, "base plate", "FRAME"),
  textTags(185, 30, "tool steel", "FRAME"),
];
const dimension: Tags[] = [
  lineTags(60, 60, 60, 90, "DIM"),
  lineTags(90, 60, 90, 90, "DIM"),
  lineTags(60.2, 85, 89.8, 85, "DIM"),
  textTags(75, 86, "30", "DIM"),
];

describe("a frame with a title block around the work", () => {
  it("stops the plan, says what it is, and how to leave it out", () => {
    const { ok, findings } = looked([...frame, ...die]);
    expect(ok).toBe(false);
    const [told, ...others] = sheets(findings);
    expect(others).toEqual([]);
    expect(told?.severity).toBe("error");
    expect(told?.layers).toEqual(["FRAME"]);
    for (const said of [
      "Layer FRAME holds 2 TEXT",
      "2 closed outlines",
      "277 × 190 mm",
      "around what is on layer DIE",
      "--skip-layer",
      "--only-layer",
    ])
      expect(told?.message).toContain(said);
  });

  it("is told of as a whole, not crossing by crossing", () => {
    const titleBlock = rectangleTags(217, 150, 60, 40, "FRAME");
    const { findings } = looked([...frame, ...titleBlock, ...die]);
    expect(findings.map((f) => f.code)).toEqual(["role/sheet-layer"]);
  });

  it.each<[string, JobFile]>([
    ["skipped", { drawing: { skip: ["FRAME"] } }],
    ["not picked", { drawing: { only: ["DIE"] } }],
    ["ignored", { roles: { layers: { FRAME: "ignore" } } }],
  ])("is no work once its layer is %s", (_, job) => {
    const { ok, findings, contours } = looked([...frame, ...die], job);
    expect(sheets(findings)).toEqual([]);
    expect(ok).toBe(true);
    const roles = contours.filter((c) => c.layer === "DIE").map((c) => c.role);
    expect(roles).toEqual(["part", "part"]);
  });
});

describe("text beside an outline", () => {
  it("is a warning where all of it is on one layer: it may well be the work", () => {
    const { ok, findings } = looked([
      ...rectangleTags(0, 0, 60, 40),
      circleTags(20, 20, 8),
      textTags(5, 5, "two off"),
    ]);
    expect(ok).toBe(true);
    expect(sheets(findings).map((f) => f.severity)).toEqual(["warning"]);
  });

  it("is nothing to tell of once somebody has said what the layer is", () => {
    const entities = [circleTags(0, 0, 8, "A"), textTags(0, 0, "A", "A")];
    for (const job of [
      { drawing: { only: ["a"] } },
      { roles: { layers: { a: "opening" } } },
    ] as JobFile[])
      expect(sheets(looked(entities, job).findings)).toEqual([]);
  });

  it("alone on its layer is no finding", () => {
    const { findings } = looked([...die, textTags(0, 0, "note", "NOTES")]);
    expect(findings).toEqual([]);
  });
});

describe("dimension lines drawn as lines", () => {
  it("are told of once for the layer, with the smallest gap, and not one by one", () => {
    const { findings, open } = looked([...die, ...dimension]);
    expect(findings).toHaveLength(1);
    expect(findings[0]?.severity).toBe("error");
    // From (60.2, 85) to the witness line's end at (60, 90): √(0.2² + 5²).
    expect(findings[0]?.message).toContain(
      "3 open, nearest to closing 5.004 mm",
    );
    expect(open).toHaveLength(3);
  });
});

describe("many layers with text", () => {
  it("are told of ten by ten", () => {
    const many = Array.from({ length: 25 }, (_, i) => [
      circleTags(30 * i, 0, 10, `L${i}`),
      textTags(30 * i, 0, "note", `L${i}`),
    ]).flat();
    const told = sheets(looked(many).findings);
    expect(told).toHaveLength(11);
    expect(told.at(-1)?.message).toContain("15 more layers");
  });
});
