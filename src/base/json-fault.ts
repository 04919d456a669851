/** Where a text stops being JSON. Engines word this differently and some give no place, so it is found here. */

export interface JsonFault {
  /** From 1. */
  readonly line: number;
  readonly column: number;
  readonly message: string;
}

/** The value a JSON text stands for, a byte order mark before it or not; or where and why it is no JSON. */
export function readJson(
  text: string,
):
  | { readonly ok: true; readonly value: unknown }
  | { readonly ok: false; readonly message: string } {
  const bare = text.replace(/^\uFEFF/, "");
  try {
    return { ok: true, value: JSON.parse(bare) };
  } catch {
    const { line, column, message } = jsonFault(bare);
    return {
      ok: false,
      message: `line ${line}, column ${column}: ${message}`,
    };
  }
}

/**
 * First place where `text` breaks the JSON grammar (RFC 8259).
 *
 * @throws {RangeError} when it breaks nowhere: ask only about a text that `JSON.parse` refused.
 */
export function jsonFault(text: string): JsonFault {
  const scan = { text, at: 0 };
  let wanted = value(scan);
  if (!wanted) {
    skipSpace(scan);
    if (atEnd(scan)) throw new RangeError("this text is JSON");
    wanted = "the end of the text";
  }
  const before = text.slice(0, scan.at).split(/\r\n|\r|\n/);
  const found = atEnd(scan)
    ? "the text ends"
    : `"${[...text.slice(scan.at)][0]}" stands here`;
  return {
    line: before.length,
    column: (before.at(-1) as string).length + 1,
    message: `${found}, where ${wanted} is expected`,
  };
}

interface Scan {
  readonly text: string;
  at: number;
}

/** Each reader moves past what it knows and returns null, or stops at the fault and says what it wanted. */
type Wanted = string | null;

const atEnd = (s: Scan): boolean => s.at >= s.text.length;

function skipSpace(s: Scan): void {
  while (/[ \t\r\n]/.test(s.text.charAt(s.at))) s.at++;
}

function eat(s: Scan, pattern: RegExp): boolean {
  const sticky = new RegExp(pattern, "y");
  sticky.lastIndex = s.at;
  const hit = sticky.exec(s.text);
  if (hit) s.at += hit[0].length;
  return hit !== null;
}

function value(s: Scan): Wanted {
  skipSpace(s);
  const c = s.text.charAt(s.at);
  if (c === "{") return members(s, "}", member);
  if (c === "[") return members(s, "]", value);
  if (c === '"') return string(s);
  if (eat(s, /-?(0|[1-9]\d*)(\.\d+)?([eE][+-]?\d+)?/)) return null;
  if (eat(s, /true|false|null/)) return null;
  return "a value";
}

function members(s: Scan, close: "}" | "]", one: (s: Scan) => Wanted): Wanted {
  s.at++;
  skipSpace(s);
  if (s.text.charAt(s.at) === close) {
    s.at++;
    return null;
  }
  for (;;) {
    const wanted = one(s);
    if (wanted) return wanted;
    skipSpace(s);
    const c = s.text.charAt(s.at);
    if (c !== "," && c !== close) return `"," or "${close}"`;
    s.at++;
    if (c === close) return null;
  }
}

function member(s: Scan): Wanted {
  skipSpace(s);
  if (s.text.charAt(s.at) !== '"') return "a key in double quotes";
  const wanted = string(s);
  if (wanted) return wanted;
  skipSpace(s);
  if (s.text.charAt(s.at) !== ":") return '":"';
  s.at++;
  return value(s);
}

function string(s: Scan): Wanted {
  s.at++;
  // biome-ignore lint/suspicious/noControlCharactersInRegex: JSON forbids raw control characters in strings
  eat(s, /(?:[^"\\\u0000-\u001f]|\\(?:["\\/bfnrt]|u[0-9a-fA-F]{4}))*/);
  if (s.text.charAt(s.at) === '"') {
    s.at++;
    return null;
  }
  return s.text.charAt(s.at) === "\\"
    ? "an escape that JSON knows"
    : "a closing double quote";
}
