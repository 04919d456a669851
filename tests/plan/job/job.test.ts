import { describe, expect, it } from "vitest";
import { InputError } from "../../../src/base/finding.js";
import { vec } from "../../../src/geometry/vec.js";
import type { JobFile } from "../../../src/plan/job/file.js";
import { type Pass, roughKerf, settleJob } from "../../../src/plan/job/job.js";
import { makePlan } from "../../../src/plan/make-plan.js";
import { readProcessTable } from "../../../src/process/table.js";
import { feature, layoutOf } from "../../helpers/layouts.js";
import { rounded } from "../../helpers/shapes.js";

function fault(file: JobFile, overrides = {}): InputError {
  try {
    settleJob(file, overrides);
  } catch (e) {
    if (e instanceof InputError) return e;
    throw e;
  }
  throw new Error("the job was taken");
}

describe("a job with nothing said", () => {
  const job = settleJob({});

  it("is 0.25 brass in 25 mm tool steel, three passes, unattended first", () => {
    expect(job).toMatchObject({
      units: "mm",
      stock: { material: "tool-steel", thickness: 25 },
      wire: { diameter: 0.25, material: "brass" },
      roles: { outer: "part" },
      startHoles: { diameter: null, clearance: 0.5, grid: 0.5, layer: null },
      lead: { kind: "straight", overlap: 0.5 },
      tabs: { length: "auto", minSlugArea: 0 },
      order: { rule: "unattended-first", features: [] },
      program: {
        compensation: "path",
        words: "neutral",
        resolution: 0.0001,
      },
    });
  });

  it("knows nothing of the machine: no registers of its own, no box to stay in", () => {
    expect(job.program.registers).toBeNull();
    expect(job.travel).toBeNull();
  });

  it("runs at 0.125 + gap + leave: 0.21, 0.145 and 0.135 mm", () => {
    expect(job.passes.map((p) => [p.number, p.kind, p.offset])).toEqual([
      [1, "rough", 0.21],
      [2, "skim", 0.145],
      [3, "skim", 0.135],
    ]);
  });

  it("says aloud what it took for granted", () => {
    const said = job.assumptions.join("\n");
    for (const word of [
      "units mm",
      "tool steel",
      "25 mm",
      "0.25 mm",
      "brass",
      "3 passes (default)",
      "common practice",
      "parts to cut free",
      "start holes",
      "overlap",
      "nobody",
    ])
      expect(said).toContain(word);
  });
});

it("wire 0.25 and gap 0.02 make an offset of 0.145, a kerf of 0.29 and a least inside radius of 0.145", () => {
  const file: JobFile = {
    wire: { diameter: 0.25 },
    passes: [{ kind: "rough", gap: 0.02, leave: 0 }],
  };
  const job = settleJob(file);
  expect(job.passes[0]?.offset).toBeCloseTo(0.145, 9);
  expect(roughKerf(job)).toBeCloseTo(0.29, 9);
  const told = (radius: number): boolean =>
    makePlan(
      layoutOf(
        feature(
          "opening-1",
          "opening",
          rounded([vec(0, 0), vec(12, 0), vec(12, 12), vec(0, 12)], radius),
        ),
      ),
      job,
      "x",
    ).findings.some((f) => f.code === "corner/tighter-than-wire");
  expect(told(0.1451)).toBe(false);
  expect(told(0.14)).toBe(true);
});

describe("a job with everything said", () => {
  it("assumes nothing", () => {
    const job = settleJob({
      units: "mm",
      stock: { material: "carbide", thickness: 10 },
      wire: { diameter: 0.2, material: "coated-brass" },
      flushing: "open",
      passes: [{ kind: "rough", gap: 0.02, leave: 0 }],
      roles: { outer: "stock", layers: { A: "part" } },
      startHoles: { diameter: 1, clearance: 1, grid: 1, layer: "H" },
      lead: { kind: "straight", overlap: 0 },
      tabs: { length: 2, minSlugArea: 3 },
      order: "one-by-one",
      program: { compensation: "control", words: "neutral", resolution: 0.001 },
    });
    expect(job.assumptions).toEqual([]);
    expect(job.tabs).toMatchObject({ length: 2, minSlugArea: 3 });
    expect(job.roles.layers.A).toBe("part");
  });

  it("takes a list of features for what comes first, by the usual rule", () => {
    const listed = settleJob({ order: ["opening-2", "opening-1"] });
    expect(listed.order).toEqual({
      rule: "unattended-first",
      features: ["opening-2", "opening-1"],
    });
    expect(listed.assumptions.join()).toContain("needs nobody first");
    expect(
      settleJob({ order: { rule: "one-by-one", features: ["part-1"] } }).order,
    ).toEqual({ rule: "one-by-one", features: ["part-1"] });
  });

  it("refuses a list that names a feature twice", () => {
    expect(() =>
      settleJob({ order: ["part-1", "opening-1", "part-1"] }),
    ).toThrow(
      'order[2] must be a feature that the list has not named before, not "part-1"',
    );
  });

  it("looks up no layer that nobody named", () => {
    expect(settleJob({}).roles.layers.constructor).toBeUndefined();
  });
});

describe("a job in inches", () => {
  // 1 in = 25.4 mm exactly.
  const job = settleJob({
    units: "in",
    stock: { thickness: 1 },
    wire: { diameter: 0.01 },
    passes: [
      { kind: "rough", gap: 0.001, leave: 0.002 },
      { kind: "skim", gap: 0.0005, leave: 0 },
    ],
    startHoles: { diameter: 0.04, clearance: 0.02, grid: 0.025 },
    tabs: { length: 0.1, minSlugArea: 0.01 },
  });

  it("is brought to mm once", () => {
    expect(job.stock.thickness).toBe(25.4);
    expect(job.wire.diameter).toBe(0.254);
    expect(job.passes.map((p) => p.offset)).toEqual([0.2032, 0.1397]);
    expect(job.startHoles).toMatchObject({
      diameter: 1.016,
      clearance: 0.508,
      grid: 0.635,
    });
    expect(job.tabs).toMatchObject({ length: 2.54, minSlugArea: 6.4516 });
  });

  it("is written to 0.00001 in", () => {
    expect(job.program.resolution).toBe(0.000254);
  });

  it("takes its overrides in inches too, and says its limits in inches", () => {
    expect(settleJob({ units: "in" }, { thickness: 2 }).stock.thickness).toBe(
      50.8,
    );
    // 0.36 / 25.4 = 0.0141732
    expect(fault({ units: "in", wire: { diameter: 0.25 } }).message).toBe(
      "wire.diameter must be from 0.000787 in to 0.014173 in, not 0.25",
    );
  });
});

describe("the process table of a job", () => {
  const table = readProcessTable(
    JSON.stringify({
      materials: {
        "bell-bronze": {
          title: "bell bronze",
          density: 8.7,
          relativeRate: 0.9,
          relativeGap: 1,
          strength: { yield: 120, shear: 150 },
          source: "supplier's sheet",
        },
      },
      wires: { brass: { feed: 7 } },
    }),
  );
  const file: JobFile = {
    process: "ours.json",
    stock: { material: "bell-bronze", thickness: 40 },
  };

  it("brings materials of the shop's own, and figures over the built-in ones", () => {
    const { process, assumptions } = settleJob(file, {}, table);
    expect(process.material.title).toBe("bell bronze");
    expect([process.wire.feed, process.wire.density]).toEqual([7, 8.5]);
    expect(assumptions.join()).toContain("from the process table ours.json");
  });

  it("must be given when the job names one", () => {
    expect(() => settleJob(file)).toThrow(
      /process table "ours.json", but that table was not given/,
    );
  });

  it("has a row for each material, or the job is refused with those there are", () => {
    const e = fault({ stock: { material: "tool-stel" } });
    expect(e.message).toMatch(
      /^stock\.material must be a row of the process table: "tool-steel" or .* not "tool-stel"; did you mean "tool-steel"\?$/,
    );
  });

  it("roughs slower and wider with the nozzles standing off, but never against a gap the job gives", () => {
    const rough = (more: JobFile) => settleJob(more).passes[0] as Pass;
    const [sealed, open] = [rough({}), rough({ flushing: "open" })];
    expect(open.areaRate / sealed.areaRate).toBeCloseTo(0.6, 2);
    expect(open.gap).toBeGreaterThan(sealed.gap);
    expect(open.leave).toBe(sealed.leave);
    const own = rough({
      flushing: "open",
      passes: [{ gap: 0.04, leave: 0, areaRate: 90 }],
    });
    expect([own.gap, own.areaRate]).toEqual([0.04, 90]);
  });
});

describe("overrides", () => {
  it("win over the file and leave the rest of its group alone", () => {
    const job = settleJob(
      {
        wire: { diameter: 0.2, material: "coated-brass" },
        passes: 1,
        roles: { outer: "stock", layers: { A: "ignore" } },
        drawing: { only: ["DIE"], skip: ["NOTES"] },
      },
      {
        skip: ["TITLE"],
        wire: 0.3,
        thickness: 60,
        material: "copper",
        passes: 4,
        outer: "opening",
      },
    );
    expect(job.wire).toEqual({ diameter: 0.3, material: "coated-brass" });
    expect(job.stock).toEqual({ material: "copper", thickness: 60 });
    expect(job.passes).toHaveLength(4);
    expect(job.roles.outer).toBe("opening");
    expect(job.roles.layers.A).toBe("ignore");
    expect(job.drawing).toMatchObject({ only: ["DIE"], skip: ["TITLE"] });
  });

  it("are checked like the file", () => {
    expect(fault({}, { material: "wood" }).message).toContain("stock.material");
    expect(fault({}, { passes: 9 }).message).toContain("passes must be");
    expect(fault({}, { units: "cm" }).message).toContain("units must be");
  });
});

describe("listed passes", () => {
  it.each<[string, JobFile["passes"], string]>([
    [
      "begin with a skim",
      [{ kind: "skim", gap: 0.01, leave: 0 }],
      'passes[0].kind must be "rough"',
    ],
    [
      "have two roughs",
      [
        { kind: "rough", gap: 0.03, leave: 0.05 },
        { kind: "rough", gap: 0.02, leave: 0 },
      ],
      'passes[1].kind must be "skim"',
    ],
    [
      "leave stock at the end",
      [{ kind: "rough", gap: 0.03, leave: 0.05 }],
      "passes[0].leave must be 0",
    ],
    [
      "do not come nearer",
      [
        { kind: "rough", gap: 0.01, leave: 0 },
        { kind: "skim", gap: 0.03, leave: 0 },
      ],
      "its offset (wire radius + gap + leave) is 0.155 mm, that of passes[0] is 0.135 mm",
    ],
    [
      "have a gap no spark jumps",
      [{ kind: "rough", gap: 3, leave: 0 }],
      "passes[0].gap must be from 0.0001 mm to 0.5 mm, not 3",
    ],
  ])("that %s are refused", (_, passes, message) => {
    const e = fault({ passes });
    expect(e.code).toBe("job/bad-value");
    expect(e.message).toContain(message);
  });

  it("may leave figures to the table, and say so", () => {
    const job = settleJob({ passes: [{ kind: "rough" }, { gap: 0.011 }] });
    expect(job.passes.map((p) => [p.kind, p.gap, p.leave])).toEqual([
      ["rough", 0.03, 0.05],
      ["skim", 0.011, 0],
    ]);
    expect(job.assumptions.join()).toContain("listed passes leave out");
  });

  it("beyond the table must be given in full", () => {
    const e = fault({ passes: Array.from({ length: 7 }, () => ({})) });
    expect(e.message).toContain("passes[0].gap must be given");
  });
});

describe("bounds", () => {
  it.each<[JobFile, string]>([
    [{ stock: { thickness: 1000 } }, "stock.thickness must be from"],
    [{ wire: { diameter: 0.5 } }, "wire.diameter must be from"],
    [{ wire: { diameter: 0.01 } }, "wire.diameter must be from"],
    [{ startHoles: { diameter: 0.2 } }, "larger than the wire (0.25 mm)"],
    [{ startHoles: { clearance: 100 } }, "startHoles.clearance"],
    [{ startHoles: { grid: 100 } }, "startHoles.grid"],
    [{ lead: { overlap: 21 } }, "lead.overlap"],
    [{ tabs: { length: 51 } }, "tabs.length"],
    [{ tabs: { minSlugArea: 2e6 } }, "tabs.minSlugArea"],
    [{ program: { resolution: 0.1 } }, "program.resolution"],
    [{ stock: { thickness: Number.POSITIVE_INFINITY } }, "stock.thickness"],
  ])("%j is refused with its path", (file, message) => {
    const e = fault(file);
    expect(e.code).toBe("job/bad-value");
    expect(e.message).toContain(message);
  });
});
