import { describe, expect, it } from "vitest";
import { circleContour } from "../../src/geometry/contour.js";
import { vec } from "../../src/geometry/vec.js";
import type { Layout } from "../../src/plan/feature.js";
import { settleJob } from "../../src/plan/job.js";
import type { JobFile } from "../../src/plan/job-file.js";
import { makePlan } from "../../src/plan/make-plan.js";
import type { Cut, Plan, Stroke } from "../../src/plan/plan.js";
import { BUILT_IN } from "../../src/process/table.js";
import { feature, layoutOf, rectangle } from "../helpers/layouts.js";

/** Every key said, so that a change of one is a change of one. */
const BASE = {
  units: "mm",
  stock: { material: "tool-steel", thickness: 40 },
  wire: { diameter: 0.25, material: "brass" },
  flushing: "sealed",
  passes: [
    { kind: "rough", gap: 0.03, leave: 0.055, areaRate: 150 },
    { kind: "skim", gap: 0.015, leave: 0.005, areaRate: 200 },
    { kind: "skim", gap: 0.01, leave: 0, areaRate: 200 },
  ],
  startHoles: { diameter: 1, clearance: 0.5, grid: 0.5 },
  lead: { kind: "straight", overlap: 0.5 },
  tabs: { length: 1, minSlugArea: 0 },
  order: "unattended-first",
  program: { compensation: "path", words: "neutral", resolution: 0.0001 },
} satisfies JobFile;

/** Off the grid, so that holes and tabs have something to decide; the second one's slug is smaller than 80 mm². */
const LAYOUT: Layout = layoutOf(
  feature("opening-1", "opening", rectangle(0.3, 0.2, 30.1, 18.7)),
  feature("opening-2", "opening", circleContour(vec(50.2, 10.4), 5)),
);

/** What a plan is made of, apart from the job it carries. */
function partsOf(plan: Plan) {
  const cuts = plan.steps.filter((s): s is Cut => s.kind === "cut");
  const strokes = cuts.flatMap((c) => c.strokes);
  const of = (pick: (s: Stroke) => unknown) => strokes.map(pick);
  return {
    outlines: plan.features.map((f) => [f.id, f.role, f.area, f.perimeter]),
    holes: plan.features.map((f) => f.startHole),
    leads: plan.features.map((f) => f.leadPoint),
    tabs: plan.features.map((f) => f.tab),
    slugs: plan.features.map((f) => f.slug),
    offsets: plan.job.passes.map((p) => p.offset),
    rates: plan.job.passes.map((p) => p.areaRate),
    paths: of((s) => [s.path, s.from, s.to]),
    programmed: of((s) => s.outline),
    order: plan.steps.map((s) => [s.kind, s.feature]),
    findings: plan.findings,
  };
}

type Part = keyof ReturnType<typeof partsOf>;

/** key: another value for it, what may change besides the job itself, and what must. */
const ROWS: readonly (readonly [
  key: string,
  value: unknown,
  may: readonly Part[],
  must: readonly Part[],
])[] = [
  ["stock.material", "copper", ["slugs", "findings"], ["slugs"]],
  ["stock.thickness", 41, ["slugs", "findings"], ["slugs"]],
  [
    "wire.diameter",
    0.2,
    ["holes", "leads", "tabs", "slugs", "offsets", "paths", "findings"],
    ["slugs", "offsets", "paths"],
  ],
  ["wire.material", "coated-brass", ["findings"], []],
  ["process", "ours.json", [], []],
  ["flushing", "open", ["findings"], []],
  [
    "passes[0].gap",
    0.035,
    ["holes", "leads", "tabs", "slugs", "offsets", "paths", "findings"],
    ["slugs", "offsets", "paths"],
  ],
  ["passes[0].areaRate", 160, ["rates"], ["rates"]],
  ["passes[2].gap", 0.011, ["offsets", "paths", "findings"], ["paths"]],
  [
    "startHoles.diameter",
    2,
    ["holes", "leads", "tabs", "paths", "order", "findings"],
    ["holes"],
  ],
  [
    "startHoles.clearance",
    0.7,
    ["holes", "leads", "tabs", "paths", "order", "findings"],
    [],
  ],
  [
    "startHoles.grid",
    5,
    ["holes", "leads", "tabs", "paths", "order", "findings"],
    ["holes"],
  ],
  ["start", "edge", ["findings"], ["findings"]],
  ["startHoles.layer", "HOLES", ["findings"], ["findings"]],
  ["lead.overlap", 0.3, ["paths"], ["paths"]],
  [
    "tabs.length",
    2,
    ["holes", "leads", "tabs", "paths", "order", "findings"],
    ["tabs", "paths"],
  ],
  ["order", "one-by-one", ["order", "paths"], ["order"]],
  [
    "program.compensation",
    "control",
    ["programmed", "findings"],
    ["programmed"],
  ],
  ["tabs.minSlugArea", 0.5, [], []],
  ["program.words", "ours.json", [], []],
  ["program.resolution", 0.001, [], []],
  ["rates.machineHour", 40, [], []],
  ["rates.labourHour", 50, [], []],
  ["rates.wireKg", 10, [], []],
  ["rates.currency", "crowns", [], []],
];

/** The base with one key set: "passes[0].gap" or "stock.thickness". */
function withKey(key: string, value: unknown): JobFile {
  const job = structuredClone(BASE) as Record<string, unknown>;
  const path = key.split(/[.[\]]+/).filter((k) => k !== "");
  let at: Record<string, unknown> = job;
  for (const k of path.slice(0, -1)) {
    at[k] ??= {};
    at = at[k] as Record<string, unknown>;
  }
  at[path.at(-1) as string] = value;
  return job as JobFile;
}

const planOf = (file: JobFile): Plan =>
  makePlan(LAYOUT, settleJob(file, {}, BUILT_IN), "keys");

describe("a change of one key of the job", () => {
  const before = partsOf(planOf(BASE));
  const names = Object.keys(before) as Part[];

  it.each(ROWS)(
    "%s (to %j) changes only what it should",
    (key, value, may, must) => {
      const after = partsOf(planOf(withKey(key, value)));
      const changed = names.filter(
        (part) => JSON.stringify(before[part]) !== JSON.stringify(after[part]),
      );
      expect(changed.filter((part) => !may.includes(part))).toEqual([]);
      expect(must.filter((part) => !changed.includes(part))).toEqual([]);
    },
  );

  it("to what it was changes nothing at all", () => {
    expect(JSON.stringify(planOf(BASE))).toBe(
      JSON.stringify(planOf(structuredClone(BASE))),
    );
  });
});
