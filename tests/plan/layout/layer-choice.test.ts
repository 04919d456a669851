import { describe, expect, it } from "vitest";
import { InputError } from "../../../src/base/finding.js";
import type { JobFile } from "../../../src/plan/job/file.js";
import { check, inspect, planDrawing } from "../../../src/run.js";
import {
  circleTags,
  dxfText,
  pointTags,
  rectangleTags,
  textTags,
} from "../../helpers/dxf.js";

/** A plate in the frame of its sheet, with a title block, a start hole that is there, and a note. */
const sheet = dxfText([
  ...rectangleTags(-60, -60, 200, 150, "FRAME"),
  ...rectangleTags(80, -60, 60, 30, "FRAME"),
  textTags(85, -50, "base plate", "FRAME"),
  circleTags(0, 0, 10, "DIE"),
  circleTags(30, 0, 10, "die"),
  pointTags(0, 0, "HOLES"),
  circleTags(60, 0, 5, "NOTES"),
]);

const order = (job: JobFile, overrides = {}) => ({
  name: "sheet",
  drawing: sheet,
  job: JSON.stringify({ passes: 1, roles: { outer: "opening" }, ...job }),
  overrides,
});

describe("layers picked by name", () => {
  it("are read alone, whatever the case of their name", () => {
    const { contours, layers, ok } = inspect(
      order({ drawing: { only: ["Die"] } }),
    );
    expect(contours.map((c) => [c.layer, c.role])).toEqual([
      ["DIE", "opening"],
      ["DIE", "opening"],
    ]);
    expect(layers.map((l) => l.name)).toContain("FRAME");
    expect(ok).toBe(true);
  });

  it("are left out, and the rest nests as if they were not there", () => {
    const skipped = inspect(order({ drawing: { skip: ["frame", "NOTES"] } }));
    const only = inspect(order({ drawing: { only: ["DIE", "HOLES"] } }));
    expect(skipped.contours).toEqual(only.contours);
  });

  it("are the same from the command line as from the job", () => {
    const asJob = planDrawing(order({ drawing: { only: ["DIE"] } }));
    const asOption = planDrawing(order({}, { only: ["DIE"] }));
    expect(asOption.program).toBe(asJob.program);
    expect(asJob.ok).toBe(true);
    const proof = check(order({}, { only: ["DIE"] }), asJob.program ?? "");
    expect(proof.ok).toBe(true);
  });

  it("bring the layers along that the job names for holes", () => {
    const { plan } = planDrawing(
      order({ drawing: { only: ["DIE"] }, startHoles: { layer: "holes" } }),
    );
    const hole = plan.features.map((f) => f.startHole).find((h) => h.drawn);
    expect(hole?.at).toEqual({ x: 0, y: 0 });
  });

  it.each([
    [{ only: ["DYE"] }, "DYE"],
    [{ skip: ["FRAME", "TITEL"] }, "TITEL"],
  ])(
    "%o: must be there, or the layers that are there are listed",
    (drawing, name) => {
      const read = () => inspect(order({ drawing }));
      expect(read).toThrow(InputError);
      expect(read).toThrow(`no layer "${name}"`);
      expect(read).toThrow("FRAME, DIE, HOLES, NOTES");
    },
  );
});

describe("a layer's role", () => {
  it("holds whatever the case of the name in the job", () => {
    const { contours } = inspect(
      order({
        roles: { layers: { Frame: "ignore", Notes: "ignore" }, outer: "part" },
      }),
    );
    expect(Object.fromEntries(contours.map((c) => [c.layer, c.role]))).toEqual({
      FRAME: "ignore",
      DIE: "part",
      NOTES: "ignore",
    });
  });
});

describe("a layer that the job names and the drawing does not have", () => {
  const told = (job: JobFile): string[] =>
    inspect(order(job))
      .findings.filter((f) => f.code === "role/no-such-layer")
      .map((f) => f.message);

  it("is told with the spelling that was meant, when it was to have a role", () => {
    const [message, ...more] = told({
      roles: { layers: { DEI: "opening", notes: "ignore", HOELS: "ignore" } },
    });
    expect(message).toMatch(
      /^roles\.layers .*: the drawing has no layer "DEI", did you mean "DIE"\?/,
    );
    expect(more).toEqual([expect.stringContaining('did you mean "HOLES"')]);
  });

  it("is told when it was to hold start holes or marks", () => {
    const job = { startHoles: { layer: "HOLE" }, tabs: { layer: "TABS" } };
    expect(told(job)).toEqual([
      expect.stringMatching(/^startHoles\.layer .*did you mean "HOLES"/),
      expect.stringMatching(/^tabs\.layer .*layer "TABS"; it has .*FRAME/),
    ]);
  });

  it("is not told where all are there, whatever the case", () => {
    expect(
      told({
        roles: { layers: { die: "opening" } },
        startHoles: { layer: "holes" },
      }),
    ).toEqual([]);
  });
});
