/**
 * The word table: which text stands for which event. Data, so that another control needs another table and no code.
 * The writer and the reader share this file and nothing else.
 */
import * as v from "valibot";
import { InputError } from "../base/finding.js";
import { readJson } from "../base/json-fault.js";

/** Event → its words, e.g. `thread` → "T1 M06". An event that may be absent on a control has the text "". */
export interface WordTable {
  /** What the table is called, for the program's header. */
  readonly name: string;
  readonly inch: string;
  readonly mm: string;
  readonly absolute: string;
  readonly plane: string;
  readonly rapid: string;
  readonly line: string;
  readonly clockwise: string;
  readonly counterClockwise: string;
  readonly compensationOff: string;
  readonly compensationLeft: string;
  readonly compensationRight: string;
  /** The letter alone: its number is the pass. */
  readonly register: string;
  readonly thread: string;
  readonly cutWire: string;
  readonly flushingOn: string;
  readonly flushingOff: string;
  readonly stop: string;
  readonly optionalStop: string;
  readonly end: string;
}

export type ProgramEvent = Exclude<keyof WordTable, "name" | "register">;

/** The words of ISO 6983-1; thread and cut the wire, which it does not know, as changes of the tool. */
export const NEUTRAL: WordTable = {
  name: "neutral",
  inch: "G70",
  mm: "G71",
  absolute: "G90",
  plane: "G17",
  rapid: "G00",
  line: "G01",
  clockwise: "G02",
  counterClockwise: "G03",
  compensationOff: "G40",
  compensationLeft: "G41",
  compensationRight: "G42",
  register: "D",
  thread: "T1 M06",
  cutWire: "T0 M06",
  flushingOn: "M08",
  flushingOff: "M09",
  stop: "M00",
  optionalStop: "M01",
  end: "M30",
};

/** Events a control may do without. */
const OPTIONAL: ReadonlySet<ProgramEvent> = new Set<ProgramEvent>([
  "plane",
  "compensationOff",
  "compensationLeft",
  "compensationRight",
  "flushingOn",
  "flushingOff",
  "optionalStop",
]);

export const PROGRAM_EVENTS = Object.keys(NEUTRAL).filter(
  (key) => key !== "name" && key !== "register",
) as ProgramEvent[];

/** Letters that carry numbers of their own: an event made of one could not be told from a coordinate. */
const TAKEN = "NXYIJR";

export interface WordValue {
  readonly letter: string;
  readonly value: number;
}

/** The words an event's text is made of: "T1 M06" → T 1, M 6. */
export function eventWords(text: string): WordValue[] {
  return Array.from(text.matchAll(/([A-Z])(\d+(?:\.\d+)?)/g), (m) => ({
    letter: m[1] as string,
    value: Number(m[2]),
  }));
}

const words = (optional: boolean) =>
  v.pipe(
    v.string(),
    v.regex(
      optional
        ? /^(?:[A-Z]\d+(?:\.\d+)?(?: ?[A-Z]\d+(?:\.\d+)?)*)?$/
        : /^[A-Z]\d+(?:\.\d+)?(?: ?[A-Z]\d+(?:\.\d+)?)*$/,
    ),
  );

const TableSchema = v.strictObject({
  name: v.pipe(v.string(), v.minLength(1)),
  register: v.pipe(v.string(), v.regex(/^[A-Z]$/)),
  ...(Object.fromEntries(
    PROGRAM_EVENTS.map((event) => [event, words(OPTIONAL.has(event))]),
  ) as Record<ProgramEvent, ReturnType<typeof words>>),
});

/**
 * A table from the text of a JSON file.
 *
 * @throws {InputError} `words/not-json`, `words/missing-event`, `words/unknown-event`, `words/bad-text` or
 * `words/same-text`, each naming the event.
 */
export function readWordTable(text: string): WordTable {
  const json = readJson(text);
  if (!json.ok)
    throw new InputError(
      "words/not-json",
      `the word table is not valid JSON: ${json.message}; begin from the template`,
    );
  const result = v.safeParse(TableSchema, json.value);
  if (!result.success) throw faultOf(result.issues[0]);
  refuseSameText(result.output);
  return result.output;
}

function faultOf(issue: v.BaseIssue<unknown>): InputError {
  const event = issue.path?.map((p) => String(p.key)).join(".");
  if (event === undefined)
    return new InputError(
      "words/not-json",
      "the word table is no JSON object of events and their words; begin from the template",
    );
  const known = event === "name" || event in NEUTRAL;
  if (!known)
    return new InputError(
      "words/unknown-event",
      `the word table names the event "${event}", which there is not; the events are ${PROGRAM_EVENTS.join(", ")}, and the register's letter`,
    );
  if (issue.input === undefined)
    return new InputError(
      "words/missing-event",
      `the word table says nothing for "${event}"; give it the control's words`,
    );
  return new InputError(
    "words/bad-text",
    `the word table says ${JSON.stringify(issue.input)} for "${event}"; write ${
      event === "register"
        ? 'one letter, as in "D"'
        : event === "name"
          ? "a name"
          : 'a letter and a number for each word, as in "T1 M06"'
    }`,
  );
}

function refuseSameText(table: WordTable): void {
  const seen = new Map<string, string>();
  for (const event of PROGRAM_EVENTS) {
    const parts = eventWords(table[event]);
    for (const { letter } of parts)
      if (TAKEN.includes(letter) || letter === table.register)
        throw new InputError(
          "words/bad-text",
          `the word table says "${table[event]}" for "${event}", but the letter ${letter} carries numbers of its own; take another`,
        );
    if (parts.length === 0) continue;
    const key = parts
      .map((w) => w.letter + w.value)
      .sort()
      .join(" ");
    const other = seen.get(key);
    if (other !== undefined)
      throw new InputError(
        "words/same-text",
        `the word table says "${table[event]}" both for "${other}" and for "${event}"; the reader could not tell them apart`,
      );
    seen.set(key, event);
  }
  if (TAKEN.includes(table.register))
    throw new InputError(
      "words/bad-text",
      `the word table says "${table.register}" for "register", but that letter carries numbers of its own; take another`,
    );
}
