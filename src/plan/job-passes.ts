/** The passes of a job: from a count through the built-in table, or as listed, checked that each follows from the last. */
import { InputError } from "../base/finding.js";
import { JOB_NOISE } from "../base/tolerance.js";
import { type LengthUnit, mmPer } from "../base/units.js";
import {
  areaRate,
  MAX_SCHEDULED_PASSES,
  schedule,
} from "../process/schedules.js";
import type { Job, Pass } from "./job.js";
import type { JobFile } from "./job-file.js";
import {
  badValue,
  type LengthReader,
  lengthText,
  quiet,
} from "./job-values.js";

const DEFAULT_PASSES = 3;

export function settlePasses(
  said: JobFile["passes"],
  wire: Job["wire"],
  stock: Job["stock"],
  length: LengthReader,
  units: LengthUnit,
): { readonly passes: readonly Pass[]; readonly assumptions: string[] } {
  const listed = Array.isArray(said) ? said : null;
  const count = listed?.length ?? (said as number | undefined);
  const n = count ?? DEFAULT_PASSES;
  const usual =
    n <= MAX_SCHEDULED_PASSES
      ? schedule(
          n,
          wire.diameter,
          wire.material,
          stock.material,
          stock.thickness,
        )
      : null;
  const fromTable = (i: number, key: "gap" | "leave"): number => {
    const value = usual?.[i]?.[key];
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
      areaRate: areaRate(
        kind,
        wire.diameter,
        wire.material,
        stock.material,
        stock.thickness,
      ),
    };
  });
  checkPasses(passes, units);

  const words = `${n} ${n === 1 ? "pass" : "passes"}`;
  const fromNumber =
    "gaps and stock left from the built-in table: common practice, not your machine's figures";
  const partly =
    listed?.some((r) => r.gap === undefined || r.leave === undefined) ?? false;
  const assumptions =
    listed === null
      ? [`${words}${count === undefined ? " (default)" : ""}; ${fromNumber}`]
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
