/** Programs known to be good: every sample in both units and both kinds of compensation, and four typed by formula. */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import {
  type Job,
  type JobFile,
  layOut,
  NEUTRAL,
  planDrawing,
  readDxf,
  readJobFile,
  settleJob,
} from "../../src/index.js";
import type { Layout } from "../../src/plan/feature.js";
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
  const typed: [string, string[], Layout][] = [
    ["typed square", squareProgram(), SQUARE],
    ["typed round", roundProgram(), ROUND],
    ["typed punch", punchProgram(), PUNCH],
    ["typed square, control", controlProgram(), SQUARE],
  ];
  return [
    ...drawn,
    ...typed.map(([name, lines, layout]) => ({
      name,
      text: `${lines.join("\n")}\n`,
      layout,
      job: JOB,
      share: 5,
    })),
  ];
}

function sample(
  name: string,
  units: "mm" | "in",
  compensation: "path" | "control",
  share: number,
): GoodProgram {
  const folder = join(import.meta.dirname, "../../samples", name);
  const drawing = readFileSync(join(folder, `${name}.dxf`));
  const file = inUnits(
    readJobFile(readFileSync(join(folder, "job.json"), "utf8")),
    units,
  );
  const asked = { ...file, program: { ...file.program, compensation } };
  const outcome = planDrawing({ name, drawing, job: JSON.stringify(asked) });
  if (!outcome.ok || outcome.program === null)
    throw new Error(`${name} in ${units} with ${compensation} is not good`);
  const job = settleJob(asked);
  return {
    name: `${name}, ${units}, ${compensation}`,
    text: outcome.program,
    layout: layOut(readDxf(drawing, {}), job),
    job,
    share,
  };
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
