/** One worker and what is asked of it: one task runs, the newest of each kind waits, what is no longer wanted is killed. */
import {
  type Ask,
  type Fault,
  movedIn,
  type Reply,
  type TaskKind,
  type Tasks,
} from "./messages.js";
import { joined, type Slice } from "./slices.js";

/** A task for a desk that has changed is killed once it has run this long; a shorter one is let end: a new worker costs more. */
const PATIENCE_MS = 700;
/** No task may run longer: whatever the file holds, the page gets an answer. */
const LONGEST_MS = 5 * 60_000;

export type Ending<K extends TaskKind> =
  | { readonly kind: "done"; readonly answer: Tasks[K]["answer"] }
  | { readonly kind: "fault"; readonly fault: Fault }
  | { readonly kind: "cancelled" };

interface Waiting {
  readonly ask: Omit<Ask, "id">;
  readonly onStage: (stage: string) => void;
  readonly end: (ending: Ending<TaskKind>) => void;
}

interface Running extends Waiting {
  readonly id: number;
  readonly since: number;
  readonly limit: ReturnType<typeof setTimeout>;
  /** What of the answer has come already. */
  readonly slices: Slice[];
}

export interface Lane {
  /** Runs a task; one of its kind that waits, and everything asked of an older desk, ends as cancelled. */
  ask(task: Waiting): void;
  cancel(): void;
}

/** `makeWorker` makes one that answers an `Ask` with `Reply`s; `longest`: ms that a task may run. */
export function startLane(
  makeWorker: () => Worker,
  longest: number = LONGEST_MS,
): Lane {
  /** Made when it is first needed: two that start at once keep each other waiting. */
  let worker: Worker | null = null;
  let running: Running | null = null;
  let waiting: readonly Waiting[] = [];
  let count = 0;

  function newWorker(): Worker {
    const made = makeWorker();
    made.onmessage = ({ data }: MessageEvent<Reply>) => {
      if (!running || data.id !== running.id) return;
      if (data.kind === "stage") return running.onStage(data.stage);
      if (data.kind === "slice") {
        running.slices.push(data);
        return;
      }
      const { slices } = running;
      finish(
        data.kind === "done"
          ? { kind: "done", answer: joined({ rest: data.answer, slices }) }
          : { kind: "fault", fault: data.fault },
      );
    };
    made.onerror = (event) => {
      event.preventDefault();
      stop(
        fault(
          "page/worker-stopped",
          `the work stopped by itself (${event.message || "out of memory?"}); try a smaller drawing or reload the page`,
        ),
      );
    };
    return made;
  }

  function start(next: Waiting): void {
    const id = ++count;
    const limit = setTimeout(
      () =>
        stop(
          fault(
            "page/took-too-long",
            `this took longer than ${timeText(longest)} and was stopped; leave layers out, or take a smaller drawing, or use the command line`,
          ),
        ),
      longest,
    );
    running = { ...next, id, since: performance.now(), limit, slices: [] };
    worker ??= newWorker();
    const ask: Ask = { ...next.ask, id };
    worker.postMessage(ask, movedIn(ask.task.order));
  }

  function finish(ending: Ending<TaskKind>): void {
    const ended = running;
    running = null;
    if (ended) clearTimeout(ended.limit);
    ended?.end(ending);
    const [next, ...rest] = waiting;
    if (running || !next) return;
    waiting = rest;
    start(next);
  }

  /** Whatever the worker is at, it is not let end. */
  function stop(ending: Ending<TaskKind>): void {
    worker?.terminate();
    worker = null;
    finish(ending);
  }

  function drop(unwanted: (task: Waiting) => boolean): void {
    const dropped = waiting.filter(unwanted);
    waiting = waiting.filter((w) => !unwanted(w));
    for (const { end } of dropped) end({ kind: "cancelled" });
  }

  return {
    ask(task) {
      if (!running) return start(task);
      const { desk, task: asked } = task.ask;
      drop((w) => w.ask.desk !== desk || w.ask.task.kind === asked.kind);
      waiting = [...waiting, task];
      const stale = running.ask.desk !== desk;
      if (stale && performance.now() - running.since > PATIENCE_MS)
        stop({ kind: "cancelled" });
    },
    cancel() {
      drop(() => true);
      if (running) stop({ kind: "cancelled" });
    },
  };
}

function timeText(ms: number): string {
  return ms < 60_000 ? `${ms / 1000} s` : `${ms / 60_000} minutes`;
}

function fault(code: string, message: string): Ending<TaskKind> {
  return { kind: "fault", fault: { code, message } };
}
