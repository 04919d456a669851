/**
 * A program's text taken apart: blocks of words and comments, each with its line and column. Reads what people type,
 * too: lower case, no N, spaces or none. What the words mean is the trace's question.
 */
import { type Finding, InputError } from "../base/finding.js";
import { quoted } from "../base/message.js";
import { withPlainSigns } from "./plain-signs.js";
import { AS_WRITTEN, type Reading } from "./reading.js";

export interface Word {
  /** Upper case. */
  readonly letter: string;
  readonly value: number;
  /** The number as typed, to tell "10" from "10.". */
  readonly digits: string;
  /** 1 is the first. */
  readonly column: number;
}

export interface Comment {
  readonly text: string;
  readonly column: number;
}

/** One line of the program; `line` 1 is the first of the file. */
export interface Block {
  readonly line: number;
  /** Without the number N. */
  readonly words: readonly Word[];
  readonly comments: readonly Comment[];
  /** A `/` stands before it: the operator may have it left out. */
  readonly skip: boolean;
}

export interface BlockList {
  readonly blocks: readonly Block[];
  readonly findings: readonly Finding[];
}

/** "line 12, column 5", as every finding about the text says it. */
const textPlace = (line: number, column: number): string =>
  `line ${line}, column ${column}`;

const WORD = /([A-Za-z])[ \t]*([+-]?(?:\d+\.?\d*|\.\d+))/y;
/** The same with spaces among its figures. */
const SPACED_WORD =
  /([A-Za-z])[ \t]*([+-]?(?:(?:[ \t]*\d)+(?:[ \t]*\.(?:[ \t]*\d)*)?|[ \t]*\.(?:[ \t]*\d)+))/y;
const SPACE = /[ \t]+/y;
/** The mark with which old systems close a text. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: it is what is looked for.
const END_OF_FILE = /\x1a+\s*$/;

/** Characters: a program of 500,000 blocks. */
const LONGEST_PROGRAM = 32_000_000;
/** Characters: controls take blocks of some hundred. */
const LONGEST_LINE = 4_000;

/**
 * Refuses what can be no program at all.
 *
 * @throws {InputError} `program/too-long`, `program/not-text` or `program/empty`.
 */
export function requireProgramText(text: string): void {
  if (text.length > LONGEST_PROGRAM)
    throw new InputError(
      "program/too-long",
      `the program has ${text.length} characters, more than ${LONGEST_PROGRAM}: is it the right file?`,
    );
  // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is looked for.
  const odd = /[\x00-\x08\x0e-\x19\x1b-\x1f\ufffd]/.exec(text);
  if (odd) {
    const before = text.slice(0, odd.index).split(/\r\n|\n|\r/);
    const code = odd[0].charCodeAt(0).toString(16).toUpperCase();
    throw new InputError(
      "program/not-text",
      `the program is no plain text: at ${textPlace(before.length, (before.at(-1) as string).length + 1)} stands the character U+${code.padStart(4, "0")}; save it as plain text (ASCII or UTF-8), or give the right file`,
    );
  }
  let from = 0;
  for (let line = 1; from <= text.length; line++) {
    const end = text.indexOf("\n", from);
    const long = (end < 0 ? text.length : end) - from;
    if (long > LONGEST_LINE)
      throw new InputError(
        "program/too-long",
        `line ${line} of the program has ${long} characters; a block has ${LONGEST_LINE} at most: is a line end missing, or is it the wrong file?`,
      );
    if (end < 0) break;
    from = end + 1;
  }
  if (!/[A-Za-z]\s*[+-]?\.?\d/.test(text))
    throw new InputError(
      "program/empty",
      "there is no block in the program: is it the right file?",
    );
}

/** Takes the text apart. Anything that is neither word nor comment becomes a finding and is passed over. */
export function readBlocks(
  text: string,
  { numbersJoined = false }: Reading = AS_WRITTEN,
): BlockList {
  const blocks: Block[] = [];
  const findings: Finding[] = [];
  let begun = false;
  let ended = false;
  let spoken = false;
  text
    .replace(/^\uFEFF/, "")
    .replace(END_OF_FILE, "")
    .split(/\r\n|\n|\r/)
    .forEach((raw, index) => {
      const line = index + 1;
      const column = raw.search(/\S/) + 1;
      if (column === 0) return;
      if (ended) {
        if (!spoken)
          findings.push(
            textFinding(
              "program/after-end",
              "error",
              line,
              column,
              begun
                ? "text stands after the closing %: take it out, a control may read on"
                : "text stands before and after the only %: a control reads from there on, a person from the top; put % first",
            ),
          );
        spoken = true;
        return;
      }
      if (raw[column - 1] === "%") {
        // A program's name may follow the %; only the mark itself matters here.
        if (blocks.length > 0) ended = true;
        else begun = true;
        return;
      }
      blocks.push(
        readLine(raw, line, numbersJoined ? SPACED_WORD : WORD, findings),
      );
    });
  if (!(begun && ended))
    findings.push({
      code: "program/no-percent",
      severity: "note",
      message: `the program does not ${begun ? "end" : "begin"} with %; some controls need the mark to load it`,
    });
  return { blocks, findings };
}

export function textFinding(
  code: string,
  severity: Finding["severity"],
  line: number,
  column: number,
  message: string,
): Finding {
  return {
    code,
    severity,
    message: `${textPlace(line, column)}: ${message}`,
  };
}

/** Characters of a text that are shown when it is quoted. */
const MOST_SHOWN = 24;

/** A stretch of text as it can be printed, with what looks like nothing, or like something else, by its number. */
function shown(text: string): string {
  const all = [...text].map((c) =>
    c >= " " && c <= "~"
      ? c
      : `<U+${(c.codePointAt(0) ?? 0).toString(16).toUpperCase().padStart(4, "0")}>`,
  );
  return `${all.slice(0, MOST_SHOWN).join("")}${all.length > MOST_SHOWN ? "…" : ""}`;
}

function readLine(
  typed: string,
  line: number,
  form: RegExp,
  findings: Finding[],
): Block {
  const { line: raw, odd } = withPlainSigns(typed);
  const words: Word[] = [];
  const comments: Comment[] = [];
  let skip = false;
  let at = 0;
  const fault = (code: string, column: number, message: string): void => {
    findings.push(textFinding(code, "error", line, column, message));
  };
  for (const { column, message } of odd)
    fault("program/unreadable", column, message);
  while (at < raw.length) {
    SPACE.lastIndex = at;
    if (SPACE.test(raw)) {
      at = SPACE.lastIndex;
      continue;
    }
    const char = raw[at] as string;
    if (char === "(") {
      const close = raw.indexOf(")", at);
      if (close < 0)
        fault(
          "program/open-comment",
          at + 1,
          "the comment is never closed; the rest of the line is taken as comment",
        );
      const end = close < 0 ? raw.length : close;
      comments.push({ text: raw.slice(at + 1, end).trim(), column: at + 1 });
      at = end + 1;
      continue;
    }
    if (char === ";") {
      const after = raw.slice(at + 1).trim();
      if (after === "")
        findings.push(
          textFinding(
            "program/end-of-block",
            "note",
            line,
            at + 1,
            "; ends a block on some controls; it is passed over",
          ),
        );
      else
        fault(
          "program/unreadable",
          at + 1,
          "; begins a comment on some controls and the next block on others; the rest of the line is passed over: write comments in ( )",
        );
      break;
    }
    if (char === "/" && words.length === 0 && !skip) {
      skip = true;
      // A digit may say which of several switches leaves it out.
      at += /^\/[ \t]*[1-9](?!\d)/.exec(raw.slice(at))?.[0].length ?? 1;
      continue;
    }
    if (char === ":" && words.length === 0) {
      // An alignment block: its number stands for N.
      const number = /^:[ \t]*\d*/.exec(raw.slice(at))?.[0] ?? ":";
      at += number.length;
      continue;
    }
    form.lastIndex = at;
    const match = form.exec(raw);
    if (!match) {
      const rest = /^[A-Za-z]?[^\s(]*/.exec(raw.slice(at))?.[0] || char;
      fault(
        "program/unreadable",
        at + 1,
        /^[.\d]/.test(rest)
          ? "figures stand without a letter: a space in the middle of a number, or a letter lost?"
          : `${quoted(shown(rest))} is no word: a letter and a number are wanted`,
      );
      at += rest.length;
      continue;
    }
    const letter = (match[1] as string).toUpperCase();
    const figures = (match[2] as string).trimStart();
    const digits = figures.replace(/[ \t]/g, "");
    if (digits !== figures)
      fault(
        "program/unreadable",
        match.index + 1,
        "a space stands in the middle of a number: take it out; read as one number",
      );
    at = form.lastIndex;
    if (letter !== "N")
      words.push({
        letter,
        value: Number(digits),
        digits,
        column: match.index + 1,
      });
  }
  return { line, words, comments, skip };
}
