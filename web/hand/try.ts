/** A change by hand is planned before it is made: what cannot be is refused, with the reason. */
import { type JobFile, messageIn } from "../../src/index.js";
import type { App } from "../app.js";
import { announce } from "../dom.js";
import { notice } from "../notice.js";
import type { Planner } from "../worker/planner.js";

/** Makes the change when the plan has no more errors with it than without; else says why not. Resolves to whether. */
export type TryChange = (change: (job: JobFile) => JobFile) => Promise<boolean>;

export function tryChanges(app: App, planner: Planner): TryChange {
  return async (change) => {
    const { history, draft } = app.shown();
    const { now } = history;
    const desk = { ...now, job: change(now.job) };
    const ending = await planner.ask({ kind: "draft", desk, order: null });
    if (ending.kind === "cancelled") return false;
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
