/**
 * Signs that look right to people and are unknown to controls, as word processors and tired hands put them in: a dash
 * for a minus, a comma for a point, a letter for a nought, a space that is none. Each is a fault, and the line is read on as it was meant.
 */

export interface OddSign {
  /** 1 is the first. */
  readonly column: number;
  readonly message: string;
}

const COMMENT = String.raw`\([^)]*\)?|;.*`;
/** Hyphen, dashes and minus of Unicode before a figure. */
const DASH = String.raw`[\u2010-\u2015\u2212\ufe58\ufe63\uff0d](?=\s*[\d.])`;
const SPACE = String.raw`[\u00a0\u2000-\u200b\u202f\u205f\u3000\ufeff]`;
const COMMA = String.raw`(?<=\d),(?=\d)|(?<=[A-Za-z]\s*[+-]?),(?=\d)`;
/** Beside a figure or a point: two letters alone are a word of a text. */
const LETTER_O = String.raw`(?<=[A-Za-z][+-]?)O(?=[\d.])|(?<=[A-Za-z][+-]?[\d.]+)O(?=[\d.]|\s|$)`;
const ODD = new RegExp(
  `(?<comment>${COMMENT})|(?<dash>${DASH})|(?<space>${SPACE})|(?<letter>${LETTER_O})|(?<comma>${COMMA})`,
  "giu",
);

/** A line with such signs outside its comments replaced, each by one other; columns stay. */
export function withPlainSigns(raw: string): {
  readonly line: string;
  readonly odd: readonly OddSign[];
} {
  if (!/[,O\u0080-\uffff]/i.test(raw)) return { line: raw, odd: [] };
  const odd: OddSign[] = [];
  const line = raw.replace(ODD, (...match) => {
    const [sign, at] = [match[0] as string, match.at(-3) as number];
    const { comment, dash, space, letter } = match.at(-1) as Record<
      string,
      string | undefined
    >;
    if (comment !== undefined) return comment;
    const code = `U+${(sign.codePointAt(0) as number).toString(16).toUpperCase().padStart(4, "0")}`;
    const [plain, message] =
      dash !== undefined
        ? [
            "-",
            `the minus is the dash ${code}, which controls do not know: write the - of the keyboard; read as a minus`,
          ]
        : space !== undefined
          ? [
              " ",
              `the space is the character ${code}, which controls do not know: write a plain space; read as one`,
            ]
          : letter !== undefined
            ? [
                "0",
                "the letter O stands for a nought in a figure: write 0; read as one",
              ]
            : [
                ".",
                "a decimal comma, which controls do not know: write a point; read as one",
              ];
    odd.push({ column: at + 1, message });
    return plain;
  });
  return { line, odd };
}
