import { describe, expect, it } from "vitest";
import type { JobFile } from "../../../src/plan/job/file.js";
import { inspect } from "../../../src/run.js";
import {
  circleTags,
  dxfText,
  rectangleTags,
  type Tags,
} from "../../helpers/dxf.js";

const plate = (layer: string): Tags[] => [
  ...rectangleTags(100, 60, 80, 50, layer),
  circleTags(115, 75, 4, layer),
  circleTags(165, 95, 4, layer),
];

function frames(
  entities: readonly Tags[],
  job: JobFile = {},
  insunits = 4,
): { severity: string; message: string; layers?: readonly string[] }[] {
  const { findings } = inspect({
    name: "frame",
    drawing: dxfText(entities, { insunits }),
    job: JSON.stringify({ units: "mm", ...job }),
  });
  return findings.filter((f) => f.code === "role/frame");
}

/** ISO 216: A4 is 210 by 297 mm, A3 twice that; ASME Y14.1: B is 11 by 17 inches. */
const sheets: readonly (readonly [string, number, number])[] = [
  ["A4", 297, 210],
  ["A3", 420, 297],
  ["A4 times 10", 2970, 2100],
  ["ANSI B", 431.8, 279.4],
];

describe("a frame round a plate with holes, on a layer without text", () => {
  it.each(sheets)("of the size of %s stops the plan", (name, w, h) => {
    for (const layer of ["FRAME", "0"]) {
      const [told, ...more] = frames([
        ...rectangleTags(0, 0, w, h, layer),
        ...plate("0"),
      ]);
      expect(more).toEqual([]);
      expect(told).toMatchObject({ severity: "error", layers: [layer] });
      expect(told?.message).toContain(`the size of ${name}, around 1 outline:`);
    }
  });

  it("of any other size is told, for the plate counts as a hole", () => {
    const [told, ...more] = frames([
      ...rectangleTags(10, 10, 277, 190, "FRAME"),
      ...plate("CUT"),
    ]);
    expect(more).toEqual([]);
    expect(told?.severity).toBe("warning");
    expect(told?.message).toContain("an opening and what lies in it parts");
  });

  it.each<[string, JobFile]>([
    ["left out", { drawing: { skip: ["FRAME"] } }],
    ["ignored", { roles: { layers: { FRAME: "ignore" } } }],
    ["the block's edge", { roles: { layers: { FRAME: "stock" } } }],
    ["to be cut", { roles: { layers: { FRAME: "part" } } }],
  ])("is no matter once its layer is said to be %s", (_, job) => {
    for (const size of [210, 200])
      expect(
        frames(
          [...rectangleTags(0, 0, 297, size, "FRAME"), ...plate("CUT")],
          job,
        ),
      ).toEqual([]);
  });
});

describe("no frame is", () => {
  it.each<[string, readonly Tags[]]>([
    ["a plate with holes of its own layer", plate("CUT")],
    [
      "a block's edge around openings",
      [
        ...rectangleTags(0, 0, 200, 150, "BLOCK"),
        circleTags(50, 50, 10, "DIE"),
        circleTags(90, 50, 10, "DIE"),
      ],
    ],
    [
      "a plate of the size of A4 without anything in it",
      rectangleTags(0, 0, 297, 210, "CUT"),
    ],
    [
      "what is a hair off the size of a sheet",
      [...rectangleTags(0, 0, 297.5, 210, "0"), ...plate("0")],
    ],
  ])("%s", (_, entities) => {
    expect(frames(entities)).toEqual([]);
  });
});
