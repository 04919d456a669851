/** What the proof measured, as a table for people. */
import { trimmed } from "../base/numbers.js";
import type { LengthUnit } from "../base/units.js";
import type { Job, Pass } from "../plan/job/job.js";
import type { Place, Proof, Unreached } from "../proof/proof.js";
import {
  countText,
  finestText,
  lengthFigure,
  lengthText,
  massText,
  placeFigures,
} from "./text.js";

/** Lines of text, ending with a line break; lengths in the job's unit. */
export function proofTable(proof: Proof, job: Job): string {
  const { units } = job;
  const figure = (mm: number): string => lengthFigure(mm, units);
  const place = (at: Place): string => placeFigures(at, units);
  const faults = (severity: "error" | "warning"): number =>
    proof.findings.filter((f) => f.severity === severity).length;
  return `${[
    `${proof.ok ? "THE PROOF HOLDS" : "THE PROOF FAILS"}: ${countText(faults("error"), "error")}, ${countText(faults("warning"), "warning")}; ${countText(proof.blocks, "block")} read`,
    "",
    `greatest gouge   ${worstText(proof.maxGouge, proof.gougeAt, units)}`,
    `greatest excess  ${worstText(proof.maxExcess, proof.excessAt, units)}`,
    "",
    ...columns(
      [
        "outline",
        "pass",
        `offset ${units}`,
        "reached",
        `stock left ${units}`,
        `asked ${units}`,
      ],
      proof.passes.map((p) => {
        const pass = job.passes[p.pass - 1] as Pass;
        const reached = `${trimmed(Math.floor(100_000 * p.reached) / 1000, 3)} %`;
        if (p.stretch === "slit")
          return [
            p.feature,
            `${p.pass} ${pass.kind}`,
            "on the line",
            reached,
            "",
            "",
          ];
        return [
          p.feature,
          `${p.pass} ${pass.kind}`,
          figure(pass.offset),
          reached,
          p.left ? range(figure(p.left.least), figure(p.left.most)) : "not cut",
          figure(pass.leave),
        ];
      }),
    ),
    ...section(
      "not reached by the last pass",
      proof.unreached.map((u) => unreachedText(u, units)),
    ),
    ...section(
      "pieces that come loose",
      proof.loosePieces.map(
        (p) =>
          `line ${p.line}: ${p.feature}, ${massText(p.mass)}, near ${place(p.at)}: ${p.attended ? "somebody is there" : "WITH NOBODY THERE"}`,
      ),
    ),
    ...section(
      "where the wire is threaded",
      proof.threadPlaces.map(
        (t) =>
          `${place(t.at)}, ${t.threads === 1 ? "once" : `${t.threads} times`}, first in line ${t.line}: ${ROOM[t.room]}`,
      ),
    ),
    ...section("corners under G41 and G42", cornerLines(proof, units)),
  ].join("\n")}\n`;
}

const ROOM = {
  drawn: "a hole in the drawing",
  air: "in the open, outside the block",
  cut: "room from an earlier cut",
  new: "a hole that must be there before",
} as const;

/** mm: less shows as "under 0.05 µm" and has no place worth naming. */
const LEAST = 0.00005;

const worstText = (mm: number, at: Place | null, units: LengthUnit): string =>
  `${finestText(mm, units, 1)}${at && mm >= LEAST ? ` at ${placeFigures(at, units)}` : ""}`;

const range = (least: string, most: string): string =>
  least === most ? most : `${least} to ${most}`;

function unreachedText(u: Unreached, units: LengthUnit): string {
  const stretch = `${u.feature}: ${lengthText(u.length, units)} from ${placeFigures(u.from, units)} to ${placeFigures(u.to, units)}`;
  const stays =
    u.stays !== null && Number.isFinite(u.stays)
      ? `, up to ${lengthText(u.stays, units)} stays`
      : "";
  const why = {
    corner: "tighter than the wire",
    tab: "never cut: a tab, or a cut that is missing",
    "left-out": "left out: a block is missing, or a number is wrong",
  }[u.why];
  return `${stretch}: ${why}${stays}`;
}

function cornerLines({ corners }: Proof, units: LengthUnit): string[] {
  if (!corners) return [];
  const { outside, inside, standOff, overcut } = corners;
  return [
    ...(outside > 0
      ? [
          `${countText(outside, "outside corner")} rolled round, as our own paths are; a control that runs on to the crossing stands off up to ${lengthText(standOff, units)} more there`,
        ]
      : []),
    ...(inside > 0
      ? [
          `${countText(inside, "inside corner")} turned where the offsets meet; a control without look-ahead cuts up to ${lengthText(overcut, units)} into the work there, or refuses: try it`,
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
