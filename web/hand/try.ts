/** A change by hand is planned before it is made: what cannot be is refused, with the reason. */
import { type JobFile, messageIn } from "../../src/index.js";
import type { App } from "../app.js";
import { announce } from "../dom.js";
import { notice } from "../notice.js";
import type { Planner } from "../worker/planner.js";

/**
 * Makes the change when the plan has no more errors with it than without; else says why not, and resolves to false. One
 * after the other; of those with one subject that wait, only the newest is tried, such as of a slider's steps.
 */
export type TryChange = (
  change: (job: JobFile) => JobFile,
  subject?: string,
) => Promise<boolean>;

export function tryChanges(app: App, planner: Planner): TryChange {
  const newest = new Map<string, number>();
  let count = 0;
  let before: Promise<unknown> = Promise.resolve();

  async function attempt(change: (job: JobFile) => JobFile): Promise<boolean> {
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
  }

  return (change, subject = "") => {
    const number = ++count;
    newest.set(subject, number);
    // A plan that is asked for while another is waited for would take its place.
    const tried = before
      .then(app.drafted)
      .then(() =>
        subject !== "" && newest.get(subject) !== number
          ? true
          : attempt(change),
      );
    before = tried;
    return tried;
  };
}
