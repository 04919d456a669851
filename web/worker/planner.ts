/** The page's side of the worker: one task runs, the newest waits, and a task that is no longer wanted is killed. */
import type { Desk } from "../desk/desk.js";
import type { Ask, Fault, Reply, Task, TaskKind, Tasks } from "./messages.js";
import PlanWorker from "./worker.js?worker&inline";

/** A task that has run this long is killed when a newer one comes; a shorter one is let end: a new worker costs more. */
const PATIENCE_MS = 150;

export type Ending<K extends TaskKind> =
  | { readonly kind: "done"; readonly answer: Tasks[K]["answer"] }
  | { readonly kind: "fault"; readonly fault: Fault }
  | { readonly kind: "cancelled" };

interface Running {
  readonly id: number;
  readonly since: number;
  readonly onStage: (stage: string) => void;
  readonly end: (ending: Ending<TaskKind>) => void;
}

export interface Planner {
  /** Runs a task; one that waits or runs already ends as cancelled. */
  ask<K extends TaskKind>(
    task: Task<K>,
    onStage: (stage: string) => void,
  ): Promise<Ending<K>>;
  cancel(): void;
}

export function startPlanner(): Planner {
  let worker = newWorker();
  let running: Running | null = null;
  let waiting: (() => void) | null = null;
  let dropWaiting: (() => void) | null = null;
  let count = 0;
  const serials = new WeakMap<Desk, number>();
  const serialOf = (desk: Desk): number => {
    const known = serials.get(desk) ?? ++count;
    serials.set(desk, known);
    return known;
  };

  function newWorker(): Worker {
    const made = new PlanWorker();
    made.onmessage = ({ data }: MessageEvent<Reply>) => {
      if (!running || data.id !== running.id) return;
      if (data.kind === "stage") return running.onStage(data.stage);
      finish(
        data.kind === "done"
          ? { kind: "done", answer: data.answer }
          : { kind: "fault", fault: data.fault },
      );
    };
    made.onerror = (event) => {
      event.preventDefault();
      worker.terminate();
      worker = newWorker();
      finish({
        kind: "fault",
        fault: {
          code: "page/worker-stopped",
          message: `the work stopped by itself (${event.message || "out of memory?"}); try a smaller drawing or reload the page`,
        },
      });
    };
    return made;
  }

  function finish(ending: Ending<TaskKind>): void {
    const ended = running;
    running = null;
    ended?.end(ending);
    const next = waiting;
    waiting = dropWaiting = null;
    next?.();
  }

  function kill(): void {
    worker.terminate();
    worker = newWorker();
    finish({ kind: "cancelled" });
  }

  return {
    ask(task, onStage) {
      return new Promise((resolve) => {
        const end = resolve as Running["end"];
        const start = (): void => {
          const id = ++count;
          running = { id, since: performance.now(), onStage, end };
          worker.postMessage({
            id,
            desk: serialOf(task.desk),
            task: task as Task,
          } satisfies Ask);
        };
        if (!running) return start();
        dropWaiting?.();
        waiting = start;
        dropWaiting = () => end({ kind: "cancelled" });
        if (performance.now() - running.since > PATIENCE_MS) kill();
      });
    },
    cancel() {
      dropWaiting?.();
      waiting = dropWaiting = null;
      if (running) kill();
    },
  };
}
