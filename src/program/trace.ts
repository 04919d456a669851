/**
 * Blocks → what the machine does, in order. Keeps the modal state (units, G90/G91, motion, G41/G42 and D) and tells of
 * everything a control would refuse or could take in two ways. Never guesses silently.
 */
import { cappedFindings, type Finding } from "../base/finding.js";
import { foldedByCause } from "../base/folded.js";
import {
  type BlockWords,
  type EventTable,
  eventTable,
  sortBlock,
} from "./block-words.js";
import { changedLate, switchOffLate } from "./compensation-off.js";
import { presetPlace, selectDatum } from "./datum.js";
import type { ProgramText } from "./moves.js";
import { type Block, readBlocks, textFinding } from "./read.js";
import { runMove } from "./trace-move.js";
import { type Motion, place, type Tell, type Trace } from "./trace-state.js";
import type { ProgramEvent, WordTable } from "./words.js";

/** Reads a whole program: text in, what it says out. */
export function readProgram(text: string, words: WordTable): ProgramText {
  const { blocks, findings } = readBlocks(text);
  const first = traceBlocks(blocks, words, "from-start");
  // One such arc may be chance; where most are, they are meant.
  const { centred, misplaced } = first.trace;
  const { program } =
    misplaced > 1 && misplaced > centred / 2
      ? traceBlocks(blocks, words, "themselves")
      : first;
  return {
    ...program,
    findings: cappedFindings(
      foldedByCause([...findings, ...program.findings]),
      MOST_OF_A_CODE,
    ),
  };
}

/** What the blocks tell the machine to do. Lengths come out in mm, absolute. */
function traceBlocks(
  blocks: readonly Block[],
  words: WordTable,
  centres: Trace["centres"],
): { readonly program: ProgramText; readonly trace: Trace } {
  const trace: Trace = {
    actions: [],
    findings: [],
    state: {
      units: "mm",
      unitsSaid: false,
      beforeUnits: null,
      absolute: true,
      absoluteSaid: false,
      motion: null,
      x: null,
      y: null,
      datum: null,
      side: null,
      register: null,
      registerUsed: false,
      above: [],
      ended: false,
      feedColumn: 1,
    },
    centres,
    centred: 0,
    misplaced: 0,
    bare: 0,
    firstBare: "",
  };
  const counts: Record<string, number> = {};
  const known = eventTable(words);
  let spoken = 0;
  for (const block of blocks) {
    if (block.words.length === 0) {
      trace.state.above.push(...block.comments.map((c) => c.text));
      continue;
    }
    spoken++;
    for (const w of block.words)
      if (w.letter === "G" || w.letter === "M") {
        const name = `${w.letter}${w.digits.replace(/^\+/, "").padStart(2, "0")}`;
        counts[name] = (counts[name] ?? 0) + 1;
      }
    runBlock(block, known, trace);
    trace.state.above = [];
  }
  closingFindings(trace);
  const program = {
    units: trace.state.units,
    actions: trace.actions,
    blocks: spoken,
    words: Object.fromEntries(
      Object.entries(counts).sort(([a], [b]) => (a < b ? -1 : 1)),
    ),
    findings: trace.findings,
  };
  return { program, trace };
}

/** Within a block: units and modes, flushing on, the move, flushing off, thread or cut, stop, end (ISO 6983-1). */
function runBlock(block: Block, known: EventTable, trace: Trace): void {
  const { state, actions, findings } = trace;
  const { line } = block;
  const at = block.words[0]?.column ?? 1;
  const tell = (
    code: string,
    severity: Finding["severity"],
    message: string,
    column = at,
  ): void => {
    findings.push(textFinding(code, severity, line, column, message));
  };

  if (state.ended)
    tell(
      "program/after-end",
      "error",
      "a block stands after the program's end; the control never comes to it, or runs on: take it out",
    );
  const said = sortBlock(block, known, findings);
  const has: Has = (event) => said.events.has(event);
  const moves =
    !said.preset && Object.values(said.numbers).some((w) => w !== undefined);
  if (block.skip) {
    const harmless =
      !said.datum &&
      !said.preset &&
      [...said.events.keys()].every(
        (e) =>
          e === "stop" ||
          e === "optionalStop" ||
          e === "flushingOn" ||
          e === "flushingOff",
      );
    tell(
      "program/skipped-block",
      harmless && !moves ? "note" : "error",
      harmless && !moves
        ? "the operator may have this block left out (/); a stop in it counts as optional"
        : "the operator may have this block left out (/): with and without it are two programs; take the / or the block out",
    );
  }

  setModes(said, has, trace, tell);
  selectDatum(said, trace, tell);
  presetPlace(block, said, trace, tell);
  if (has("flushingOn")) actions.push({ kind: "flushing", line, on: true });

  const motion = motionOf(said, has, trace, tell);
  const changesWire = has("thread") || has("cutWire");
  if (moves) {
    if (changesWire)
      tell(
        "program/move-and-wire",
        "error",
        "a move and a change of the wire stand in one block; which comes first is up to the control: give each its own block",
      );
    if (motion === "rapid" && !has("compensationOff")) switchOffLate(trace);
    runMove(block, said, motion, trace, tell);
    if (motion !== "rapid") state.feedColumn = at;
  } else if (
    (has("line") || has("clockwise") || has("counterClockwise")) &&
    !has("compensationOff")
  )
    tell(
      "program/no-coordinates",
      "warning",
      "a feed word stands without coordinates: nothing moves",
    );

  const here = place(state);
  if (said.dwell && here) actions.push({ kind: "dwell", line, at: here });
  if (has("flushingOff")) actions.push({ kind: "flushing", line, on: false });
  if (has("thread") && has("cutWire"))
    tell(
      "program/two-of-a-kind",
      "error",
      "the block both threads and cuts the wire; give each its own block",
    );
  for (const kind of ["cut-wire", "thread"] as const) {
    if (!has(kind === "thread" ? "thread" : "cutWire")) continue;
    switchOffLate(trace);
    if (here) actions.push({ kind, line, at: here });
    else
      tell(
        "program/nowhere",
        "error",
        `the wire is ${kind === "thread" ? "threaded" : "cut"} before any X and Y were given; begin with G00 to the start hole`,
      );
  }
  if (has("stop") || has("optionalStop"))
    actions.push({
      kind: "stop",
      line,
      optional: !has("stop") || block.skip,
      comment: [...state.above, ...block.comments.map((c) => c.text)].join(" "),
    });
  if (has("end")) {
    switchOffLate(trace);
    actions.push({ kind: "end", line });
    state.ended = true;
  }
}

type Has = (event: ProgramEvent) => boolean;

function setModes(said: BlockWords, has: Has, trace: Trace, tell: Tell): void {
  const { state } = trace;
  if (has("inch") || has("mm")) {
    state.units = has("inch") ? "in" : "mm";
    state.unitsSaid = true;
  }
  if (has("absolute") || said.incremental) {
    state.absolute = !said.incremental;
    state.absoluteSaid = true;
  }
  changedLate(said, trace);
  const was = { side: state.side, register: state.register };
  if (said.register) {
    state.register = said.register.value;
    state.registerUsed = false;
  }
  if (has("compensationOff")) state.side = null;
  if (has("compensationLeft")) state.side = "left";
  if (has("compensationRight")) state.side = "right";
  if (!has("compensationLeft") && !has("compensationRight")) return;
  // A change of side or register while it is in force is the proof's to tell: it moves the wire.
  if (was.side === state.side && was.register === state.register)
    tell(
      "program/compensation-twice",
      "warning",
      "G41 or G42 stands while it is in force already; some controls refuse that (NISTIR 6556): take it out",
    );
  else if (was.side === null && state.registerUsed)
    tell(
      "program/register-kept",
      "warning",
      `G41 or G42 without a D: read with D${state.register}, which was called last; some controls want it said again`,
    );
  state.registerUsed = state.register !== null;
}

function motionOf(
  said: BlockWords,
  has: Has,
  trace: Trace,
  tell: Tell,
): Motion | null {
  const motions = (
    ["rapid", "line", "clockwise", "counterClockwise"] as const
  ).filter(has);
  if (motions.length > 1)
    tell(
      "program/two-of-a-kind",
      "error",
      `the block asks for ${motions.length} kinds of motion at once`,
      said.events.get(motions[1] as Motion) ?? 1,
    );
  const motion = motions[0];
  if (motion) trace.state.motion = motion;
  return trace.state.motion;
}

function closingFindings(trace: Trace): void {
  const { state, findings } = trace;
  if (!state.unitsSaid)
    findings.push({
      code: "program/no-units",
      severity: "warning",
      message:
        "the program says neither G70 nor G71: read as mm, but a control may stand on inches; say which",
    });
  else if (state.beforeUnits !== null)
    findings.push({
      code: "program/units-late",
      severity: "warning",
      message: `line ${state.beforeUnits}: coordinates stand before G70 or G71: read as mm, but a control may stand on inches; say which first`,
    });
  if (!state.absoluteSaid)
    findings.push({
      code: "program/no-absolute",
      severity: "note",
      message:
        "the program says neither G90 nor G91: read as G90, absolute coordinates",
    });
  if (trace.bare > 0)
    findings.push({
      code: "program/no-decimal-point",
      severity: "warning",
      message: `${trace.bare} coordinates have no decimal point (first: ${trace.firstBare}); read as whole units, but some controls count them in least increments: write the point`,
    });
  if (!state.ended)
    findings.push({
      code: "program/no-end",
      severity: "error",
      message:
        "the program has no end (M30): the file may be cut off; check its last lines",
    });
}

/** Findings of one code beyond this are counted, not listed. */
const MOST_OF_A_CODE = 20;
