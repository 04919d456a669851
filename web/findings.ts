/** Lists of findings: their order, and one found again in a newer list. Pure. */
import type { Finding } from "../src/index.js";

const SEVERITIES = ["error", "warning", "note"] as const;

/** What stops the work is read first; the rest as the plan and the proof tell it. */
export function worstFirst(findings: readonly Finding[]): Finding[] {
  return SEVERITIES.flatMap((s) => findings.filter((f) => f.severity === s));
}

/**
 * A message in the page's words: what is an option of the command line there is chosen in step 1 here, where the page
 * asks for the unit.
 */
export function inPageWords(message: string): string {
  return message
    .replace(/ with --units (?=mm|in|px)/, " in step 1: ")
    .replaceAll(/--units (?=mm|in|px)/g, "")
    .replaceAll("with --units", "in step 1");
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
