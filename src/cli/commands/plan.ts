import {
  estimateText,
  finestText,
  longText,
  messageIn,
  outputFiles,
  planDrawing,
  planSummary,
  trimmed,
  wirePathDxf,
} from "../../index.js";
import { orderFrom } from "../order.js";
import {
  printJson,
  say,
  sayFindings,
  setAside,
  writeFiles,
} from "../output.js";
import { type Arguments, EXIT } from "../usage.js";

export function runPlan(args: Arguments): number {
  const { values } = args;
  const order = orderFrom(args.files[0] as string, args);
  const outcome = planDrawing(order);
  order.onStage?.("drawing the preview");
  const files = outputFiles(outcome);
  if (values["wire-dxf"]) {
    files.push({
      name: `${order.name}.wire.dxf`,
      text: wirePathDxf(outcome.plan),
    });
  }
  const folder = (values.out as string | undefined) ?? "out";
  const aside = outcome.ok ? null : setAside(folder, `${order.name}.iso`);
  const written = writeFiles(folder, files);
  const summary = planSummary(outcome.plan, outcome.proof, written);
  if (values.json) printJson(summary);

  const { assumptions, units } = outcome.plan.job;
  for (const a of assumptions) say(`assumed: ${messageIn(a, units)}`);
  sayFindings(outcome.findings, units);
  const { features, slits, totals } = summary;
  say(
    `${features.length} ${features.length === 1 ? "feature" : "features"}, ${slits.length === 0 ? "" : `${slits.length} ${slits.length === 1 ? "slit" : "slits"}, `}${longText(totals.cutLength / 1000, units, 3)} of cut, ${totals.threads} threads, ${totals.stops} stops with somebody there`,
  );
  for (const text of estimateText(outcome.plan)) say(text);
  const { proof } = outcome;
  if (proof) {
    const loose = proof.loosePieces;
    const alone = loose.filter((p) => !p.attended).length;
    say(
      `proof ${proof.ok ? "holds" : "FAILS"}: greatest gouge ${finestText(proof.maxGouge, units, 2)}, greatest excess ${finestText(proof.maxExcess, units, 2)}, ${trimmed(100 * proof.coverage, 2)} % of the outline finished, ${loose.length === 1 ? "1 piece comes" : `${loose.length} pieces come`} loose, ${alone} with nobody there`,
    );
  }
  if (aside) say(`the program of an earlier run is set aside as ${aside}`);
  say(
    outcome.ok
      ? `written: ${written.join(", ")}`
      : `no program is written; see ${written.join(", ")}`,
  );
  return outcome.ok ? EXIT.done : EXIT.stopped;
}
