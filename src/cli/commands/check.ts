import { basename, dirname } from "node:path";
import { checkInFull } from "../../index.js";
import { orderFrom, readInput } from "../order.js";
import { printJson, say, sayFindings, writeFiles } from "../output.js";
import { type Arguments, EXIT, UsageError } from "../usage.js";

export function runCheck(args: Arguments): number {
  const { drawing, job, out } = args.values;
  if (!drawing || !job) {
    throw new UsageError(
      "check needs --drawing and --job. See: kerfwright check --help",
    );
  }
  const file = args.files[0] as string;
  const program = readInput(file, "program").toString("utf8");
  const order = { ...orderFrom(drawing as string, args), name: basename(file) };
  const { proof, job: settled, table, picture } = checkInFull(order, program);
  sayFindings(proof.findings, settled.units);
  if (args.values.json) printJson(proof);
  else process.stdout.write(table);
  if (out !== undefined) {
    const path = out as string;
    writeFiles(dirname(path), [{ name: basename(path), text: picture() }]);
    say(`written: ${path}`);
  }
  return proof.ok ? EXIT.done : EXIT.stopped;
}
