/** DXF in text form as tags: pairs of lines, a group code and its value. */
import { damaged, notDxf, quote, truncated } from "../damage.js";
import { MAX_LINE_LENGTH } from "../limits.js";

/** Takes one tag and the line its value stands on; says whether the file goes on. Values are text, or numbers in a binary file. */
export type TakeTag = (
  code: number,
  value: string | number,
  line: number,
) => boolean;

/** Gives every tag of a file in turn, until it is told to stop. */
export type Tags = (take: TakeTag) => {
  /** The last line that was read. */
  readonly line: number;
  /** Whether something follows it. */
  readonly more: boolean;
};

const LF = 10;
const CR = 13;
const SPACE = 32;
const MINUS = 45;
const ZERO = 48;

/**
 * Lines end with LF, CR LF or CR, even in one file. A last value of nothing but white space may be missing.
 *
 * @throws {InputError} `drawing/not-dxf`, `drawing/damaged`, `drawing/truncated`
 */
export function textTags(text: string): Tags {
  return (take) => {
    const end = text.trimEnd().length;
    let at = 0;
    let line = 0;
    while (at < end) {
      line++;
      const codeEnd = lineEnd(text, at, line);
      const code = groupCode(text, at, codeEnd, line);
      at = afterLineEnd(text, codeEnd);
      if (at > end) {
        // The value was blank and is cut off with the blank lines at the end: only a comment may end so.
        if (code === 999) return { line, more: false };
        throw truncated(line);
      }
      line++;
      const valueEnd = lineEnd(text, at, line);
      const value = text.slice(at, valueEnd).trim();
      at = afterLineEnd(text, valueEnd);
      if (!take(code, value, line)) return { line, more: at < end };
    }
    return { line, more: false };
  };
}

function lineEnd(text: string, from: number, line: number): number {
  let at = from;
  const most = Math.min(text.length, from + MAX_LINE_LENGTH + 1);
  while (at < most) {
    const c = text.charCodeAt(at);
    if (c === LF || c === CR) return at;
    at++;
  }
  if (at < text.length)
    throw damaged(
      line,
      `the line is longer than ${MAX_LINE_LENGTH} characters`,
    );
  return at;
}

function afterLineEnd(text: string, end: number): number {
  return text.charCodeAt(end) === CR && text.charCodeAt(end + 1) === LF
    ? end + 2
    : end + 1;
}

/** A whole number of up to five digits, with white space round it. */
function groupCode(
  text: string,
  from: number,
  to: number,
  line: number,
): number {
  let at = from;
  while (at < to && isBlank(text.charCodeAt(at))) at++;
  let end = to;
  while (end > at && isBlank(text.charCodeAt(end - 1))) end--;
  const negative = text.charCodeAt(at) === MINUS;
  if (negative) at++;
  let code = 0;
  const digits = end - at;
  while (at < end) {
    const digit = text.charCodeAt(at++) - ZERO;
    if (!(digit >= 0 && digit <= 9)) break;
    code = 10 * code + digit;
    if (at === end && digits <= 5) return negative ? -code : code;
  }
  const found = text.slice(from, to);
  if (line === 1) throw notDxf(`something that begins with ${quote(found)}`);
  throw damaged(line, `a group code should stand here, not ${quote(found)}`);
}

const isBlank = (c: number): boolean => c === SPACE || c === 9;
