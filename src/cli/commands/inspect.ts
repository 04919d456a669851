import { basename } from "node:path";
import { inspect, inspectionText } from "../../index.js";
import { orderFrom } from "../order.js";
import { printJson, sayFindings } from "../output.js";
import { type Arguments, EXIT } from "../usage.js";

export function runInspect(args: Arguments): number {
  const path = args.files[0] as string;
  const inspection = inspect(orderFrom(path, args));
  if (args.values.json) printJson(inspection);
  else process.stdout.write(inspectionText(basename(path), inspection));
  sayFindings(inspection.findings);
  return inspection.ok ? EXIT.done : EXIT.stopped;
}
