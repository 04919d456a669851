/**
 * Blocks → what the machine does, in order. Keeps the modal state (units, G90/G91, motion, G41/G42 and D) and tells of
 * everything a control would refuse or could take in two ways. Never guesses silently.
 */
import { cappedFindings, type Finding } from "../base/finding.js";
import { fixed, trimmed } from "../base/numbers.js";
import {
  ARC_RADIUS_AGREEMENT,
  ARC_RADIUS_REFUSED,
  SAME_POINT,
} from "../base/tolerance.js";
import { MM_PER_INCH } from "../base/units.js";
import { line as straight } from "../geometry/segment.js";
import { distance, type Vec } from "../geometry/vec.js";
import { type ReadArc, readArc } from "./arc-read.js";
import { type BlockWords, sortBlock } from "./block-words.js";
import type { Action, Compensation, ProgramText } from "./moves.js";
import { type Block, readBlocks, textFinding } from "./read.js";
import type { ProgramEvent, WordTable } from "./words.js";

type Motion = "rapid" | "line" | "clockwise" | "counterClockwise";

interface State {
  units: "mm" | "in";
  unitsSaid: boolean;
  absolute: boolean;
  absoluteSaid: boolean;
  motion: Motion | null;
  x: number | null;
  y: number | null;
  side: "left" | "right" | null;
  register: number | null;
  /** Comments on the lines right above. */
  above: string[];
  ended: boolean;
}

interface Trace {
  readonly actions: Action[];
  readonly findings: Finding[];
  readonly state: State;
  /** Coordinates without a decimal point: how many, and the first. */
  bare: number;
  firstBare: string;
}

/** Reads a whole program: text in, what it says out. */
export function readProgram(text: string, words: WordTable): ProgramText {
  const { blocks, findings } = readBlocks(text);
  const program = traceBlocks(blocks, words);
  return {
    ...program,
    findings: cappedFindings(
      [...findings, ...program.findings],
      MOST_OF_A_CODE,
    ),
  };
}

/** What the blocks tell the machine to do. Lengths come out in mm, absolute. */
export function traceBlocks(
  blocks: readonly Block[],
  words: WordTable,
): ProgramText {
  const trace: Trace = {
    actions: [],
    findings: [],
    state: {
      units: "mm",
      unitsSaid: false,
      absolute: true,
      absoluteSaid: false,
      motion: null,
      x: null,
      y: null,
      side: null,
      register: null,
      above: [],
      ended: false,
    },
    bare: 0,
    firstBare: "",
  };
  const counts: Record<string, number> = {};
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
    runBlock(block, words, trace);
    trace.state.above = [];
  }
  closingFindings(trace);
  return {
    units: trace.state.units,
    actions: trace.actions,
    blocks: spoken,
    words: Object.fromEntries(
      Object.entries(counts).sort(([a], [b]) => (a < b ? -1 : 1)),
    ),
    findings: trace.findings,
  };
}

/** Within a block: units and modes, flushing on, the move, flushing off, thread or cut, stop, end (ISO 6983-1). */
function runBlock(block: Block, table: WordTable, trace: Trace): void {
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
  const said = sortBlock(block, table, findings);
  const has: Has = (event) => said.events.has(event);
  const moves =
    said.numbers.X !== undefined ||
    said.numbers.Y !== undefined ||
    said.numbers.I !== undefined ||
    said.numbers.J !== undefined ||
    said.numbers.R !== undefined;
  if (block.skip) {
    const harmless = [...said.events.keys()].every(
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

  setModes(said, has, trace);
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
    runMove(block, said, motion, trace, tell);
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
  if (has("flushingOff")) actions.push({ kind: "flushing", line, on: false });
  if (has("thread") && has("cutWire"))
    tell(
      "program/two-of-a-kind",
      "error",
      "the block both threads and cuts the wire; give each its own block",
    );
  for (const kind of ["cut-wire", "thread"] as const) {
    if (!has(kind === "thread" ? "thread" : "cutWire")) continue;
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
    actions.push({ kind: "end", line });
    state.ended = true;
  }
}

type Tell = (
  code: string,
  severity: Finding["severity"],
  message: string,
  column?: number,
) => void;

type Has = (event: ProgramEvent) => boolean;

function setModes(said: BlockWords, has: Has, trace: Trace): void {
  const { state } = trace;
  if (has("inch") || has("mm")) {
    state.units = has("inch") ? "in" : "mm";
    state.unitsSaid = true;
  }
  if (has("absolute") || said.incremental) {
    state.absolute = !said.incremental;
    state.absoluteSaid = true;
  }
  if (said.register) state.register = said.register.value;
  if (has("compensationOff")) state.side = null;
  if (has("compensationLeft")) state.side = "left";
  if (has("compensationRight")) state.side = "right";
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

/** Where the machine is, once both coordinates are known. */
function place(state: State): Vec | null {
  return state.x === null || state.y === null
    ? null
    : { x: state.x, y: state.y };
}

function runMove(
  block: Block,
  said: BlockWords,
  motion: Motion | null,
  trace: Trace,
  tell: Tell,
): void {
  const { state, actions } = trace;
  const scale = state.units === "in" ? MM_PER_INCH : 1;
  const number = (letter: "X" | "Y" | "I" | "J" | "R"): number | null => {
    const word = said.numbers[letter];
    if (!word) return null;
    if (!word.digits.includes(".") && word.value !== 0) {
      if (trace.bare === 0)
        trace.firstBare = `line ${block.line}, column ${word.column}: ${letter}${word.digits}`;
      trace.bare++;
    }
    return word.value * scale;
  };
  const from = place(state);
  if (
    Object.values(said.numbers).some(
      (w) => !(Math.abs(w.value) * scale <= FARTHEST),
    )
  ) {
    tell(
      "program/out-of-range",
      "error",
      `a coordinate lies more than ${FARTHEST / 1000} m away: has a decimal point been lost? The block is passed over`,
    );
    return;
  }
  const x = number("X");
  const y = number("Y");
  const next = (
    given: number | null,
    was: number | null,
    letter: string,
  ): number | null => {
    if (given === null) return was;
    if (state.absolute) return given;
    if (was === null)
      tell(
        "program/nowhere",
        "error",
        `${letter} counts from a place that was never given (G91)`,
      );
    return (was ?? 0) + given;
  };
  state.x = next(x, state.x, "X");
  state.y = next(y, state.y, "Y");
  const to = place(state);
  if (motion === null) {
    tell(
      "program/no-motion",
      "error",
      "coordinates stand before any of G00 to G03: how to go there is not said",
    );
    return;
  }
  if (!to) {
    tell(
      "program/nowhere",
      "error",
      "the first move gives only one of X and Y: where it ends is not said",
    );
    return;
  }
  if (motion === "rapid") {
    if (state.side !== null)
      tell(
        "program/rapid-compensated",
        "error",
        "G00 with G41 or G42 in force: switch the compensation off first",
      );
    actions.push({ kind: "rapid", line: block.line, from: from ?? to, to });
    return;
  }
  if (!from) {
    tell(
      "program/nowhere",
      "error",
      "a feed begins before any X and Y were given; begin with G00 to the start hole",
    );
    return;
  }
  const compensation = compensationOf(state, tell);
  const feed = (segment: ReturnType<typeof straight>): void => {
    actions.push({ kind: "feed", line: block.line, segment, compensation });
  };
  if (motion === "line") {
    if (said.numbers.I || said.numbers.J || said.numbers.R)
      tell(
        "program/centre-on-a-line",
        "error",
        "a straight move carries I, J or R: is it G02 or G03?",
      );
    if (distance(from, to) > SAME_POINT) feed(straight(from, to));
    return;
  }
  const arc = readArc(
    from,
    to,
    { i: number("I"), j: number("J"), r: number("R") },
    motion === "counterClockwise",
  );
  if (!arcFindings(arc, tell)) {
    // The replay goes on along the chord, so that later faults are still found.
    if (distance(from, to) > SAME_POINT) feed(straight(from, to));
    return;
  }
  for (const segment of arc.segments)
    actions.push({ kind: "feed", line: block.line, segment, compensation });
}

function compensationOf(state: State, tell: Tell): Compensation | null {
  if (state.side === null) return null;
  if (state.register === null) {
    tell(
      "program/no-register",
      "error",
      "G41 or G42 without a D: the control does not know by how much",
    );
    return null;
  }
  return { side: state.side, register: state.register };
}

/** Tells what is wrong with an arc; true when it can be run. */
function arcFindings(
  arc: ReadArc,
  tell: Tell,
): arc is Extract<ReadArc, { kind: "arc" }> {
  switch (arc.kind) {
    case "arc": {
      if (arc.disagreement > ARC_RADIUS_REFUSED) {
        tell(
          "program/arc-radii",
          "error",
          `the radii at the arc's start and end differ by ${fixed(arc.disagreement, 4)} mm (at most ${ARC_RADIUS_REFUSED}): check X, Y, I and J`,
        );
        return false;
      }
      if (arc.disagreement > ARC_RADIUS_AGREEMENT + SAME_POINT)
        tell(
          "program/arc-radii",
          "warning",
          `the radii at the arc's start and end differ by ${trimmed(arc.disagreement, 4)} mm (better under ${ARC_RADIUS_AGREEMENT})`,
        );
      return true;
    }
    case "no-centre":
      tell(
        "program/arc-centre",
        "error",
        "an arc without I, J or R has no centre",
      );
      return false;
    case "zero-radius":
      tell(
        "program/arc-centre",
        "error",
        "the arc's centre is its own start or end: I and J count from the start",
      );
      return false;
    case "no-turn":
      tell(
        "program/arc-radii",
        "error",
        "the arc's ends lie in one direction from its centre: it does not turn",
      );
      return false;
    case "radius-too-short":
      tell(
        "program/arc-centre",
        "error",
        "no arc of that R reaches from start to end; a full circle needs I and J",
      );
      return false;
    case "large-radius-arc":
      tell(
        "program/arc-centre",
        "error",
        "a negative R means an arc over 180 degrees, which controls read differently: give I and J",
      );
      return false;
  }
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

/** mm: no wire machine reaches farther, by orders of magnitude. */
const FARTHEST = 100_000;

/** Findings of one code beyond this are counted, not listed. */
const MOST_OF_A_CODE = 20;
