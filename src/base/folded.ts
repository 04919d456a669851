/** The same fault in block after block is one fault, told once with where it is. */
import type { Finding } from "./finding.js";

/** Findings of one cause are told one by one up to this many. */
export const FEW = 3;
/** Places that are named besides the first where there are more. */
const PLACES_NAMED = 4;

/** What is another figure in each block though the cause is one: a place, how much radii differ by. */
const OWN_FIGURE = /(?<=radii .*)by [\d.]+ mm|\(-?[\d.]+, -?[\d.]+\)/g;

/** The same fault in block after block, as of a wrong table of words or a wrong unit, is told once, with where it is. */
export function foldedByCause(findings: readonly Finding[]): Finding[] {
  const causes = new Map<string, Finding[]>();
  for (const f of findings) {
    const { text } = placeAndText(f);
    const cause = `${f.code} ${f.severity} ${text.replace(OWN_FIGURE, "")}`;
    const list = causes.get(cause);
    if (list) list.push(f);
    else causes.set(cause, [f]);
  }
  return [...causes.values()].flatMap((all) => {
    const [first, ...others] = all as [Finding, ...Finding[]];
    if (all.length <= FEW) return all;
    const named = others
      .slice(0, PLACES_NAMED)
      .map((f) => placeAndText(f).place.replace("program ", ""))
      .join("; ");
    const rest = others.length > PLACES_NAMED ? "; …" : "";
    return [
      {
        ...first,
        message: `${first.message}; the same in ${others.length} more places (${named}${rest})`,
      },
    ];
  });
}

function placeAndText({ message }: Finding): { place: string; text: string } {
  const [, place = "", text = message] =
    /^((?:program )?line \d+(?:, column \d+)?): (.*)$/s.exec(message) ?? [];
  return { place, text };
}
