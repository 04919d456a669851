/** A change by hand is planned before it is made: what cannot be is refused, with the reason. */
import { type JobFile, messageIn } from "../../src/index.js";
import type { App } from "../app.js";
import { announce } from "../dom.js";
import { notice } from "../notice.js";
import type { Planner } from "../worker/planner.js";

/** Makes the change when the plan has no more errors with it than without; else says why not. Resolves to whether. */
export type TryChange = (change: (job: JobFile) => JobFile) => Promise<boolean>;

/** From so many ms on it is said that a change is being tried: a large plan takes its time to be made anew. */
const SAY_MS = 800;

export function tryChanges(app: App, planner: Planner): TryChange {
  return async (change) => {
    const { history, draft } = app.shown();
    const { now } = history;
    const desk = { ...now, job: change(now.job) };
    const saying = setTimeout(
      () => notice("Trying that: the whole plan is made anew."),
      SAY_MS,
    );
    const ending = await planner.ask({ kind: "draft", desk, order: null });
    clearTimeout(saying);
    if (ending.kind === "cancelled") {
      notice(null);
      return false;
    }
    const known = new Set(draft?.plan.findings.map((f) => f.message));
    const reason =
      ending.kind === "fault"
        ? ending.fault.message
        : ending.answer.plan.findings
            .filter((f) => f.severity === "error" && !known.has(f.message))
            .map((f) => messageIn(f.message, app.units()))[0];
    if (reason === undefined) {
      notice(null);
      if (app.shown().history.now === now) app.putDown(desk);
      return true;
    }
    notice(`That cannot be: ${reason}`);
    announce(`That cannot be: ${reason}`);
    return false;
  };
}
