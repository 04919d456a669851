/** The whole way from drawing to proof, off the page's own thread, so that the page never stands still. */
import {
  draftPlan,
  estimatePlan,
  InputError,
  inspect,
  NEUTRAL,
  type Order,
  type Outcome,
  outputFiles,
  planDrawing,
  readDrawing,
  readWordTable,
  replayWire,
  type WordTable,
  wirePathDxf,
} from "../../src/index.js";
import { type Desk, jobText } from "../desk/desk.js";
import { sceneOf } from "../picture/scene.js";
import { timelineOf } from "../replay/timeline.js";
import { lessonOf } from "../why/lesson.js";
import type { Ask, Fault, Reply, Task, TaskKind, Tasks } from "./messages.js";
import { sliced } from "./slices.js";

/** The last of each is kept: most changes leave the drawing as it is, and most tasks are about the desk just planned. */
interface Kept<T> {
  readonly key: string;
  readonly value: T;
}
let drawing: Kept<ReturnType<typeof readDrawing>> | null = null;
let draft: Kept<ReturnType<typeof draftPlan>> | null = null;
let outcome: Kept<Outcome> | null = null;

function remembered<T>(
  kept: Kept<T> | null,
  key: string,
  make: () => T,
): Kept<T> {
  return kept?.key === key ? kept : { key, value: make() };
}

addEventListener("message", ({ data }: MessageEvent<Ask>) => {
  const { id } = data;
  const say = (reply: Reply): void => postMessage(reply);
  try {
    const order = orderOf(
      data,
      seldom((stage) => say({ id, kind: "stage", stage })),
    );
    const { slices, rest } = sliced(answer(data, order));
    for (const slice of slices) say({ id, kind: "slice", ...slice });
    say({ id, kind: "done", answer: rest });
  } catch (error) {
    say({ id, kind: "fault", fault: faultOf(error) });
  }
});

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

function orderOf(
  { task: { desk }, drawing: serial }: Ask,
  onStage: (stage: string) => void,
): Order {
  return {
    name: desk.name,
    drawing: desk.drawing,
    job: jobText(desk.job),
    process: beside(desk, desk.job.process),
    words: wordsOf(desk),
    drawingUnit: desk.drawingUnit ?? undefined,
    onStage,
    read(bytes, options) {
      const key = `${serial} ${JSON.stringify(options)}`;
      drawing = remembered(drawing, key, () => readDrawing(bytes, options));
      return drawing.value;
    },
  };
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

function answer({ task, desk }: Ask, order: Order): Tasks[TaskKind]["answer"] {
  switch (task.kind) {
    case "draft": {
      draft = remembered(draft, String(desk), () => draftPlan(order));
      const { plan, drawing } = draft.value;
      return {
        plan,
        estimate: estimatePlan(plan),
        drawnIn: drawing.units,
        scene: sceneOf(plan),
      };
    }
    case "inspect":
      return inspect(order);
    default:
      outcome = remembered(outcome, String(desk), () => planDrawing(order));
      return answerFrom(outcome.value, task);
  }
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
