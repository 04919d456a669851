/** What the page knows, and the few ways in which that changes. Views subscribe and draw themselves anew. */
import type { Finding, LengthUnit } from "../src/index.js";
import { type Desk, type Path, withValue } from "./desk/desk.js";
import { begin, change, type History, redo, undo } from "./desk/history.js";
import { keepDesk } from "./desk/kept.js";
import { inUnits } from "./desk/units.js";
import { announce } from "./dom.js";
import type { Fault, Result } from "./worker/messages.js";
import type { Planner } from "./worker/planner.js";

/** The steps of the page, top to bottom; the picture shows what the one in hand is about. */
export const STEPS = [
  "drawing",
  "wire",
  "slugs",
  "order",
  "program",
  "proof",
  "paper",
  "why",
] as const;
export type StepName = (typeof STEPS)[number];

export interface Shown {
  readonly history: History<Desk>;
  /** Of the newest desk that could be planned; null before the first. */
  readonly result: Result | null;
  /** Why the desk as it is now cannot be planned. */
  readonly fault: Fault | null;
  /** What the worker is at; null when the result is that of the desk. */
  readonly stage: string | null;
  readonly feature: string | null;
  readonly finding: Finding | null;
  readonly about: StepName;
}

export interface App {
  shown(): Shown;
  units(): LengthUnit;
  subscribe(view: (shown: Shown) => void): void;
  /** Puts another desk down: it can be undone. */
  putDown(desk: Desk, subject?: string): void;
  /** Sets a value of the job, or takes it out with `undefined`. */
  set(path: Path, value: unknown): void;
  undo(): void;
  redo(): void;
  cancel(): void;
  choose(part: Partial<Pick<Shown, "feature" | "finding" | "about">>): void;
}

export function startApp(desk: Desk, planner: Planner): App {
  const views: ((shown: Shown) => void)[] = [];
  let shown: Shown = {
    history: begin(desk),
    result: null,
    fault: null,
    stage: null,
    feature: null,
    finding: null,
    about: "drawing",
  };
  const update = (part: Partial<Shown>): void => {
    shown = { ...shown, ...part };
    for (const view of views) view(shown);
  };
  const turn = (history: History<Desk>): void => {
    if (history === shown.history) return;
    update({ history, stage: "waiting", finding: null });
    keepDesk(history.now);
    void work();
  };

  async function work(): Promise<void> {
    const asked = shown.history.now;
    const ending = await planner.ask(
      { kind: "plan", desk: asked, order: null },
      (stage) => update({ stage }),
    );
    if (shown.history.now !== asked) return;
    if (ending.kind === "done" && asked.job.units === undefined) {
      // Nobody has said in which unit to work: then in the drawing's own.
      const inches = ending.answer.inspection.units.drawing === "in";
      const job = inUnits(asked.job, inches ? "in" : "mm");
      update({ history: { ...shown.history, now: { ...asked, job } } });
      return work();
    }
    if (ending.kind === "done") {
      const ids = new Set(ending.answer.plan.features.map((f) => f.id));
      const feature =
        shown.feature !== null && ids.has(shown.feature) ? shown.feature : null;
      update({ result: ending.answer, fault: null, stage: null, feature });
      announce(verdictWords(ending.answer));
    } else if (ending.kind === "fault") {
      update({ result: null, fault: ending.fault, stage: null });
      announce(ending.fault.message);
    } else
      update({
        fault: {
          code: "page/cancelled",
          message: "cancelled: change something, or undo, to plan again",
        },
        stage: null,
      });
  }

  const app: App = {
    shown: () => shown,
    units: () => shown.history.now.job.units ?? "mm",
    subscribe(view) {
      views.push(view);
      view(shown);
    },
    putDown: (next, subject) =>
      turn(change(shown.history, next, subject ?? null)),
    set(path, value) {
      const { now } = shown.history;
      const job = withValue(now.job, path, value);
      if (JSON.stringify(job) !== JSON.stringify(now.job))
        turn(change(shown.history, { ...now, job }, path.join(".")));
    },
    undo: () => turn(undo(shown.history)),
    redo: () => turn(redo(shown.history)),
    cancel: () => planner.cancel(),
    choose: (part) => update(part),
  };
  void work();
  return app;
}

/** The verdict in a sentence. */
export function verdictWords(result: Result): string {
  const errors = result.findings.filter((f) => f.severity === "error").length;
  if (result.ok) return "The proof holds.";
  if (!result.proof)
    return `No program: ${errors} ${errors === 1 ? "error" : "errors"} in the way.`;
  return "The proof does not hold.";
}
