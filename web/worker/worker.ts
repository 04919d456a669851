/** The whole way from drawing to proof, off the page's own thread, so that the page never stands still. */
import {
  type Draft,
  type Drawing,
  draftPlan,
  drawingOf,
  estimatePlan,
  InputError,
  inspect,
  type JobFile,
  NEUTRAL,
  type Order,
  type Outcome,
  outputFiles,
  proveDraft,
  readDrawing,
  readWordTable,
  replayWire,
  type WordTable,
  wirePathDxf,
} from "../../src/index.js";
import { type Desk, jobText } from "../desk/desk.js";
import { inUnits } from "../desk/units.js";
import { sceneOf } from "../picture/scene.js";
import { timelineOf } from "../replay/timeline.js";
import { lessonOf } from "../why/lesson.js";
import {
  type Ask,
  type Fault,
  movedIn,
  type Reply,
  type Task,
  type TaskKind,
  type Tasks,
} from "./messages.js";
import { sliced } from "./slices.js";

/** The last of each is kept: most changes leave the drawing as it is, and most tasks are about the desk just planned. */
interface Kept<T> {
  readonly key: string;
  readonly value: T;
}
let drawing: Kept<Drawing> | null = null;
let draft: Kept<Draft> | null = null;
let outcome: Kept<Outcome> | null = null;

/** What the worker that drafts leaves for the one that proves: neither reads nor plans twice. */
interface Copy {
  readonly drawing: Kept<Drawing> | null;
  readonly draft: Kept<Draft> | null;
}

function remembered<T>(
  kept: Kept<T> | null,
  key: string,
  make: () => T,
): Kept<T> {
  return kept?.key === key ? kept : { key, value: make() };
}

export function serveTasks(): void {
  addEventListener("message", async ({ data }: MessageEvent<Ask>) => {
    const { id } = data;
    const say = (reply: Reply, moved: MessagePort[] = []): void =>
      postMessage(reply, { transfer: moved });
    try {
      const { task } = data;
      if (task.kind === "prove")
        ({ drawing, draft } = await copyFrom(task.order as MessagePort));
      const order = orderOf(
        data,
        seldom((stage) => say({ id, kind: "stage", stage })),
      );
      const { slices, rest } = sliced(answer(task, order));
      for (const slice of slices) say({ id, kind: "slice", ...slice });
      say({ id, kind: "done", answer: rest }, movedIn(rest));
    } catch (error) {
      say({ id, kind: "fault", fault: faultOf(error) });
    }
  });
}

/** The copy lies there already: it was sent before the page was told of the draft. */
function copyFrom(port: MessagePort): Promise<Copy> {
  return new Promise((resolve) => {
    port.onmessage = ({ data }: MessageEvent<Copy>) => {
      port.close();
      resolve(data);
    };
  });
}

function copyTo(): MessagePort {
  const { port1, port2 } = new MessageChannel();
  port1.postMessage({ drawing, draft } satisfies Copy);
  return port2;
}

/** ms between two counts of one stage: nobody reads faster, and each costs the page a little. */
const TELL_MS = 150;

/** Passes on each stage as it begins, and how far it is ("planning, 40 of 400 …") now and then. */
function seldom(tell: (stage: string) => void): (stage: string) => void {
  let [of, at] = ["", 0];
  return (stage) => {
    const [name = ""] = stage.split(",");
    const now = performance.now();
    if (name === of && now - at < TELL_MS) return;
    [of, at] = [name, now];
    tell(stage);
  };
}

/** What a task asks of `src`. */
interface Asked extends Order {
  readonly jobFile: JobFile;
  /** Equal for equal desks, so that nothing is worked out again. */
  readonly key: string;
}

function orderOf(
  { task: { desk }, drawing: serial }: Ask,
  onStage: (stage: string) => void,
): Asked {
  const withJob = (job: JobFile): Order => ({
    name: desk.name,
    drawing: desk.drawing,
    job: jobText(job),
    process: beside(desk, desk.job.process),
    words: wordsOf(desk),
    drawingUnit: desk.drawingUnit ?? undefined,
    onStage,
    read(bytes, { fallbackUnit, ...options } = {}) {
      // A drawing that could be read without says its unit itself.
      const key = `${serial} ${JSON.stringify(options)}`;
      if (drawing?.key === key) return drawing.value;
      drawing = remembered(drawing, `${key} ${fallbackUnit ?? ""}`.trim(), () =>
        readDrawing(bytes, {
          ...options,
          ...(fallbackUnit && { fallbackUnit }),
        }),
      );
      return drawing.value;
    },
  });
  const order = withJob(desk.job);
  const jobFile = desk.job.units ? desk.job : inOwnUnit(desk.job, order);
  const { name, drawingUnit, beside: files } = desk;
  return {
    ...withJob(jobFile),
    jobFile,
    key: `${serial} ${JSON.stringify([name, drawingUnit, jobFile, Object.entries(files)])}`,
  };
}

/** Nobody has said in which unit to work: then in the drawing's own. */
function inOwnUnit(job: JobFile, order: Order): JobFile {
  return inUnits(job, drawingOf(order).units.drawing === "in" ? "in" : "mm");
}

function beside({ beside }: Desk, name?: string): string | undefined {
  return name !== undefined && Object.hasOwn(beside, name)
    ? beside[name]
    : undefined;
}

/** @throws {InputError} when the job names a word table that does not lie on the desk. */
function wordsOf(desk: Desk): WordTable {
  const name = desk.job.program?.words ?? "neutral";
  if (name === "neutral") return NEUTRAL;
  const text = beside(desk, name);
  if (text === undefined)
    throw new InputError(
      "words/not-given",
      `the job writes its program in the words of "${name}", but that table was not given; add the file in step 5, or leave "program.words" out`,
    );
  return readWordTable(text);
}

function answer(task: Task, order: Asked): Tasks[TaskKind]["answer"] {
  switch (task.kind) {
    case "draft": {
      const { plan, drawing } = draftOf(order);
      return {
        plan,
        estimate: estimatePlan(plan),
        drawnIn: drawing.units,
        job: order.jobFile,
        scene: sceneOf(plan),
        forProof: copyTo(),
      };
    }
    case "inspect":
      return inspect(order);
    default:
      outcome = remembered(outcome, order.key, () =>
        proveDraft(draftOf(order), order),
      );
      return answerFrom(outcome.value, task);
  }
}

function draftOf(order: Asked): Draft {
  draft = remembered(draft, order.key, () => draftPlan(order));
  return draft.value;
}

function answerFrom(
  of: Outcome,
  task: Exclude<Task, { kind: "draft" | "inspect" }>,
): Tasks["prove" | "papers" | "lesson"]["answer"] {
  switch (task.kind) {
    case "prove": {
      const { ok, program, proof, findings, read } = of;
      const timeline = read && timelineOf(read, replayWire(read, of.plan.job));
      return { ok, program, proof, findings, timeline };
    }
    case "papers":
      return [
        ...outputFiles(of),
        { name: `${of.plan.name}.paths.dxf`, text: wirePathDxf(of.plan) },
      ];
    case "lesson":
      return lessonOf(task.order, of.plan, of.program, of.laidOut);
  }
}

function faultOf(error: unknown): Fault {
  if (error instanceof InputError)
    return { code: error.code, message: error.message };
  return {
    code: "page/own-fault",
    message: `this is a fault of ours, not of your drawing: ${String(error)}; please report it with the desk file`,
  };
}
