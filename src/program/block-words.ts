/** One block's words sorted by what they do: events of the word table, numbers, and what nobody understands. */
import type { Finding } from "../base/finding.js";
import { quoted } from "../base/message.js";
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
  /** G54 to G59: the datum that coordinates count from. */
  readonly datum: Word | undefined;
  /** G92: X and Y say where the wire stands, not where to go. */
  readonly preset: Word | undefined;
  /** G04: the wire waits, and the block's numbers say how long. */
  readonly dwell: boolean;
}

/** A word table made ready for looking words up. */
export interface EventTable {
  readonly table: WordTable;
  /** Events of one word, by it. */
  readonly single: ReadonlyMap<string, ProgramEvent>;
  /** Events of several words, taken first: "T1 M06" is never another event's "M06". */
  readonly several: readonly SeveralWords[];
}

interface SeveralWords {
  readonly event: ProgramEvent;
  readonly keys: readonly string[];
}

/** "M06" and "M6" are one word. */
const keyOf = (w: { letter: string; value: number }): string =>
  w.letter + w.value;

export function eventTable(table: WordTable): EventTable {
  const all = PROGRAM_EVENTS.map((event) => ({
    event,
    keys: eventWords(table[event]).map(keyOf),
  }));
  return {
    table,
    single: new Map(
      all
        .filter((e) => e.keys.length === 1)
        .map((e) => [e.keys[0] as string, e.event]),
    ),
    several: all.filter((e) => e.keys.length > 1),
  };
}

const isNumberLetter = (letter: string): letter is NumberLetter =>
  (NUMBER_LETTERS as readonly string[]).includes(letter);

export function sortBlock(
  block: Block,
  known: EventTable,
  findings: Finding[],
): BlockWords {
  const numbers: Partial<Record<NumberLetter, Word>> = {};
  const events = new Map<ProgramEvent, number>();
  let register: Word | undefined;
  let others: Word[] = [];
  const twice = (word: Word): void => {
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
  for (const word of block.words) {
    if (isNumberLetter(word.letter)) {
      if (numbers[word.letter]) twice(word);
      else numbers[word.letter] = word;
    } else if (word.letter === known.table.register) {
      if (register) twice(word);
      else register = word;
    } else others.push(word);
  }
  if (others.length > 1)
    for (const { event, keys } of known.several) {
      const taken = keys.map((key) => others.find((w) => keyOf(w) === key));
      if (taken.some((w) => w === undefined)) continue;
      events.set(event, Math.min(...taken.map((w) => (w as Word).column)));
      others = others.filter((w) => !taken.includes(w));
    }
  const moves = MOTIONS.some(
    (m) =>
      events.has(m) || others.some((w) => known.single.get(keyOf(w)) === m),
  );
  const dwell = others.some((w) => keyOf(w) === "G4");
  if (dwell && moves)
    findings.push(
      textFinding(
        "program/two-of-a-kind",
        "error",
        block.line,
        block.words[0]?.column ?? 1,
        "the block both waits (G04) and moves; is X a time or a place? Give each its own block",
      ),
    );
  else if (dwell)
    others = others.filter((w) => !DWELL_LETTERS.includes(w.letter));
  let incremental = false;
  let datum: Word | undefined;
  let preset: Word | undefined;
  for (const word of others) {
    const key = keyOf(word);
    const event = known.single.get(key);
    if (event !== undefined) {
      if (events.has(event)) twice(word);
      else events.set(event, word.column);
    } else if (key === "G91") incremental = true;
    else if (DATUMS.includes(key)) {
      if (datum) twice(word);
      else datum = word;
    } else if (key === "G92" && !moves) {
      if (preset) twice(word);
      else preset = word;
    } else if (key === "M2" && !events.has("end"))
      events.set("end", word.column);
    else findings.push(strayFinding(block, word, known));
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
  // What stands beside such a word is no place to go to.
  const owned = !moves && others.some((w) => OWN_NUMBERS.includes(keyOf(w)));
  return {
    events,
    numbers: owned ? {} : numbers,
    register,
    incremental,
    datum,
    preset,
    dwell: dwell && !moves,
  };
}

const OPPOSITES = [
  ["inch", "mm"],
  ["incremental", "absolute"],
  ["compensationOff", "compensationLeft"],
  ["compensationOff", "compensationRight"],
  ["compensationLeft", "compensationRight"],
  ["flushingOn", "flushingOff"],
] as const;

const MOTIONS = ["rapid", "line", "clockwise", "counterClockwise"] as const;

/** A dwell's time stands under one of these, by the control's habit; X, which is another, is among the numbers. */
const DWELL_LETTERS = "PFU";

/** Dwell, home: whatever X and Y stand beside them say no place. */
const OWN_NUMBERS = ["G4", "G74"];

const DATUMS = ["G54", "G55", "G56", "G57", "G58", "G59"];

const nameOf = (w: Word): string => w.letter + w.digits;

const ISO_REMARKS = {
  error: "the proof cannot follow: take it out",
  warning: "has no meaning for a wire",
  note: "changes nothing of where the wire goes",
} as const;

/** A word that is left over: of the standard but of no use here, or of nobody's. */
function strayFinding(block: Block, word: Word, known: EventTable): Finding {
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
  if (word.letter === "O" && block.words.length === 1)
    return tell(
      "program/idle-word",
      "note",
      `${name} is a program's number on some controls, which ISO 6983-1 does not know; it is passed over`,
    );
  if (word.letter === "U" || word.letter === "V")
    return tell(
      "program/other-axis",
      word.value === 0 ? "warning" : "error",
      `${name} ${word.value === 0 ? "sets the upper guide upright" : "tilts the wire"}; the proof holds for an upright wire only`,
    );
  if ("ZWABCPQK".includes(word.letter))
    return tell(
      "program/other-axis",
      "warning",
      `${name} moves nothing in the plane X Y; the proof does not follow it`,
    );
  const owner = known.several.find((e) => e.keys.includes(keyOf(word)));
  if (owner)
    return tell(
      "program/half-a-word",
      "error",
      `${name} stands without its companion: the word table knows it in ${quoted(known.table[owner.event])}`,
    );
  const iso = isoMeaning(word.letter, word.value);
  if (iso)
    return tell(
      "program/idle-word",
      iso.weight,
      `${name} is ${iso.what} in ISO 6983-1, which ${ISO_REMARKS[iso.weight]}`,
    );
  const instead =
    keyOf(word) === "G20" ? "G70" : keyOf(word) === "G21" ? "G71" : null;
  return tell(
    "program/unknown-word",
    "error",
    instead
      ? `${name} sets the unit on some controls; in ISO 6983-1 that is ${instead}: write that, or give the table of your control`
      : `${name} is neither in the word table nor in ISO 6983-1; what a control makes of it is not known: take it out, or give the table of your control`,
  );
}
