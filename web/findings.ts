/** Lists of findings: their order, and one found again in a newer list. Pure. */
import type { Finding } from "../src/index.js";

const SEVERITIES = ["error", "warning", "note"] as const;

/** What stops the work is read first; the rest as the plan and the proof tell it. */
export function worstFirst(findings: readonly Finding[]): Finding[] {
  return SEVERITIES.flatMap((s) => findings.filter((f) => f.severity === s));
}

/** A value after an option, bare or in quotes. */
const VALUE = /(?:"[^"]*"|[\w.-]*[\w-])/.source;
/** Options of the command line, and what the page has for them: the unit, layers and line types of step 1. */
const OPTIONS: readonly (readonly [option: RegExp, words: string])[] = [
  [/ with --units (?=mm|in|px)/g, " in step 1: "],
  [/--units (?=mm|in|px)/g, ""],
  [/with --units/g, "in step 1"],
  [/ \(drawing\.(?:skipLineTypes|only) in the job\)/g, ""],
  [/with --skip-layer or the role ignore/g, "in step 1, or by the role ignore"],
  [/pick it with --only-layer or give it a role/g, "give it a role"],
  [/with --(?:skip-line-type|skip-layer|only-layer)/g, "in step 1"],
  [
    new RegExp(`--only-layer (${VALUE}) says so`, "g"),
    "a role for layer $1 says so",
  ],
  [new RegExp(`--skip-line-type ${VALUE} leaves`, "g"), "step 1 leaves"],
  [new RegExp(`--skip-line-type (${VALUE})`, "g"), "not reading line type $1"],
  [new RegExp(`--skip-layer (${VALUE})`, "g"), "not reading layer $1"],
];

/** A message in the page's words: what is an option of the command line there is chosen in step 1 here. */
export function inPageWords(message: string): string {
  if (!message.includes("--")) return message;
  return OPTIONS.reduce(
    (told, [option, words]) => told.replace(option, words),
    message,
  );
}

/** mm; with another wire a finding may be told a little beside its old place. */
const SAME_PLACE = 0.5;

/** The finding of the list that says the same of the same place as `old` did; null when nothing does any more. */
export function toldAgain(
  findings: readonly Finding[],
  old: Finding | null,
): Finding | null {
  if (!old) return null;
  const [nearest] = findings
    .filter((f) => f.code === old.code && f.feature === old.feature)
    .map((finding) => ({ finding, distance: distance(finding, old) }))
    .filter(({ distance }) => distance <= SAME_PLACE)
    .sort((a, b) => a.distance - b.distance);
  return nearest?.finding ?? null;
}

function distance({ where: a }: Finding, { where: b }: Finding): number {
  if (!a || !b) return a === b ? 0 : Number.POSITIVE_INFINITY;
  return Math.hypot(a[0] - b[0], a[1] - b[1]);
}
