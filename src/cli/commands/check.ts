import { check, trimmed } from "../../index.js";
import { orderFrom, readInput } from "../order.js";
import { printJson, say, sayFindings } from "../output.js";
import { type Arguments, EXIT, UsageError } from "../usage.js";

export function runCheck(args: Arguments): number {
  const { drawing, job } = args.values;
  if (!drawing || !job) {
    throw new UsageError(
      "check needs --drawing and --job. See: kerfwright check --help",
    );
  }
  const program = readInput(args.files[0] as string, "program").toString(
    "utf8",
  );
  const proof = check(orderFrom(drawing as string, args), program);
  if (args.values.json) printJson(proof);
  sayFindings(proof.findings);
  for (const p of proof.passes) {
    say(
      `${p.feature} pass ${p.pass}: ${trimmed(100 * p.reached, 3)} % of what the wire can reach`,
    );
  }
  for (const p of proof.loosePieces) {
    say(
      `line ${p.line}: ${p.feature} comes loose, ${trimmed(1000 * p.mass, 2)} g, ${p.attended ? "after its stop" : "WITH NOBODY THERE"}`,
    );
  }
  say(
    `${proof.ok ? "the proof holds" : "the proof FAILS"}: ${proof.blocks} blocks, greatest gouge ${trimmed(1000 * proof.maxGouge, 2)} µm, greatest excess ${trimmed(1000 * proof.maxExcess, 2)} µm`,
  );
  return proof.ok ? EXIT.done : EXIT.stopped;
}
