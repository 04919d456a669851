/**
 * Where a text stops being JSON, or says one thing twice. Engines word the first differently and some give no place, and
 * the second they pass over: the earlier of two values is lost. So both are found here.
 */

export interface JsonFault {
  /** From 1. */
  readonly line: number;
  readonly column: number;
  readonly message: string;
}

/** The value a JSON text stands for, a byte order mark before it or not; or where and why it is no JSON to rely on. */
export function readJson(
  text: string,
):
  | { readonly ok: true; readonly value: unknown }
  | { readonly ok: false; readonly message: string } {
  const bare = text.replace(/^\uFEFF/, "");
  const fault = jsonFault(bare);
  if (!fault) return { ok: true, value: JSON.parse(bare) };
  const { line, column, message } = fault;
  return { ok: false, message: `line ${line}, column ${column}: ${message}` };
}

/** First place where `text` breaks the JSON grammar (RFC 8259), says a key twice or nests too deep; null where it is well. */
export function jsonFault(text: string): JsonFault | null {
  const scan: Scan = { text, at: 0, depth: 0 };
  let message = value(scan);
  if (!message) {
    skipSpace(scan);
    if (atEnd(scan)) return null;
    message = wants(scan, "the end of the text");
  }
  const before = text.slice(0, scan.at).split(/\r\n|\r|\n/);
  return {
    line: before.length,
    column: (before.at(-1) as string).length + 1,
    message,
  };
}

/** Far deeper than anything of ours, and far from what the call stack holds. */
const DEEPEST = 200;

interface Scan {
  readonly text: string;
  at: number;
  depth: number;
}

/** Each reader moves past what it knows and returns null, or stops at the fault and says what is wrong there. */
type Trouble = string | null;

function wants(s: Scan, what: string): string {
  const found = atEnd(s)
    ? "the text ends"
    : `"${String.fromCodePoint(s.text.codePointAt(s.at) as number)}" stands here`;
  return `${found}, where ${what} is expected`;
}

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

function value(s: Scan): Trouble {
  skipSpace(s);
  const c = s.text.charAt(s.at);
  if (c === "{") {
    const keys = new Set<string>();
    return members(s, "}", (inner) => member(inner, keys));
  }
  if (c === "[") return members(s, "]", value);
  if (c === '"') return string(s);
  if (eat(s, /-?(0|[1-9]\d*)(\.\d+)?([eE][+-]?\d+)?/)) return null;
  if (eat(s, /true|false|null/)) return null;
  return wants(s, "a value");
}

function members(
  s: Scan,
  close: "}" | "]",
  one: (s: Scan) => Trouble,
): Trouble {
  if (s.depth === DEEPEST)
    return `more than ${DEEPEST} groups and lists stand in one another here`;
  s.at++;
  s.depth++;
  skipSpace(s);
  if (s.text.charAt(s.at) === close) {
    s.at++;
    s.depth--;
    return null;
  }
  for (;;) {
    const trouble = one(s);
    if (trouble) return trouble;
    skipSpace(s);
    const c = s.text.charAt(s.at);
    if (c !== "," && c !== close) return wants(s, `"," or "${close}"`);
    s.at++;
    if (c === close) {
      s.depth--;
      return null;
    }
  }
}

function member(s: Scan, keys: Set<string>): Trouble {
  skipSpace(s);
  if (s.text.charAt(s.at) !== '"') return wants(s, "a key in double quotes");
  const start = s.at;
  const trouble = string(s);
  if (trouble) return trouble;
  const key = JSON.parse(s.text.slice(start, s.at)) as string;
  if (keys.has(key)) {
    s.at = start;
    return `the key ${JSON.stringify(key)} stands here a second time in its group; one of the two must go`;
  }
  keys.add(key);
  skipSpace(s);
  if (s.text.charAt(s.at) !== ":") return wants(s, '":"');
  s.at++;
  return value(s);
}

function string(s: Scan): Trouble {
  s.at++;
  // biome-ignore lint/suspicious/noControlCharactersInRegex: JSON forbids raw control characters in strings
  eat(s, /(?:[^"\\\u0000-\u001f]|\\(?:["\\/bfnrt]|u[0-9a-fA-F]{4}))*/);
  if (s.text.charAt(s.at) === '"') {
    s.at++;
    return null;
  }
  return wants(
    s,
    s.text.charAt(s.at) === "\\"
      ? "an escape that JSON knows"
      : "a closing double quote",
  );
}
