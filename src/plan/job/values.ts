/** Figures of a job file on their way to mm, and the error that says what would be allowed. */
import { InputError } from "../../base/finding.js";
import { trimmed } from "../../base/numbers.js";
import { JOB_NOISE } from "../../base/tolerance.js";
import { type LengthUnit, mmPer } from "../../base/units.js";

export type LengthReader = (
  path: string,
  value: number | undefined,
  range: readonly [number, number],
) => number | undefined;

/** Brings a length to mm and holds it against its range (mm). */
export function lengthReader(units: LengthUnit): LengthReader {
  return (path, value, [low, high]) => {
    if (value === undefined) return undefined;
    const mm = quiet(value * mmPer(units));
    if (mm < low || mm > high)
      throw badValue(
        path,
        `from ${lengthText(low, units)} to ${lengthText(high, units)}`,
        value,
      );
    return mm;
  };
}

export function badValue(
  path: string,
  allowed: string,
  value: string | number | boolean | undefined,
  hint = "",
): InputError {
  const given =
    value === undefined ? "left out" : JSON.stringify(value).slice(0, 60);
  return new InputError(
    "job/bad-value",
    `${path} must be ${allowed}, not ${given}${hint}`,
  );
}

export function lengthText(mm: number, units: LengthUnit): string {
  return `${trimmed(mm / mmPer(units), 6)} ${units}`;
}

/** Drops the noise of binary fractions, so that 0.01 in is 0.254 mm in the plan's JSON and not 0.25399999999999995. */
export function quiet(value: number): number {
  // Divided by a whole number at the end, for a product with 1e-9 would bring new noise.
  const perMm = Math.round(1 / JOB_NOISE);
  return Math.round(value * perMm) / perMm;
}
