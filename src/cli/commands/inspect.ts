import { basename, dirname } from "node:path";
import { inspect, inspectionText, inspectWithPicture } from "../../index.js";
import { orderFrom } from "../order.js";
import { printJson, say, sayFindings, writeFiles } from "../output.js";
import { type Arguments, EXIT } from "../usage.js";

export function runInspect(args: Arguments): number {
  const path = args.files[0] as string;
  const order = orderFrom(path, args);
  const out = args.values.out as string | undefined;
  const looked =
    out === undefined
      ? { inspection: inspect(order), picture: null }
      : inspectWithPicture(order);
  const { inspection, picture } = looked;
  if (args.values.json) printJson(inspection);
  else process.stdout.write(inspectionText(basename(path), inspection));
  sayFindings(inspection.findings, inspection.shownIn);
  if (out !== undefined && picture !== null) {
    const [written] = writeFiles(dirname(out), [
      { name: basename(out), text: picture },
    ]);
    say(`written: ${written}`);
  }
  return inspection.ok ? EXIT.done : EXIT.stopped;
}
