/**
 * Plan → the text of a program (ISO 6983-1). Every coordinate lies on the job's grid; what a machine calls its events
 * comes from the word table. The same plan gives the same text, byte for byte.
 */
import { InputError } from "../base/finding.js";
import { fixed, trimmed } from "../base/numbers.js";
import { mmPer } from "../base/units.js";
import {
  type GridMove,
  type GridPoint,
  gridPath,
  onGrid,
} from "../geometry/grid-path.js";
import type { Vec } from "../geometry/vec.js";
import {
  type Job,
  type Pass,
  passesOf,
  registerOf,
  registersOf,
} from "../plan/job/job.js";
import type { Cut, Plan, Stop, Stroke } from "../plan/plan.js";
import { asciiComment, commentLines, PROGRAM_COLUMNS } from "./comment-text.js";
import type { WordTable } from "./words.js";

/** A line to come: a numbered block, or a comment of its own. */
type Line =
  | { readonly kind: "block"; readonly text: string }
  | { readonly kind: "comment"; readonly text: string };

interface Writer {
  readonly job: Job;
  readonly words: WordTable;
  readonly lines: Line[];
  /** Grid width in mm and in the program's unit, and the decimals it takes. */
  readonly step: number;
  readonly unitStep: number;
  readonly decimals: number;
  at: GridPoint | null;
}

/**
 * The program of a plan.
 *
 * @throws {InputError} `words/no-compensation` when the job wants G41/G42 and the word table has none.
 */
export function writeProgram(plan: Plan, words: WordTable): string {
  const { job } = plan;
  if (
    job.program.compensation === "control" &&
    [
      words.compensationLeft,
      words.compensationRight,
      words.compensationOff,
    ].includes("")
  )
    throw new InputError(
      "words/no-compensation",
      `the job wants the control to offset the wire, but the word table "${words.name}" has no words for it; fill in compensationLeft, compensationRight and compensationOff, or set program.compensation to "path"`,
    );
  const unitStep = job.program.resolution / mmPer(job.units);
  const writer: Writer = {
    job,
    words,
    lines: [],
    step: job.program.resolution,
    unitStep,
    decimals: decimalsOf(unitStep),
    at: null,
  };
  for (const text of headerOf(plan, writer)) comment(writer, text);
  block(
    writer,
    job.units === "in" ? words.inch : words.mm,
    words.absolute,
    words.plane,
    words.compensationOff,
  );
  for (const step of plan.steps)
    if (step.kind === "stop") writeStop(writer, step);
    else writeCut(writer, step);
  block(writer, words.end);
  return ["%", ...numbered(writer.lines), "%", ""].join("\n");
}

/** N0010, N0020…, wider when the program is long. */
function numbered(lines: readonly Line[]): string[] {
  const blocks = lines.filter((l) => l.kind === "block").length;
  const width = Math.max(4, String(blocks * 10).length);
  let n = 0;
  return lines.map((l) => {
    if (l.kind === "comment") return l.text;
    n += 10;
    return `N${String(n).padStart(width, "0")} ${l.text}`;
  });
}

/** Digits after the point that show every multiple of `step`: 4 for 0.0001 and 0.0005; never none, never over 7. */
function decimalsOf(step: number): number {
  let d = 1;
  while (d < 7 && Number(fixed(step, d)) !== Number(fixed(step, 9))) d++;
  return d;
}

function headerOf(plan: Plan, w: Writer): string[] {
  const { job } = plan;
  const unit = job.units;
  const long = (mm: number): string =>
    `${trimmed(mm / mmPer(unit), 4)} ${unit}`;
  const passes = job.passes.map((p) => `${passText(p, w)}`);
  return [
    `job ${plan.name}`,
    `material ${job.stock.material}, thickness ${long(job.stock.thickness)}`,
    `wire ${job.wire.material} ${long(job.wire.diameter)}`,
    ...passes,
    ...(job.program.compensation === "control"
      ? [
          "the program is the outline: the control offsets the wire, set before you start",
          ...registersOf(job).map(
            ({ number, pass, feature }) =>
              `${w.words.register}${number} = ${offsetText(pass, w)} ${unit}${feature === null ? "" : ` for ${feature}, pass ${pass.number}`}`,
          ),
        ]
      : ["the program is the path of the wire's centre"]),
    "verify on your machine with a test cut, by a trained operator",
  ];
}

const offsetText = (p: Pass, w: Writer): string =>
  fixed(p.offset / mmPer(w.job.units), w.decimals);

const passText = (p: Pass, w: Writer): string =>
  `pass ${p.number} ${p.kind}: offset ${offsetText(p, w)} ${w.job.units}`;

function comment(w: Writer, text: string): void {
  for (const line of commentLines(text))
    w.lines.push({ kind: "comment", text: line });
}

/** One block of the words that are there; an event without words on this control writes nothing. */
function block(w: Writer, ...words: readonly string[]): void {
  const text = words.filter((word) => word !== "").join(" ");
  if (text !== "") w.lines.push({ kind: "block", text });
}

/** The stop, its reason in the block itself, or above it where the line is too short; the feature is always named. */
function writeStop(w: Writer, stop: Stop): void {
  const named =
    stop.feature === null || stop.reason.startsWith(`${stop.feature}:`)
      ? stop.reason
      : `${stop.feature}: ${stop.reason}`;
  const reason = asciiComment(named);
  // "N", up to eight digits and blanks stand before it.
  const room = PROGRAM_COLUMNS - 12 - w.words.stop.length;
  if (reason.length <= room) {
    block(w, w.words.stop, `(${reason})`);
    return;
  }
  comment(w, named);
  block(
    w,
    w.words.stop,
    `(${asciiComment(stop.feature ?? stop.action).slice(0, room)})`,
  );
}

function writeCut(w: Writer, cut: Cut): void {
  rapid(w, cut.thread);
  block(w, w.words.thread);
  block(w, w.words.flushingOn);
  for (const p of cut.lead) lineTo(w, p);
  for (const stroke of cut.strokes) writeStroke(w, cut, stroke);
  block(w, w.words.flushingOff);
  block(w, w.words.cutWire);
}

function writeStroke(w: Writer, cut: Cut, stroke: Stroke): void {
  const pass = passesOf(w.job, cut.feature)[stroke.pass - 1] as Pass;
  comment(
    w,
    `${cut.feature} pass ${pass.number} ${pass.kind}, ${stroke.stretch === "inside" ? "inside cut away" : stroke.stretch === "slit" ? "on the line" : `offset ${offsetText(pass, w)}, ${stroke.stretch} stretch`}`,
  );
  lineTo(w, stroke.from);
  const beside = stroke.stretch === "open" || stroke.stretch === "tab";
  const control = beside && w.job.program.compensation === "control";
  const route = control ? stroke.outline : stroke.path;
  const { start, moves } = gridPath(route, w.step, beside ? stroke.side : null);
  if (control) {
    const side =
      stroke.side === "left"
        ? w.words.compensationLeft
        : w.words.compensationRight;
    lineToPlace(
      w,
      start,
      side,
      `${w.words.register}${registerOf(w.job, cut.feature, pass)}`,
    );
  } else lineToPlace(w, start);
  for (const move of moves) writeMove(w, move);
  if (control) lineTo(w, stroke.to, w.words.compensationOff);
  else lineTo(w, stroke.to);
}

function rapid(w: Writer, to: Vec): void {
  const p = onGrid(to, w.step);
  block(w, w.words.rapid, coordinates(w, p));
  w.at = p;
}

function lineTo(w: Writer, to: Vec, mode = ""): void {
  lineToPlace(w, onGrid(to, w.step), mode);
}

/** A straight feed; `mode` words stand with it (compensation on or off). Left out when it leads nowhere. */
function lineToPlace(w: Writer, p: GridPoint, mode = "", register = ""): void {
  if (w.at && w.at.x === p.x && w.at.y === p.y && mode === "") return;
  block(w, mode, w.words.line, coordinates(w, p), register);
  w.at = p;
}

function writeMove(w: Writer, move: GridMove): void {
  if (move.kind === "line") block(w, w.words.line, coordinates(w, move.to));
  else
    block(
      w,
      move.counterClockwise ? w.words.counterClockwise : w.words.clockwise,
      coordinates(w, move.to),
      `I${number(w, move.i)} J${number(w, move.j)}`,
    );
  w.at = move.to;
}

const number = (w: Writer, steps: number): string =>
  fixed(steps * w.unitStep, w.decimals);

const coordinates = (w: Writer, p: GridPoint): string =>
  `X${number(w, p.x)} Y${number(w, p.y)}`;
