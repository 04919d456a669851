/** The whole way as pure functions: drawing and job in, plan, program, proof and papers out. No files, no clock. */
import { type Finding, hasErrors } from "./base/finding.js";
import type { LengthUnit } from "./base/units.js";
import type { Drawing } from "./drawing/drawing.js";
import { readDrawing } from "./drawing/read-drawing.js";
import type { ReadPhase } from "./drawing/read-options.js";
import { type JobFile, readJobFile } from "./plan/job/file.js";
import type { Job, JobOverrides } from "./plan/job/job.js";
import { settleJob } from "./plan/job/job.js";
import {
  layersToRead,
  requireLayers,
  requireLineTypes,
} from "./plan/layout/layer-choice.js";
import { type LaidOut, layOut } from "./plan/layout/layout.js";
import { makePlan, withFittedPasses } from "./plan/make-plan.js";
import type { Plan } from "./plan/plan.js";
import { type ProcessTable, readProcessTable } from "./process/table.js";
import type { ProgramText } from "./program/moves.js";
import { requireProgramText } from "./program/read.js";
import { readProgram } from "./program/trace.js";
import { NEUTRAL, type WordTable } from "./program/words.js";
import { writeProgram } from "./program/write.js";
import { proveAsMeant } from "./proof/meant.js";
import type { Proof } from "./proof/proof.js";
import { prove } from "./proof/prove.js";
import { type Inspection, inspectDrawing } from "./report/inspection.js";
import { drawInspection, type Inspected } from "./report/inspection-drawing.js";
import { drawPreview } from "./report/preview.js";
import { drawProof } from "./report/proof-picture.js";
import { proofTable } from "./report/proof-table.js";
import { setupSheet } from "./report/setup-sheet.js";

/** A drawing and what is to be done with it. */
export interface Order {
  /** The drawing's name without its ending; the files are named after it. */
  readonly name: string;
  /** DXF or SVG, as bytes or as text. */
  readonly drawing: Uint8Array | string;
  /** Text of a job file; absent: defaults. */
  readonly job?: string | undefined;
  readonly overrides?: JobOverrides | undefined;
  /** The drawing's unit, whatever it says itself. A drawing that says none is taken to be in the job's `units`. */
  readonly drawingUnit?: "mm" | "in" | "px" | undefined;
  /** Text of the process table that the job's `process` names. */
  readonly process?: string | undefined;
  readonly words?: WordTable | undefined;
  /** Reads the drawing; whoever plans one drawing again and again gives a reader that remembers it. */
  readonly read?: typeof readDrawing | undefined;
  /** Told which stage begins, e.g. to show progress. */
  readonly onStage?: ((stage: string) => void) | undefined;
  /** Called every few milliseconds to tenths of a second while the drawing is read; what it throws ends that and comes out as it is. */
  readonly onStep?: (() => void) | undefined;
}

export interface OutputFile {
  readonly name: string;
  readonly text: string;
}

export interface Outcome {
  /** No error finding, and the proof holds. */
  readonly ok: boolean;
  readonly plan: Plan;
  /** What the plan was made for and the program was proved against. */
  readonly laidOut: LaidOut;
  /** The program's text, also when it may not be used; `null` when there was an error before it. */
  readonly program: string | null;
  /** The program's text read back. */
  readonly read: ProgramText | null;
  readonly proof: Proof | null;
  readonly findings: readonly Finding[];
}

/** Outlines at least that are planned between two words of how far it is, and words at most. */
const TELL_EVERY = 20;
const TELLS = 20;

interface Opened {
  readonly drawing: Drawing;
  readonly job: Job;
  /** What the job says itself. */
  readonly unitSaid: LengthUnit | undefined;
  readonly table: ProcessTable | undefined;
  readonly laidOut: LaidOut;
}

const DOING: Readonly<Record<ReadPhase, string>> = {
  tags: "taking in the file",
  entities: "placing what is drawn",
  chaining: "joining ends",
  crossings: "looking for crossings",
  nesting: "looking what lies in what",
};

interface Read {
  readonly drawing: Drawing;
  readonly file: JobFile;
  readonly job: Job;
  readonly table: ProcessTable | undefined;
}

/**
 * Reads the drawing as the job says, and no more: e.g. to learn its unit.
 *
 * @throws {InputError} when drawing or job cannot be used at all.
 */
export function drawingOf(order: Order): Drawing {
  return read(order).drawing;
}

function read(order: Order): Read {
  const file = order.job === undefined ? {} : readJobFile(order.job);
  const table =
    order.process === undefined ? undefined : readProcessTable(order.process);
  const job = settleJob(file, order.overrides, table);
  order.onStage?.("reading the drawing");
  let phase: ReadPhase | null = null;
  const drawing = (order.read ?? readDrawing)(order.drawing, {
    ...(order.drawingUnit && { unit: order.drawingUnit }),
    ...(file.units && { fallbackUnit: file.units }),
    ...layersToRead(job),
    chainGap: job.drawing.gap,
    curveFit: job.drawing.fit,
    ...(job.drawing.refit !== null && { refit: job.drawing.refit }),
    onStep: (now) => {
      if (now !== phase) order.onStage?.(`reading the drawing, ${DOING[now]}`);
      phase = now;
      order.onStep?.();
    },
  });
  return { drawing, file, job, table };
}

function open(order: Order): Opened {
  const { drawing, file, job, table } = read(order);
  requireLayers(drawing, job);
  requireLineTypes(drawing, job);
  return {
    drawing,
    job,
    unitSaid: file.units,
    table,
    laidOut: layOut(drawing, job),
  };
}

/** A plan that no program has been written for yet. */
export interface Draft {
  readonly drawing: Drawing;
  readonly laidOut: LaidOut;
  readonly plan: Plan;
}

/**
 * Plans only, e.g. to show a picture before the rest is done.
 *
 * @throws {InputError} when drawing or job cannot be used at all.
 */
export function draftPlan(order: Order): Draft {
  const { drawing, job, laidOut } = open(order);
  order.onStage?.("planning");
  return {
    drawing,
    laidOut,
    plan: makePlan(laidOut, job, order.name, laidOut, (done, of) => {
      const step = Math.max(TELL_EVERY, Math.ceil(of / TELLS));
      if (done > 0 && done % step === 0)
        order.onStage?.(`planning, ${done} of ${of} outlines done`);
    }),
  };
}

/**
 * Plans, writes and proves.
 *
 * @throws {InputError} when drawing or job cannot be used at all.
 */
export function planDrawing(order: Order): Outcome {
  return proveDraft(draftPlan(order), order);
}

/** Writes and proves what is planned already. */
export function proveDraft(
  { laidOut, plan }: Draft,
  order: Pick<Order, "words" | "onStage">,
): Outcome {
  if (hasErrors(plan.findings)) {
    return {
      ok: false,
      plan,
      laidOut,
      program: null,
      read: null,
      proof: null,
      findings: plan.findings,
    };
  }
  const words = order.words ?? NEUTRAL;
  order.onStage?.("writing the program");
  const program = writeProgram(plan, words);
  order.onStage?.("proving the program");
  const read = readProgram(program, words);
  let told = 0;
  const proof = prove(read, laidOut, plan.job, (done, total) => {
    const share = Math.floor((TELLS * done) / total);
    if (share > told)
      order.onStage?.(
        `proving the program, ${Math.floor((100 * share) / TELLS)} % done`,
      );
    told = Math.max(told, share);
  });
  // What stays in tight corners the plan has said already.
  const news = proof.findings.filter((f) => f.severity !== "note");
  const findings = [...plan.findings, ...news];
  return {
    ok: proof.ok && !hasErrors(findings),
    plan,
    laidOut,
    program,
    read,
    proof,
    findings,
  };
}

/** The files of an outcome. The program is among them only when it is proved. */
export function outputFiles(outcome: Outcome): OutputFile[] {
  const { plan, program, proof, ok, read } = outcome;
  const files = [
    { name: `${plan.name}.svg`, text: drawPreview(plan, read ?? undefined) },
    { name: `${plan.name}.setup.html`, text: setupSheet(plan, proof) },
    {
      name: `${plan.name}.plan.json`,
      text: `${JSON.stringify(plan, null, 1)}\n`,
    },
  ];
  return ok && program !== null
    ? [{ name: `${plan.name}.iso`, text: program }, ...files]
    : files;
}

/** Says what is in a drawing. */
export function inspect(order: Order): Inspection {
  return lookInto(order).inspection;
}

/** The same, and as a picture. */
export function inspectWithPicture(order: Order): {
  readonly inspection: Inspection;
  readonly picture: string;
} {
  const inspected = lookInto(order);
  order.onStage?.("drawing");
  return {
    inspection: inspected.inspection,
    picture: drawInspection(order.name, inspected),
  };
}

function lookInto(order: Order): Inspected {
  const { drawing, job, unitSaid, table, laidOut } = open(order);
  order.onStage?.("measuring");
  const own = drawing.units.drawing === "in" ? "in" : "mm";
  const shownIn = unitSaid ?? own;
  const inspection = inspectDrawing(drawing, laidOut, job, shownIn, table);
  return { drawing, laidOut, job, inspection };
}

/** A program proved, and what was looked at. */
export interface Checked {
  readonly proof: Proof;
  readonly job: Job;
  /** What was measured, as a table for people. */
  readonly table: string;
  /** Draws what was cut and where it is wrong, as SVG. */
  readonly picture: () => string;
}

/** Proves a program, ours or typed by hand, against a drawing and a job. */
export function check(order: Order, program: string): Proof {
  return checkInFull(order, program).proof;
}

/** The same with a table and a picture. */
export function checkInFull(order: Order, program: string): Checked {
  requireProgramText(program);
  const { job, laidOut } = open(order);
  order.onStage?.("proving the program");
  const { proof: proved, moves } = proveAsMeant(
    (reading) => readProgram(program, order.words ?? NEUTRAL, reading),
    laidOut,
    withFittedPasses(laidOut, job),
  );
  const findings = [...laidOut.findings, ...proved.findings];
  const proof = {
    ...proved,
    findings,
    ok: proved.ok && !hasErrors(findings),
  };
  return {
    proof,
    job,
    table: proofTable(proof, job),
    picture: () => drawProof(order.name, laidOut, moves, proof, job.units),
  };
}
