import { BUILT_IN, readProcessTable } from "../../index.js";
import { processOf, readInput } from "../order.js";
import { printJson } from "../output.js";
import { type Arguments, EXIT } from "../usage.js";

/** The process table that holds, to look at or to start an own one from. */
export function runTables({ values }: Arguments): number {
  const job = values.job as string | undefined;
  const own =
    job === undefined
      ? undefined
      : processOf(job, readInput(job, "job").toString("utf8"));
  printJson(own === undefined ? BUILT_IN : readProcessTable(own));
  return EXIT.done;
}
