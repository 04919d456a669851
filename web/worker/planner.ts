/** The page's side of its two workers: one drafts, so that the picture never waits for a proof; one does the rest. */
import { type Ending, startLane } from "./lane.js";
import type { Task, TaskKind } from "./messages.js";

export type { Ending } from "./lane.js";

export interface Planner {
  ask<K extends TaskKind>(
    task: Task<K>,
    onStage?: (stage: string) => void,
  ): Promise<Ending<K>>;
  cancel(): void;
}

/** The whole built script, as a function (vite.config.ts). */
declare const wholeScript: () => void;

/** The worker's script stands in the page's own: a page that is opened from a disk may load no other. */
function startWorker(): Worker {
  const script = new Blob([`(${wholeScript})()`], { type: "text/javascript" });
  const address = URL.createObjectURL(script);
  const worker = new Worker(address);
  URL.revokeObjectURL(address);
  return worker;
}

export function startPlanner(): Planner {
  const drafts = startLane(startWorker);
  const proofs = startLane(startWorker);
  let count = 0;
  const serials = new WeakMap<object, number>();
  const serialOf = (thing: object): number => {
    const known = serials.get(thing) ?? ++count;
    serials.set(thing, known);
    return known;
  };
  return {
    ask: (task, onStage = () => undefined) =>
      new Promise((resolve) =>
        (task.kind === "draft" ? drafts : proofs).ask({
          ask: {
            desk: serialOf(task.desk),
            drawing: serialOf(task.desk.drawing),
            task: task as Task,
          },
          onStage,
          end: resolve as (ending: Ending<TaskKind>) => void,
        }),
      ),
    cancel() {
      drafts.cancel();
      proofs.cancel();
    },
  };
}
