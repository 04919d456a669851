/** A block's move: coordinates by units and G90/G91, then a rapid, a line or an arc. */
import { fixed, trimmed } from "../base/numbers.js";
import {
  ARC_RADIUS_AGREEMENT,
  ARC_RADIUS_REFUSED,
  FARTHEST_WRITTEN,
  LARGEST_WRITTEN_RADIUS,
  SAME_POINT,
} from "../base/tolerance.js";
import { MM_PER_INCH } from "../base/units.js";
import { line as straight } from "../geometry/segment.js";
import { distance, type Vec } from "../geometry/vec.js";
import { type ArcWords, type ReadArc, readArc } from "./arc-read.js";
import type { BlockWords } from "./block-words.js";
import type { Compensation } from "./moves.js";
import type { Block, Word } from "./read.js";
import {
  type Motion,
  place,
  type State,
  type Tell,
  type Trace,
} from "./trace-state.js";

export function runMove(
  block: Block,
  said: BlockWords,
  motion: Motion | null,
  trace: Trace,
  tell: Tell,
): void {
  const { state, actions } = trace;
  if (!state.unitsSaid) state.beforeUnits ??= block.line;
  const number = (letter: "X" | "Y" | "I" | "J" | "R"): number | null => {
    const word = said.numbers[letter];
    return word ? lengthOf(word, block, trace) : null;
  };
  const from = place(state);
  if (
    Object.entries(said.numbers).some(
      ([letter, w]) =>
        !(
          Math.abs(mmOf(w, trace)) <=
          (letter === "X" || letter === "Y"
            ? FARTHEST_WRITTEN
            : LARGEST_WRITTEN_RADIUS)
        ),
    )
  ) {
    tell(
      "program/out-of-range",
      "error",
      `a coordinate lies more than ${Math.round(FARTHEST_WRITTEN / 1000)} m away: has a decimal point been lost? The block is passed over`,
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
    // With G40 the wire moves even where the program stays: from beside its point onto it.
    if (distance(from, to) > SAME_POINT || said.events.has("compensationOff"))
      feed(straight(from, to));
    return;
  }
  if (said.numbers.R && (said.numbers.I || said.numbers.J))
    tell(
      "program/two-of-a-kind",
      "error",
      "the arc has both R and I or J; which holds is up to the control: leave R out",
      said.numbers.R.column,
    );
  const words = { i: number("I"), j: number("J"), r: number("R") };
  const around = motion === "counterClockwise";
  const relative = readArc(from, to, words, around);
  const arc =
    centreItself(relative, from, to, words, around, trace, tell) ?? relative;
  if (!arcFindings(arc, stepOf(said, trace), tell)) {
    // The replay goes on along the chord, so that later faults are still found.
    if (distance(from, to) > SAME_POINT) feed(straight(from, to));
    return;
  }
  for (const segment of arc.segments)
    actions.push({ kind: "feed", line: block.line, segment, compensation });
}

/** mm in one unit of a coordinate. */
const unitOf = (state: State): number =>
  state.units === "in" ? MM_PER_INCH : 1;

const isBare = ({ digits }: Word): boolean => !digits.includes(".");

/** mm that a coordinate says. */
export const mmOf = (word: Word, { state, reading }: Trace): number =>
  word.value *
  (isBare(word) && reading.increment ? reading.increment : unitOf(state));

/** mm that a coordinate says; one without a decimal point is counted. */
export function lengthOf(word: Word, block: Block, trace: Trace): number {
  if (isBare(word) && word.value !== 0 && !trace.reading.increment) {
    if (trace.bare === 0)
      trace.firstBare = `line ${block.line}, column ${word.column}: ${word.letter}${word.digits}`;
    trace.bare++;
  }
  return mmOf(word, trace);
}

function compensationOf(state: State, tell: Tell): Compensation | null {
  if (state.side === null) return null;
  if (state.register === null) {
    tell(
      "program/no-register",
      "error",
      "G41 or G42 without a D: the control does not know by how much; read on without",
    );
    state.side = null;
    return null;
  }
  return { side: state.side, register: state.register };
}

/** Of an arc that cannot be run the one about I J itself, if that is what they are taken for; else, or if that is none, null. */
function centreItself(
  relative: ReadArc,
  from: Vec,
  to: Vec,
  { i, j }: ArcWords,
  around: boolean,
  trace: Trace,
  tell: Tell,
): ReadArc | null {
  if (i === null || j === null || !trace.state.absolute) return null;
  trace.centred++;
  if (relative.kind === "arc" && relative.disagreement <= ARC_RADIUS_REFUSED)
    return null;
  const words = { i: i - from.x, j: j - from.y, r: null };
  const arc = readArc(from, to, words, around);
  if (arc.kind !== "arc" || arc.disagreement > ARC_RADIUS_AGREEMENT)
    return null;
  trace.misplaced++;
  if (trace.centres === "from-start") return null;
  tell(
    "program/arc-centre",
    "error",
    "I and J are the centre's own coordinates, and in ISO 6983-1 they count from the arc's start: take the start's X and Y off them; read as they are meant",
  );
  return arc;
}

/** mm: the step in which a block's coordinates are given, that of the one with the most figures. */
function stepOf({ numbers }: BlockWords, trace: Trace): number {
  const decimals = Object.values(numbers).map(
    ({ digits }) => digits.split(".")[1]?.length ?? 0,
  );
  const most = Math.max(0, ...decimals);
  return most === 0 && trace.reading.increment
    ? trace.reading.increment
    : unitOf(trace.state) * 10 ** -most;
}

/** Radii of an arc with its end and centre rounded to a grid differ by up to so many steps of it: √2 and as much again. */
const ROUNDED_STEPS = 2 * Math.SQRT2;

/** Tells what is wrong with an arc given in steps of so many mm; true when it can be run. */
function arcFindings(
  arc: ReadArc,
  step: number,
  tell: Tell,
): arc is Extract<ReadArc, { kind: "arc" }> {
  switch (arc.kind) {
    case "arc": {
      const coarse =
        step > ARC_RADIUS_AGREEMENT && arc.disagreement <= ROUNDED_STEPS * step
          ? `; steps of ${trimmed(step, 6)} mm round by as much: write coordinates with more decimals`
          : "";
      if (arc.disagreement > ARC_RADIUS_REFUSED) {
        tell(
          "program/arc-radii",
          "error",
          `the radii at the arc's start and end differ by ${fixed(arc.disagreement, 4)} mm (at most ${ARC_RADIUS_REFUSED} mm)${coarse || ": check X, Y, I and J"}`,
        );
        return false;
      }
      if (arc.disagreement > ARC_RADIUS_AGREEMENT + SAME_POINT)
        tell(
          "program/arc-radii",
          "warning",
          `the radii at the arc's start and end differ by ${trimmed(arc.disagreement, 4)} mm (better under ${ARC_RADIUS_AGREEMENT} mm)${coarse}`,
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
