/** The passes of a job: from a count through the built-in table, or as listed, checked that each follows from the last. */
import { InputError } from "../../base/finding.js";
import { JOB_NOISE } from "../../base/tolerance.js";
import { type LengthUnit, mmPer } from "../../base/units.js";
import {
  MAX_SCHEDULED_PASSES,
  type SchedulePass,
} from "../../process/schedules.js";
import type { JobFile } from "./file.js";
import type { Job, Pass } from "./job.js";
import { type JobProcess, passCount } from "./process.js";
import { badValue, type LengthReader, lengthText, quiet } from "./values.js";

export function settlePasses(
  said: JobFile["passes"],
  process: JobProcess,
  wire: Job["wire"],
  length: LengthReader,
  units: LengthUnit,
): { readonly passes: readonly Pass[]; readonly assumptions: string[] } {
  const listed = Array.isArray(said) ? said : null;
  const n = passCount(said);
  const usual = process.schedule.passes;
  const fromTable = (i: number, key: "gap" | "leave"): number => {
    const value = n > MAX_SCHEDULED_PASSES ? undefined : usual[i]?.[key];
    if (value === undefined)
      throw badValue(
        `passes[${i}].${key}`,
        `given, for there is no table of ${n} passes`,
        undefined,
      );
    return value;
  };
  const passes = Array.from({ length: n }, (_, i): Pass => {
    const row = listed?.[i];
    const kind = row?.kind ?? (i === 0 ? "rough" : "skim");
    const gap =
      length(`passes[${i}].gap`, row?.gap, [0.0001, 0.5]) ??
      fromTable(i, "gap");
    const leave =
      length(`passes[${i}].leave`, row?.leave, [0, 2]) ?? fromTable(i, "leave");
    return {
      number: i + 1,
      kind,
      gap,
      leave,
      offset: quiet(wire.diameter / 2 + gap + leave),
      areaRate:
        row?.areaRate === undefined
          ? (usual[i] ?? (usual.at(-1) as SchedulePass)).areaRate
          : row.areaRate * mmPer(units) ** 2,
    };
  });
  checkPasses(passes, units);

  const table = process.table
    ? `the process table ${process.table}`
    : "the built-in table: common practice, not your machine's figures";
  const words = `${n} ${n === 1 ? "pass" : "passes"}`;
  const fromNumber = `gaps and stock left from ${table}`;
  const partly =
    listed?.some((r) => r.gap === undefined || r.leave === undefined) ?? false;
  const assumptions =
    listed === null
      ? [`${words}${said === undefined ? " (default)" : ""}; ${fromNumber}`]
      : partly
        ? [`figures that the listed passes leave out: ${fromNumber}`]
        : [];
  return { passes, assumptions };
}

function checkPasses(passes: readonly Pass[], units: LengthUnit): void {
  passes.forEach((pass, i) => {
    const before = passes[i - 1];
    if ((pass.kind === "rough") !== (i === 0))
      throw badValue(
        `passes[${i}].kind`,
        i === 0
          ? '"rough", for the first pass opens the kerf'
          : '"skim", for only the first pass is the rough',
        pass.kind,
      );
    if (before && pass.offset >= before.offset - JOB_NOISE)
      throw new InputError(
        "job/bad-value",
        `passes[${i}] must run nearer to the outline than the pass before it: its offset (wire radius + gap + leave) is ${lengthText(pass.offset, units)}, that of passes[${i - 1}] is ${lengthText(before.offset, units)}`,
      );
  });
  const last = passes.length - 1;
  if ((passes[last] as Pass).leave !== 0)
    throw badValue(
      `passes[${last}].leave`,
      "0, for no pass comes after it to take the stock",
      (passes[last] as Pass).leave / mmPer(units),
    );
}
