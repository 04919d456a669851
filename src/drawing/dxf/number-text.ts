/** Numbers as a DXF writes them. A large drawing holds millions, nearly all of them plain decimals of few digits. */

const SOUND_NUMBER = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?$/;

/** Not finite where the text is no number, or one too large. */
export function numberFrom(value: string | number): number {
  if (typeof value === "number") return value;
  const plain = plainDecimal(value);
  if (!Number.isNaN(plain)) return plain;
  return SOUND_NUMBER.test(value) ? Number(value) : Number.NaN;
}

const MINUS = 45;
const PLUS = 43;
const POINT = 46;
const ZERO = 48;

/** Powers of ten that a double holds to the last bit. */
const TENS = Array.from({ length: 23 }, (_, k) => 10 ** k);

/**
 * Digits and at most one point, as one division of two whole numbers that a double holds exactly: so it is rounded as
 * the number itself would be (Clinger, "How to read floating point numbers accurately", PLDI 1990). Else no number.
 */
function plainDecimal(text: string): number {
  const sign = text.charCodeAt(0);
  let digits = 0;
  let places = -1;
  let value = 0;
  for (let i = sign === MINUS || sign === PLUS ? 1 : 0; i < text.length; i++) {
    const c = text.charCodeAt(i);
    const digit = c - ZERO;
    if (digit >= 0 && digit <= 9) {
      value = 10 * value + digit;
      digits++;
      if (places >= 0) places++;
    } else if (c === POINT && places < 0) places = 0;
    else return Number.NaN;
  }
  if (digits === 0 || value > Number.MAX_SAFE_INTEGER) return Number.NaN;
  const power = TENS[Math.max(0, places)];
  if (power === undefined) return Number.NaN;
  return sign === MINUS ? -value / power : value / power;
}
