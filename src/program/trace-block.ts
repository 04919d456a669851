/** One block run: its modes, its move, and what it does with flushing, wire and stops, in the order of ISO 6983-1. */
import type { Finding } from "../base/finding.js";
import { type BlockWords, type EventTable, sortBlock } from "./block-words.js";
import { changedLate, switchOffLate } from "./compensation-off.js";
import { presetPlace, selectDatum } from "./datum.js";
import { type Block, textFinding } from "./read.js";
import { runMove } from "./trace-move.js";
import { type Motion, place, type Tell, type Trace } from "./trace-state.js";
import type { ProgramEvent } from "./words.js";

/** Within a block: units and modes, flushing on, the move, flushing off, thread or cut, stop, end (ISO 6983-1). */
export function runBlock(block: Block, known: EventTable, trace: Trace): void {
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
    state.units = trace.reading.units ?? (has("inch") ? "in" : "mm");
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
