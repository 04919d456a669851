/** What the proof measured, as a table for people. */
import { fixed, placeText, trimmed } from "../base/numbers.js";
import type { Job, Pass } from "../plan/job.js";
import type { Place, Proof, Unreached } from "../proof/proof.js";
import { countText, massText } from "./text.js";

/** Lines of text, ending with a line break; lengths mm. */
export function proofTable(proof: Proof, job: Job): string {
  const faults = (severity: "error" | "warning"): number =>
    proof.findings.filter((f) => f.severity === severity).length;
  return `${[
    `${proof.ok ? "THE PROOF HOLDS" : "THE PROOF FAILS"}: ${countText(faults("error"), "error")}, ${countText(faults("warning"), "warning")}; ${countText(proof.blocks, "block")} read`,
    "",
    `greatest gouge   ${micron(proof.maxGouge, proof.gougeAt)}`,
    `greatest excess  ${micron(proof.maxExcess, proof.excessAt)}`,
    "",
    ...columns(
      ["outline", "pass", "offset", "reached", "stock left", "asked"],
      proof.passes.map((p) => {
        const pass = job.passes[p.pass - 1] as Pass;
        return [
          p.feature,
          `${p.pass} ${pass.kind}`,
          fixed(pass.offset, 4),
          `${trimmed(Math.floor(100_000 * p.reached) / 1000, 3)} %`,
          p.left ? range(p.left.least, p.left.most) : "not cut",
          fixed(pass.leave, 4),
        ];
      }),
    ),
    ...section(
      "not reached by the last pass",
      proof.unreached.map(unreachedText),
    ),
    ...section(
      "pieces that come loose",
      proof.loosePieces.map(
        (p) =>
          `line ${p.line}: ${p.feature}, ${massText(p.mass)}, near ${placeText(p.at)}: ${p.attended ? "somebody is there" : "WITH NOBODY THERE"}`,
      ),
    ),
    ...section(
      "where the wire is threaded",
      proof.threadPlaces.map(
        (t) =>
          `${placeText(t.at)}, ${t.threads === 1 ? "once" : `${t.threads} times`}, first in line ${t.line}: ${ROOM[t.room]}`,
      ),
    ),
    ...section("corners under G41 and G42", cornerLines(proof)),
  ].join("\n")}\n`;
}

const ROOM = {
  drawn: "a hole in the drawing",
  air: "in the open, outside the block",
  cut: "room from an earlier cut",
  new: "a hole that must be there before",
} as const;

/** mm: less shows as 0.0 µm and has no place worth naming. */
const LEAST = 0.00005;

const micron = (mm: number, at: Place | null): string =>
  `${fixed(1000 * mm, 1)} µm${at && mm >= LEAST ? ` at ${placeText(at)}` : ""}`;

const range = (least: number, most: number): string =>
  fixed(least, 4) === fixed(most, 4)
    ? fixed(most, 4)
    : `${fixed(least, 4)} to ${fixed(most, 4)}`;

function unreachedText(u: Unreached): string {
  const stretch = `${u.feature}: ${fixed(u.length, 3)} mm from ${placeText(u.from)} to ${placeText(u.to)}`;
  const stays =
    u.stays !== null && Number.isFinite(u.stays)
      ? `, up to ${fixed(u.stays, 4)} mm stays`
      : "";
  const why = {
    corner: "tighter than the wire",
    tab: "never cut: a tab, or a cut that is missing",
    "left-out": "left out: a block is missing, or a number is wrong",
  }[u.why];
  return `${stretch}: ${why}${stays}`;
}

function cornerLines({ corners }: Proof): string[] {
  if (!corners) return [];
  const { outside, inside, standOff, overcut } = corners;
  return [
    ...(outside > 0
      ? [
          `${countText(outside, "outside corner")} rolled round, as our own paths are; a control that runs on to the crossing stands off up to ${fixed(standOff, 4)} mm more there`,
        ]
      : []),
    ...(inside > 0
      ? [
          `${countText(inside, "inside corner")} turned where the offsets meet; a control without look-ahead cuts up to ${fixed(overcut, 4)} mm into the work there, or refuses: try it`,
        ]
      : []),
  ];
}

const section = (title: string, lines: readonly string[]): string[] =>
  lines.length === 0 ? [] : ["", title, ...lines.map((l) => `  ${l}`)];

/** Every column as wide as its widest cell. */
function columns(
  head: readonly string[],
  rows: readonly (readonly string[])[],
): string[] {
  const all = [head, ...rows];
  const widths = head.map((_, k) =>
    Math.max(...all.map((r) => (r[k] as string).length)),
  );
  return all.map((r) =>
    r
      .map((cell, k) => cell.padEnd(widths[k] as number))
      .join("  ")
      .trimEnd(),
  );
}
