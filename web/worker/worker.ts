/** The whole way from drawing to proof, off the page's own thread, so that the page never stands still. */
import {
  estimatePlan,
  InputError,
  inspect,
  type Order,
  type Outcome,
  outputFiles,
  planDrawing,
  replayWire,
  wirePathDxf,
} from "../../src/index.js";
import { type Desk, jobText } from "../desk/desk.js";
import { lessonOf } from "../why/lesson.js";
import type { Ask, Reply, Task, TaskKind, Tasks } from "./messages.js";

let last: { readonly desk: number; readonly outcome: Outcome } | null = null;

addEventListener(
  "message",
  ({ data: { id, desk, task } }: MessageEvent<Ask>) => {
    const say = (reply: Reply): void => postMessage(reply);
    try {
      if (last?.desk !== desk) {
        const outcome = planDrawing(
          orderOf(task.desk, (stage) => say({ id, kind: "stage", stage })),
        );
        last = { desk, outcome };
      }
      say({ id, kind: "done", answer: answer(task, last.outcome) });
    } catch (error) {
      const known = error instanceof InputError;
      say({
        id,
        kind: "fault",
        fault: {
          code: known ? error.code : "page/own-fault",
          message: known
            ? error.message
            : `this is a fault of ours, not of your drawing: ${String(error)}; please report it with the desk file`,
        },
      });
    }
  },
);

function answer(task: Task, outcome: Outcome): Tasks[TaskKind]["answer"] {
  const { plan, read, program, laidOut } = outcome;
  switch (task.kind) {
    case "plan":
      return {
        ...outcome,
        estimate: estimatePlan(plan),
        replay: read && replayWire(read, plan.job),
        inspection: inspect(orderOf(task.desk)),
      };
    case "papers":
      return [
        ...outputFiles(outcome),
        { name: `${plan.name}.paths.dxf`, text: wirePathDxf(plan) },
      ];
    case "lesson":
      return lessonOf(task.order, plan, program, laidOut);
  }
}

function orderOf(desk: Desk, onStage?: (stage: string) => void): Order {
  return {
    name: desk.name,
    drawing: desk.drawing,
    job: jobText(desk.job),
    drawingUnit: desk.drawingUnit ?? undefined,
    onStage,
  };
}
