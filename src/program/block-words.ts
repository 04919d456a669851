/** One block's words sorted by what they do: events of the word table, numbers, and what nobody understands. */
import type { Finding } from "../base/finding.js";
import { isoMeaning } from "./iso-words.js";
import { type Block, textFinding, type Word } from "./read.js";
import {
  eventWords,
  PROGRAM_EVENTS,
  type ProgramEvent,
  type WordTable,
} from "./words.js";

const NUMBER_LETTERS = ["X", "Y", "I", "J", "R"] as const;
type NumberLetter = (typeof NUMBER_LETTERS)[number];

export interface BlockWords {
  /** Events the block asks for, with the column of their first word. */
  readonly events: ReadonlyMap<ProgramEvent, number>;
  readonly numbers: Readonly<Partial<Record<NumberLetter, Word>>>;
  readonly register: Word | undefined;
  /** G91, which is in the standard but in no table: our writer never uses it. */
  readonly incremental: boolean;
}

interface TableEvent {
  readonly event: ProgramEvent;
  readonly words: readonly string[];
}

const keyOf = (w: { letter: string; value: number }): string =>
  w.letter + w.value;

const sorted = new WeakMap<WordTable, readonly TableEvent[]>();

/** The table's events, those of several words first, so that "T1 M06" is never taken for another table's "M06". */
function eventsOf(table: WordTable): readonly TableEvent[] {
  const known = sorted.get(table);
  if (known) return known;
  const events = PROGRAM_EVENTS.map((event) => ({
    event,
    words: eventWords(table[event]).map(keyOf),
  }))
    .filter((e) => e.words.length > 0)
    .sort((a, b) => b.words.length - a.words.length);
  sorted.set(table, events);
  return events;
}

export function sortBlock(
  block: Block,
  table: WordTable,
  findings: Finding[],
): BlockWords {
  const left = new Map<string, Word[]>();
  for (const w of block.words) {
    const same = left.get(keyOf(w));
    if (same) same.push(w);
    else left.set(keyOf(w), [w]);
  }
  const events = new Map<ProgramEvent, number>();
  for (const { event, words } of eventsOf(table)) {
    if (!words.every((key) => (left.get(key)?.length ?? 0) > 0)) continue;
    const taken = words.map((key) => left.get(key)?.shift() as Word);
    events.set(event, Math.min(...taken.map((w) => w.column)));
  }
  const numbers: Partial<Record<NumberLetter, Word>> = {};
  let register: Word | undefined;
  let incremental = false;
  const rest = [...left.values()].flat().sort((a, b) => a.column - b.column);
  for (const word of rest) {
    const letter = word.letter as NumberLetter;
    const twice = (): void => {
      findings.push(
        textFinding(
          "program/word-twice",
          "error",
          block.line,
          word.column,
          `${nameOf(word)} stands in a block that has such a word already`,
        ),
      );
    };
    if (NUMBER_LETTERS.includes(letter)) {
      if (numbers[letter]) twice();
      else numbers[letter] = word;
    } else if (word.letter === table.register) {
      if (register) twice();
      else register = word;
    } else if (keyOf(word) === "G91") incremental = true;
    else if (keyOf(word) === "M2" && !events.has("end"))
      events.set("end", word.column);
    else findings.push(strayFinding(block, word, table));
  }
  for (const [a, b] of OPPOSITES)
    if ((a === "incremental" ? incremental : events.has(a)) && events.has(b))
      findings.push(
        textFinding(
          "program/two-of-a-kind",
          "error",
          block.line,
          events.get(b) ?? 1,
          "the block says two things that exclude each other",
        ),
      );
  return { events, numbers, register, incremental };
}

const OPPOSITES = [
  ["inch", "mm"],
  ["incremental", "absolute"],
  ["compensationOff", "compensationLeft"],
  ["compensationOff", "compensationRight"],
  ["compensationLeft", "compensationRight"],
  ["flushingOn", "flushingOff"],
] as const;

const nameOf = (w: Word): string => w.letter + w.digits;

/** A word that is left over: of the standard but of no use here, or of nobody's. */
function strayFinding(block: Block, word: Word, table: WordTable): Finding {
  const tell = (
    code: string,
    severity: Finding["severity"],
    message: string,
  ): Finding => textFinding(code, severity, block.line, word.column, message);
  const name = nameOf(word);
  if (word.letter === "F" || word.letter === "S")
    return tell(
      "program/idle-word",
      "note",
      `${name} is a ${word.letter === "F" ? "feed" : "speed"}; the proof measures where the wire goes, not how fast`,
    );
  if (word.letter === "U" || word.letter === "V")
    return tell(
      "program/other-axis",
      "error",
      `${name} tilts the wire; the proof holds for an upright wire only`,
    );
  if ("ZWABCPQK".includes(word.letter))
    return tell(
      "program/other-axis",
      "warning",
      `${name} moves nothing in the plane X Y; the proof does not follow it`,
    );
  const owner = eventsOf(table).find((e) => e.words.includes(keyOf(word)));
  if (owner)
    return owner.words.length === 1
      ? tell("program/word-twice", "error", `${name} stands twice in the block`)
      : tell(
          "program/half-a-word",
          "error",
          `${name} stands without its companion: the word table knows it in "${table[owner.event]}"`,
        );
  const iso = isoMeaning(word.letter, word.value);
  if (iso)
    return tell(
      "program/idle-word",
      iso.shifts ? "error" : "warning",
      `${name} is ${iso.what} in ISO 6983-1, which ${iso.shifts ? "the proof cannot follow: take it out" : "has no meaning for a wire"}`,
    );
  return tell(
    "program/unknown-word",
    "error",
    `${name} is neither in the word table nor in ISO 6983-1; what a control makes of it is not known: take it out, or give the table of your control`,
  );
}
