/** What the command line takes, in the user's words, and the errors of using it. */
import { type ParseArgsConfig, parseArgs } from "node:util";

/** Wrong usage: exit code 2. */
export class UsageError extends Error {
  override readonly name = "UsageError";
}

export const EXIT = {
  done: 0,
  stopped: 1,
  usage: 2,
  input: 3,
  fault: 70,
} as const;

export const HELP = `kerfwright plans the path of a wire that cuts out what a drawing shows, writes the
program, and proves it by reading it back.

  kerfwright plan DRAWING [--job JOB.json] [--out DIR]     plan, program, preview, setup sheet
  kerfwright inspect DRAWING [--job JOB.json] [--out FILE] what is in a drawing, and which wire fits
  kerfwright check PROGRAM --drawing DRAWING --job JOB.json   prove any program against a drawing
  kerfwright tables [--job JOB.json]                       the numbers a plan rests on, with their sources

Each command has --help, and --json for one JSON object on standard output.

Exit codes: 0 done and proved, 1 stopped by an error finding or by the proof, 2 wrong usage,
3 an input could not be read, 70 a fault of kerfwright itself.
`;

const OVERRIDES_HELP = `  --wire D             wire diameter (in the job's unit)
  --thickness T        thickness of the block (in the job's unit)
  --material NAME      work material, e.g. tool-steel
  --passes N           number of passes, from the process table
  --outer ROLE         what the outermost outline is: part, stock or opening
  --units mm|in|px     the drawing's unit, where it names none or a wrong one (px: 1/96 in)
  --only-layer NAME    read this layer alone; give it again for each further one
  --skip-layer NAME    leave this layer out, say a title block; again for each further one
  --skip-line-type NAME
                       leave out what is drawn with this line type, say CENTER; again for more
`;

export const COMMAND_HELP = {
  plan: `kerfwright plan DRAWING [options]

Plans DRAWING (DXF or SVG), writes the program and proves it. Into the output folder go
NAME.iso (the program), NAME.svg (preview), NAME.setup.html (setup sheet) and NAME.plan.json.
With an error finding or a failed proof there is no program.

  --job JOB.json       the job; without it, defaults that are listed
  --out DIR            output folder (default: out)
  --wire-dxf           also write the wire's paths as NAME.wire.dxf
${OVERRIDES_HELP}  --json               print a summary as JSON
`,
  inspect: `kerfwright inspect DRAWING [options]

Says what DRAWING holds: units, layers, outlines and their roles, the narrowest places, what
each usual wire would leave uncut and the largest that cuts it all, what was mended and what
was skipped.

  --job JOB.json       the job whose roles and layers hold
  --out FILE.svg       also draw it, with every place that matters marked
${OVERRIDES_HELP}  --json               print the same as JSON
`,
  check: `kerfwright check PROGRAM --drawing DRAWING --job JOB.json [options]

Reads PROGRAM as a stranger would, replays it and measures what the wire leaves: mm or inch,
G90 or G91, arcs by I J or by R under 180 degrees, G41 and G42. The table goes to standard output.

  --drawing DRAWING    the drawing it should cut
  --job JOB.json       the job it was written for; what stands in the control's D registers is its
                       program.registers, the box the wire can be moved in its machine.travel
  --out FILE.svg       also draw what was cut, with every fault marked
${OVERRIDES_HELP}  --json               print the proof as JSON instead of the table
`,
  tables: `kerfwright tables [--job JOB.json]

Prints the process table as JSON: wires, materials, schedules of passes, rate against height,
flushing, tabs and working times, each row with its source. Redirect it into a file, keep the
rows that differ on your machine, and name the file in the job's "process".

  --job JOB.json       the table as it holds for this job, its own rows over the built-in ones
  --json               the same
`,
} as const;

export type CommandName = keyof typeof COMMAND_HELP;

const text = { type: "string" } as const;
const flag = { type: "boolean" } as const;
const texts = { type: "string", multiple: true } as const;
const COMMON = {
  help: flag,
  json: flag,
  job: text,
  wire: text,
  thickness: text,
  material: text,
  passes: text,
  outer: text,
  units: text,
  "only-layer": texts,
  "skip-layer": texts,
  "skip-line-type": texts,
} as const;
const OPTIONS = {
  plan: { ...COMMON, out: text, "wire-dxf": flag },
  inspect: { ...COMMON, out: text },
  check: { ...COMMON, drawing: text, out: text },
  tables: { help: flag, json: flag, job: text },
} as const satisfies Record<CommandName, ParseArgsConfig["options"]>;

export interface Arguments {
  readonly files: readonly string[];
  readonly values: Readonly<
    Record<string, string | boolean | string[] | undefined>
  >;
}

/** @throws {UsageError} for an option the command does not have, or a wrong number of files. */
export function readArguments(
  command: CommandName,
  args: readonly string[],
): Arguments {
  let parsed: { values: Arguments["values"]; positionals: string[] };
  try {
    parsed = parseArgs({
      args: [...args],
      options: OPTIONS[command],
      allowPositionals: true,
    }) as typeof parsed;
  } catch (e) {
    throw new UsageError(
      `${(e as Error).message.split(". ")[0]}. See: kerfwright ${command} --help`,
    );
  }
  const { values, positionals } = parsed;
  const wanted = command === "tables" ? 0 : 1;
  if (!values.help && positionals.length !== wanted) {
    const what =
      wanted === 0
        ? "no file"
        : command === "check"
          ? "one program"
          : "one drawing";
    throw new UsageError(
      `${command} takes ${what}, not ${positionals.length}. See: kerfwright ${command} --help`,
    );
  }
  return { files: positionals, values };
}

/** A number given on the command line. @throws {UsageError} when it is none. */
export function numberOption(
  values: Arguments["values"],
  name: string,
): number | undefined {
  const given = values[name];
  if (given === undefined) return undefined;
  const value = Number(given);
  if (given === "" || !Number.isFinite(value)) {
    throw new UsageError(`--${name} takes a number, not "${given}"`);
  }
  return value;
}
