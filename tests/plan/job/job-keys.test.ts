import { toJsonSchema } from "@valibot/to-json-schema";
import { describe, expect, it } from "vitest";
import { type JobFile, JobFileSchema } from "../../../src/plan/job/file.js";
import type { Cut, Stroke } from "../../../src/plan/plan.js";
import { estimatePlan } from "../../../src/report/estimate.js";
import { type Outcome, planDrawing } from "../../../src/run.js";
import { svgText } from "../../helpers/svg.js";

/**
 * A block, off the grid, so that holes and tabs have something to decide: two openings of lines and arcs, an ellipse, a
 * polygon that stands for a circle, an outline with a gap of 0.05 mm, and a part; beside them what is not cut.
 */
const chords = Array.from({ length: 48 }, (_, k) => {
  const a = (k * Math.PI) / 24;
  return `${67 + 4 * Math.cos(a)},${41 + 4 * Math.sin(a)}`;
}).join(" ");
const DRAWING = svgText(
  `<g id="PLATE"><rect x="1" y="1" width="98" height="58"/></g>
  <g id="DIE">
    <rect x="8.3" y="8.2" width="30.1" height="18.7"/>
    <circle cx="50.2" cy="17.4" r="5"/>
    <ellipse cx="67.2" cy="17.1" rx="6" ry="4"/>
    <polygon points="${chords}"/>
    <path d="M45 36 H57 V46 H45 V36.05"/>
  </g>
  <g id="PUNCH"><rect x="80.2" y="20.1" width="10" height="15"/></g>
  <g id="SPARE"><rect x="12" y="36" width="12" height="12"/></g>
  <g id="HOLES"><circle cx="20" cy="17" r="0.5"/></g>
  <g id="TABS"><circle cx="38.4" cy="20" r="0.2"/></g>
  <g id="KEEP"><path d="M38.4 8.2 V26.9"/></g>`,
);

const OTHERS = { HOLES: "ignore", TABS: "ignore", KEEP: "ignore" } as const;

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
  roles: {
    outer: "stock",
    layers: { DIE: "opening", PUNCH: "part", SPARE: "ignore", ...OTHERS },
  },
  start: "hole",
  startHoles: { diameter: 1, clearance: 0.5, grid: 0.5 },
  lead: { kind: "straight", overlap: 0.5 },
  tabs: { length: 1, minSlugArea: 0 },
  stressRelief: false,
  order: "unattended-first",
  rates: { machineHour: 60, labourHour: 45, wireKg: 12, currency: "florins" },
  drawing: { gap: 0.1, fit: 0.0005 },
  program: { compensation: "path", words: "neutral", resolution: 0.0001 },
} satisfies JobFile;

/** What comes of a drawing and a job, apart from the job the plan carries. */
function partsOf({ plan, program }: Outcome) {
  const cuts = plan.steps.filter((s): s is Cut => s.kind === "cut");
  const strokes = cuts.flatMap((c) => c.strokes);
  const of = (pick: (s: Stroke) => unknown) => strokes.map(pick);
  const { cost, ...needs } = estimatePlan(plan);
  return {
    outlines: plan.features.map((f) => [f.id, f.role, f.area, f.perimeter]),
    holes: plan.features.map((f) => f.startHole),
    leads: plan.features.map((f) => f.leadPoint),
    tabs: plan.features.map((f) => f.tab),
    slugs: plan.features.map((f) => f.slug),
    offsets: plan.job.passes.map((p) => p.offset),
    rates: plan.job.passes.map((p) => p.areaRate),
    paths: of((s) => [s.path, s.from, s.to]),
    programmed: of((s) => s.outline).filter((o) => text(o) !== "[]"),
    order: plan.steps.map((s) => [s.kind, s.feature]),
    findings: plan.findings,
    needs,
    cost,
    program,
  };
}

type Part = keyof ReturnType<typeof partsOf>;
type Row = readonly [
  key: string,
  value: unknown,
  may: readonly Part[],
  must: readonly Part[],
];

/** What goes with the wire's path; a slug is lighter by the kerf of its lead-in and of where the wire stands off. */
const PATH = ["paths", "slugs", "program", "needs", "cost"] as const;
/** What goes with the places of holes, leads and tabs. */
const PLACES = [
  "holes",
  "leads",
  "tabs",
  "order",
  "findings",
  ...PATH,
] as const;
/** What goes with the stock that the passes burn. */
const KERF = ["offsets", ...PLACES] as const;
/** What goes with what there is to cut. */
const OUTLINES = ["outlines", ...PLACES] as const;

/** key: another value for it, what may change besides the job itself, and what must. */
const ROWS: readonly Row[] = [
  ["stock.material", "copper", ["slugs", "findings", "program"], ["slugs"]],
  [
    "stock.thickness",
    41,
    ["slugs", "findings", "needs", "cost", "program"],
    ["slugs", "needs", "cost"],
  ],
  ["wire.diameter", 0.2, KERF, ["slugs", "offsets", "paths", "needs"]],
  [
    "wire.material",
    "coated-brass",
    ["findings", "needs", "cost", "program"],
    [],
  ],
  ["process", "ours.json", ["slugs", "needs", "cost"], ["slugs"]],
  ["flushing", "open", ["findings"], []],
  ["passes", 2, [...KERF, "rates"], ["offsets", "rates", "paths"]],
  ["passes[1].kind", "skim", [], []],
  ["passes[0].gap", 0.035, KERF, ["slugs", "offsets", "paths"]],
  ["passes[0].leave", 0.06, KERF, ["slugs", "offsets", "paths"]],
  [
    "passes[0].areaRate",
    160,
    ["rates", "needs", "cost"],
    ["rates", "needs", "cost"],
  ],
  [
    "passes[2].gap",
    0.011,
    ["offsets", "findings", ...PATH],
    ["offsets", "paths"],
  ],
  ["roles.outer", "part", OUTLINES, ["outlines", "order"]],
  ["roles.layers.SPARE", "opening", OUTLINES, ["outlines", "paths"]],
  ["start", "edge", PLACES, ["holes", "findings", "program"]],
  ["startHoles.diameter", 2, PLACES, ["holes"]],
  ["startHoles.drills", [0.8, 0.6], PLACES, ["holes"]],
  ["startHoles.clearance", 0.7, PLACES, []],
  ["startHoles.grid", 5, PLACES, ["holes"]],
  ["startHoles.layer", "HOLES", PLACES, ["holes", "findings"]],
  ["lead.kind", "arc", ["findings", ...PATH], ["paths", "findings"]],
  ["lead.radius", 1, ["findings", ...PATH], ["paths", "findings"]],
  ["lead.spread", 0.2, PATH, ["paths", "program"]],
  ["lead.overlap", 0.3, PATH, ["paths", "program"]],
  ["tabs.length", 2, PLACES, ["tabs", "paths"]],
  [
    "tabs.minSlugArea",
    80,
    PLACES,
    ["tabs", "slugs", "order", "findings", "needs"],
  ],
  ["tabs.layer", "TABS", PLACES, ["tabs", "paths"]],
  ["tabs.keepOffLayer", "KEEP", PLACES, []],
  ["features.opening-1.role", "ignore", OUTLINES, ["outlines"]],
  ["features.opening-1.startHole", [20, 80], PLACES, ["holes", "paths"]],
  ["features.opening-1.start", "hole", [], []],
  ["features.opening-1.tab.at", [30, 91.8], PLACES, ["tabs", "paths"]],
  ["features.opening-1.tab.length", 2, PLACES, ["tabs", "paths"]],
  ["features.opening-1.tab[0].at", [30, 91.8], PLACES, ["tabs", "paths"]],
  ["features.opening-1.tab[0].length", 2, PLACES, ["tabs", "paths"]],
  // The whole edge that the tab stands on otherwise.
  ["features.opening-1.keepOff[0].from", [8.3, 73.1], PLACES, ["tabs"]],
  ["features.opening-1.keepOff[0].to", [38.4, 73.1], PLACES, ["tabs"]],
  ["features.opening-1.lead.at", [30, 91.8], PLACES, ["leads", "paths"]],
  ["stressRelief", true, ["order", ...PATH], ["order", "paths", "needs"]],
  [
    "stressRelief.leave",
    0.2,
    [...KERF, "rates"],
    ["order", "offsets", "slugs", "paths", "needs"],
  ],
  ["order", "one-by-one", ["order", ...PATH], ["order"]],
  ["order.rule", "one-by-one", ["order", ...PATH], ["order"]],
  ["order.features", ["opening-4"], ["order", ...PATH], ["order"]],
  ["rates.machineHour", 40, ["cost"], ["cost"]],
  ["rates.labourHour", 50, ["cost"], ["cost"]],
  ["rates.wireKg", 10, ["cost"], ["cost"]],
  ["rates.currency", "crowns", ["cost"], ["cost"]],
  ["drawing.only", ["PLATE", "DIE", "SPARE"], OUTLINES, ["outlines"]],
  ["drawing.skip", ["PUNCH"], OUTLINES, ["outlines"]],
  ["drawing.skipLineTypes", [], [], []],
  ["drawing.gap", 0.01, OUTLINES, ["outlines", "findings"]],
  ["drawing.fit", 0.005, OUTLINES, ["outlines", "paths"]],
  ["drawing.refit", 0.02, OUTLINES, ["outlines", "findings"]],
  [
    "program.compensation",
    "control",
    ["programmed", "findings", "program"],
    ["programmed", "program"],
  ],
  ["program.words", "ours.json", [], []],
  ["program.resolution", 0.001, ["program", "findings"], ["program"]],
  ["program.registers.D1", 0.3, [], []],
  [
    "machine.travel",
    [
      [0, 0],
      [400, 300],
    ],
    [],
    [],
  ],
];

/** The base with one key set: "passes[0].gap" or "stock.thickness". */
function withKey(key: string, value: unknown): JobFile {
  const job = structuredClone(BASE) as Record<string, unknown>;
  const path = key.split(/[.[\]]+/).filter((k) => k !== "");
  let at: Record<string, unknown> = job;
  path.slice(0, -1).forEach((k, i) => {
    if (typeof at[k] !== "object") at[k] = path[i + 1] === "0" ? [] : {};
    at = at[k] as Record<string, unknown>;
  });
  at[path.at(-1) as string] = value;
  // Drills and the one diameter shut each other out; straight leads have no radius; a tab's length wants its place, a stretch both its ends.
  if (key === "startHoles.drills")
    delete (job.startHoles as JobFile["startHoles"])?.diameter;
  if (key === "lead.radius") at.kind = "arc";
  if (key.startsWith("features.opening-1.tab") && key.endsWith("length"))
    at.at = [20, 91.8];
  if (key.endsWith("].from")) at.to = [38.4, 73.1];
  if (key.endsWith("].to")) at.from = [8.3, 73.1];
  return job as JobFile;
}

const OURS = JSON.stringify({ materials: { "tool-steel": { density: 7.6 } } });

const outcomeOf = (job: JobFile): Outcome =>
  planDrawing({
    name: "keys",
    drawing: DRAWING,
    job: JSON.stringify(job),
    ...(job.process !== undefined && { process: OURS }),
  });

/** As JSON, to the millionth: an inch and back leaves its mark beyond. */
const text = (value: unknown): string =>
  JSON.stringify(value, (_, v) =>
    typeof v === "number" ? Math.round(v * 1e6) / 1e6 : v,
  ) ?? "";

/** All keys that the schema knows: "passes[].gap", "features.*.role". */
function keysOf(schema: unknown, path = ""): string[] {
  const { anyOf, properties, additionalProperties, items } = schema as Record<
    string,
    unknown
  >;
  if (Array.isArray(anyOf))
    return [...new Set(anyOf.flatMap((s) => keysOf(s, path)))];
  if (properties)
    return Object.entries(properties).flatMap(([k, s]) =>
      keysOf(s, path === "" ? k : `${path}.${k}`),
    );
  if (additionalProperties) return keysOf(additionalProperties, `${path}.*`);
  const isGroup = items && (items as Record<string, unknown>).properties;
  return isGroup ? keysOf(items, `${path}[]`) : [path];
}

const ruleOf = (key: string): string =>
  key
    .replace(/\[\d+\]/g, "[]")
    .replace(/^(features|roles\.layers|program\.registers)\.[^.]+/, "$1.*");

describe("a change of one key of the job", () => {
  const first = outcomeOf(BASE);
  const before = partsOf(first);
  const names = Object.keys(before) as Part[];
  const changedBy = (job: JobFile): Part[] => {
    const after = partsOf(outcomeOf(job));
    return names.filter((p) => text(before[p]) !== text(after[p]));
  };

  it("begins with a plan of six outlines that is proved", () => {
    expect(first.findings.filter((f) => f.severity === "error")).toEqual([]);
    expect(first.plan.features).toHaveLength(6);
    expect(first.ok).toBe(true);
  });

  it.each(ROWS)(
    "%s (to %j) changes only what it should",
    (key, value, may, must) => {
      const changed = changedBy(withKey(key, value));
      expect(changed.filter((part) => !may.includes(part))).toEqual([]);
      expect(must.filter((part) => !changed.includes(part))).toEqual([]);
    },
  );

  it("units (to inches, the same lengths said in them) changes the program and how it is spoken of", () => {
    const inch = (mm: number) => mm / 25.4;
    const changed = changedBy({
      ...BASE,
      units: "in",
      stock: { ...BASE.stock, thickness: inch(40) },
      wire: { ...BASE.wire, diameter: inch(0.25) },
      passes: BASE.passes.map(({ gap, leave, areaRate, ...pass }) => ({
        ...pass,
        gap: inch(gap),
        leave: inch(leave),
        areaRate: areaRate / 25.4 ** 2,
      })),
      startHoles: { diameter: inch(1), clearance: inch(0.5), grid: inch(0.5) },
      lead: { ...BASE.lead, overlap: inch(0.5) },
      tabs: { length: inch(1), minSlugArea: 0 },
      drawing: { gap: inch(0.1), fit: inch(0.0005) },
      program: { ...BASE.program, resolution: 0.00001 },
    });
    expect(changed).toContain("program");
    expect(changed.filter((p) => p !== "program" && p !== "findings")).toEqual(
      [],
    );
  });

  it("to what it was changes nothing at all", () => {
    expect(JSON.stringify(outcomeOf(BASE))).toBe(JSON.stringify(first));
  });

  it("has a row for every key of the schema, and no row for another", () => {
    const keys = keysOf(toJsonSchema(JobFileSchema));
    const told = new Set(["units", ...ROWS.map(([key]) => ruleOf(key))]);
    expect(keys.filter((key) => !told.has(key))).toEqual([]);
    expect([...told].filter((key) => !keys.includes(key))).toEqual([]);
  });
});
