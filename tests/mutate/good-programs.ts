/**
 * Programs known to be good: every sample in both units and both kinds of compensation, plans of other habits (stress
 * relief, several tabs, openings cut away whole), and four typed by formula.
 */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import {
  type Job,
  type JobFile,
  NEUTRAL,
  planDrawing,
  readJobFile,
} from "../../src/index.js";
import type { Layout } from "../../src/plan/feature.js";
import { dxfText } from "../helpers/dxf.js";
import {
  controlProgram,
  JOB,
  PUNCH,
  punchProgram,
  ROUND,
  roundProgram,
  SQUARE,
  squareProgram,
} from "../helpers/programs.js";

export interface GoodProgram {
  readonly name: string;
  readonly text: string;
  readonly layout: Layout;
  readonly job: Job;
  /** How often mutants are made of it, against the others: the long programs take longer to prove. */
  readonly share: number;
}

export const words = NEUTRAL;

const line = (layer: string, a: number, b: number, c: number, d: number) => [
  0,
  "LINE",
  8,
  layer,
  10,
  a,
  20,
  b,
  11,
  c,
  21,
  d,
];
const rectangle = (
  layer: string,
  x: number,
  y: number,
  w: number,
  h: number,
) => [
  line(layer, x, y, x + w, y),
  line(layer, x + w, y, x + w, y + h),
  line(layer, x + w, y + h, x, y + h),
  line(layer, x, y + h, x, y),
];
const circle = (layer: string, x: number, y: number, r: number) => [
  0,
  "CIRCLE",
  8,
  layer,
  10,
  x,
  20,
  y,
  40,
  r,
];

const OPENINGS: JobFile["roles"] = { layers: { B: "stock", P: "opening" } };

/** Drawings and jobs of which the plan does something that no sample's does. */
const HABITS: readonly {
  readonly name: string;
  readonly drawing: () => Uint8Array | string;
  readonly job: () => JobFile;
}[] = [
  {
    name: "stress relief",
    drawing: () => sampleFile("inch-plate", "inch-plate.dxf"),
    job: () => ({ ...sampleJob("inch-plate"), stressRelief: true }),
  },
  {
    name: "several tabs, part",
    drawing: () => dxfText(rectangle("P", 0, 0, 80, 90)),
    job: () => ({ stock: { material: "tool-steel", thickness: 120 } }),
  },
  {
    name: "several tabs, opening",
    drawing: () =>
      dxfText([
        ...rectangle("B", -20, -20, 130, 140),
        ...rectangle("P", 0, 0, 80, 90),
      ]),
    job: () => ({
      stock: { material: "tool-steel", thickness: 120 },
      roles: OPENINGS,
    }),
  },
  {
    name: "cut away whole",
    drawing: () =>
      dxfText([
        ...rectangle("B", -5, -5, 30, 20),
        circle("P", 2, 2, 1),
        ...rectangle("P", 14, 3, 3, 2),
      ]),
    job: () => ({ tabs: { minSlugArea: 6 }, roles: OPENINGS }),
  },
];

const SAMPLES = [
  { name: "hub-keyway", share: 10 },
  { name: "inch-plate", share: 10 },
  { name: "punch", share: 10 },
  { name: "die-plate", share: 2 },
  { name: "gear-gauge", share: 1 },
] as const;

/** Those whose names are wanted. */
export function goodPrograms(
  wanted: (name: string) => boolean = () => true,
): GoodProgram[] {
  const drawn = SAMPLES.filter((s) => wanted(s.name)).flatMap(
    ({ name, share }) =>
      (["mm", "in"] as const).flatMap((units) =>
        (["path", "control"] as const).map((compensation) =>
          sample(name, units, compensation, share),
        ),
      ),
  );
  const habits = HABITS.filter((h) => wanted(h.name)).flatMap((h) =>
    (["path", "control"] as const).map((compensation) => {
      const file = h.job();
      return planned(
        `${h.name}, ${compensation}`,
        h.drawing(),
        { ...file, program: { ...file.program, compensation } },
        5,
      );
    }),
  );
  const typed: [string, string[], Layout][] = [
    ["typed square", squareProgram(), SQUARE],
    ["typed round", roundProgram(), ROUND],
    ["typed punch", punchProgram(), PUNCH],
    ["typed square, control", controlProgram(), SQUARE],
  ];
  return [
    ...drawn,
    ...habits,
    ...typed.map(([name, lines, layout]) => ({
      name,
      text: `${lines.join("\n")}\n`,
      layout,
      job: JOB,
      share: 5,
    })),
  ];
}

const sampleFile = (name: string, file: string): Uint8Array =>
  readFileSync(join(import.meta.dirname, "../../samples", name, file));

const sampleJob = (name: string): JobFile =>
  readJobFile(new TextDecoder().decode(sampleFile(name, "job.json")));

function sample(
  name: string,
  units: "mm" | "in",
  compensation: "path" | "control",
  share: number,
): GoodProgram {
  const file = inUnits(sampleJob(name), units);
  return planned(
    `${name}, ${units}, ${compensation}`,
    sampleFile(name, `${name}.dxf`),
    { ...file, program: { ...file.program, compensation } },
    share,
  );
}

function planned(
  name: string,
  drawing: Uint8Array | string,
  asked: JobFile,
  share: number,
): GoodProgram {
  const { ok, program, laidOut, plan } = planDrawing({
    name: "good",
    drawing,
    job: JSON.stringify(asked),
  });
  if (!ok || program === null) throw new Error(`${name} is not good`);
  return { name, text: program, layout: laidOut, job: plan.job, share };
}

/** The same job in another unit. */
function inUnits(job: JobFile, units: "mm" | "in"): JobFile {
  const was = job.units ?? "mm";
  if (was === units) return job;
  const factor = units === "in" ? 1 / 25.4 : 25.4;
  const lengths = (value: unknown): unknown =>
    typeof value === "number"
      ? value * factor
      : Array.isArray(value)
        ? value.map(lengths)
        : value !== null && typeof value === "object"
          ? Object.fromEntries(
              Object.entries(value).map(([k, v]) => [k, lengths(v)]),
            )
          : value;
  const { passes, ...rest } = job;
  return {
    ...(lengths(rest) as JobFile),
    units,
    ...(passes !== undefined && {
      passes: typeof passes === "number" ? passes : lengths(passes),
    }),
  } as JobFile;
}
