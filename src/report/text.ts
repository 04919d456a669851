/** Words and figures for people: lengths in the job's unit, masses, times, and text made safe for markup. */
import { fixed, trimmed } from "../base/numbers.js";
import { type LengthUnit, mmPer } from "../base/units.js";

/**
 * Text for XML and HTML, in elements and in double-quoted attributes. Characters that XML forbids (controls, half
 * surrogate pairs) become U+FFFD, so that no layer name can break the file.
 */
export function escapeMarkup(text: string): string {
  return text
    .replace(/[\p{Cc}\p{Cs}\uFFFE\uFFFF]/gu, (c) =>
      c === "\n" || c === "\t" ? " " : "\uFFFD",
    )
    .replaceAll("&", "&amp;")
    .replaceAll("<", "&lt;")
    .replaceAll(">", "&gt;")
    .replaceAll('"', "&quot;")
    .replaceAll("'", "&#39;");
}

/** A length (mm) in the job's unit, without trailing zeros: "0.25 mm", "0.01 in". */
export function lengthText(mm: number, units: LengthUnit): string {
  return `${trimmed(mm / mmPer(units), units === "in" ? 5 : 4)} ${units}`;
}

/** A length for a column of figures: all its digits, no unit. */
export function lengthFigure(mm: number, units: LengthUnit): string {
  return fixed(mm / mmPer(units), units === "in" ? 5 : 4);
}

/** A place (mm) in the job's unit, without the unit: "(10, 0.5)". */
export function placeFigures(
  [x, y]: readonly [number, number],
  units: LengthUnit,
): string {
  const figure = (mm: number): string =>
    trimmed(mm / mmPer(units), units === "in" ? 4 : 3);
  return `(${figure(x)}, ${figure(y)})`;
}

/** A long way in metres: "0.453 m", "600 m"; to a digit less "1.49 ft", "1969 ft". */
export function longText(
  m: number,
  units: LengthUnit,
  decimals: number,
): string {
  return units === "in"
    ? `${fixed((1000 * m) / (12 * mmPer(units)), Math.max(0, decimals - 1))} ft`
    : `${fixed(m, decimals)} m`;
}

/** From so many mm or inches on, what was meant to be next to nothing is told in the unit itself, to so many decimals. */
const PLAIN = {
  mm: { least: 1, decimals: 3 },
  in: { least: 0.001, decimals: 5 },
} as const;

/**
 * A length (mm) that should be far below a tolerance: "0.12 µm", or to a digit less "4.7 µin"; where it is not, "1.234 mm" or
 * "0.01406 in"; and "under 0.005 µm" where the figure would round to nothing, since nothing is measured so finely.
 */
export function finestText(
  mm: number,
  units: LengthUnit,
  decimals: number,
): string {
  const size = mm / mmPer(units);
  if (size >= PLAIN[units].least)
    return `${fixed(size, PLAIN[units].decimals)} ${units}`;
  const [figure, digits, unit] =
    units === "in"
      ? [1e6 * size, decimals - 1, "µin"]
      : [1000 * size, decimals, "µm"];
  const half = 0.5 / 10 ** digits;
  return figure < half
    ? `under ${fixed(half, digits + 1)} ${unit}`
    : `${fixed(figure, digits)} ${unit}`;
}

/** The same rounded up, a step at least, so that it can be said "at most" and what is over a limit never reads as the limit. */
export function mostText(
  mm: number,
  units: LengthUnit,
  decimals: number,
): string {
  const isPlain = mm / mmPer(units) >= PLAIN[units].least;
  const digits = isPlain
    ? PLAIN[units].decimals
    : decimals + (units === "in" ? 5 : 3);
  const step = mmPer(units) / 10 ** digits;
  // A length that is a step but for rounding stays that step.
  const steps = Math.max(1, Math.ceil(mm / step - 1e-6));
  return finestText(steps * step, units, decimals);
}

/** "0.42 g", "7.8 g", "98.6 g", "1.24 kg": two figures at least, and no more than a nominal thickness bears. */
export function massText(kg: number): string {
  const g = kg * 1000;
  if (g >= 1000) return `${fixed(kg, 2)} kg`;
  return `${fixed(g, g >= 100 ? 0 : g >= 1 ? 1 : 2)} g`;
}

/** Minutes as "under 1 min", "23 min", "5 h 7 min". */
export function timeText(minutes: number): string {
  if (minutes < 1) return minutes > 0 ? "under 1 min" : "0 min";
  const whole = Math.round(minutes);
  const hours = Math.floor(whole / 60);
  return hours === 0 ? `${whole} min` : `${hours} h ${whole % 60} min`;
}

/** "1 stop", "3 stops" */
export function countText(count: number, one: string): string {
  return `${count} ${one}${count === 1 ? "" : one === "pass" ? "es" : "s"}`;
}

/** "4", "4-7", "4, 9-11" */
export function rangesText(numbers: readonly number[]): string {
  const parts: string[] = [];
  for (let i = 0; i < numbers.length; i++) {
    const first = numbers[i] as number;
    while (numbers[i + 1] === (numbers[i] as number) + 1) i++;
    const last = numbers[i] as number;
    parts.push(first === last ? `${first}` : `${first}-${last}`);
  }
  return parts.join(", ");
}
