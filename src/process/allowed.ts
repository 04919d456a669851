/** Pieces of a strict schema whose messages say what is allowed; whoever tells a fault puts the path before it. */
import * as v from "valibot";

export const oneOf = <const T extends readonly string[]>(words: T) =>
  v.picklist(words, words.map((w) => `"${w}"`).join(" or "));

export const aboveZero = v.pipe(
  v.number("a number above 0"),
  v.gtValue(0, "a number above 0"),
);

export const zeroOrMore = v.pipe(
  v.number("a number, 0 or more"),
  v.minValue(0, "a number, 0 or more"),
);

/** Above 0 and no more than makes sense; `unit` says what it is counted in, for a figure in another is the usual slip. */
export const upTo = (most: number, unit = "") => {
  const message = `a number above 0, up to ${most}${unit && ` (${unit})`}`;
  return v.pipe(
    v.number(message),
    v.gtValue(0, message),
    v.maxValue(most, message),
  );
};

/** From 0 to no more than makes sense. */
export const zeroTo = (most: number, unit = "") => {
  const message = `a number from 0 to ${most}${unit && ` (${unit})`}`;
  return v.pipe(
    v.number(message),
    v.minValue(0, message),
    v.maxValue(most, message),
  );
};

export const wholeFrom = (low: number, high: number) => {
  const message = `a whole number from ${low} to ${high}`;
  return v.pipe(
    v.number(message),
    v.integer(message),
    v.minValue(low, message),
    v.maxValue(high, message),
  );
};

export const text = v.pipe(
  v.string("a text"),
  v.nonEmpty("a text"),
  // No line breaks, no control characters: it goes to terminals and into programs.
  v.regex(/^[ -~\u00a0-\uffff]*$/, "a text on one line"),
);

export const group = <const T extends v.ObjectEntries>(entries: T) =>
  v.strictObject(entries, "a group in braces");

export const listOf = <const T extends v.GenericSchema>(
  item: T,
  low: number,
  high: number,
) => {
  const message = `a list of ${low} to ${high}`;
  return v.pipe(
    v.array(item, message),
    v.minLength(low, message),
    v.maxLength(high, message),
  );
};

/** Two numbers, e.g. the ends of a range. */
export const pairOf = <const T extends v.GenericSchema>(item: T) =>
  v.strictTuple([item, item], "a list of two numbers");
