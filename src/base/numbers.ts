/** Numbers become text here and nowhere else: fixed decimals, never an exponent, never "-0". */

/** `value` with exactly `decimals` digits after the point; minus zero loses its sign. */
export function fixed(value: number, decimals: number): string {
  if (!Number.isFinite(value))
    throw new RangeError(`cannot write ${value} as a number`);
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? text.replace("-", "") : text;
}

/** Like `fixed`, without trailing zeros: 1.500 is written 1.5, 2.000 is written 2. */
export function trimmed(value: number, decimals: number): string {
  const text = fixed(value, decimals);
  return text.includes(".") ? text.replace(/\.?0+$/, "") : text;
}

/** A place for a message: "(40, 12.5)" in mm to 1 µm. */
export function placeText(where: readonly [number, number]): string {
  return `(${trimmed(where[0], 3)}, ${trimmed(where[1], 3)})`;
}
