/** Step 4: what is cut after what, and when somebody has to be there. */
import {
  countText,
  type Estimate,
  type Plan,
  timeText,
} from "../../src/index.js";
import type { App } from "../app.js";
import { h, refill } from "../dom.js";
import { choiceField } from "../fields.js";
import { orderList } from "../hand/order-list.js";
import type { TryChange } from "../hand/try.js";
import { bodyOf, type Step } from "./step.js";

export function orderStep(app: App, tryChange: TryChange): Step {
  const policy = choiceField(app, {
    label: "Order",
    path: ["order", "rule"],
    choices: [
      ["unattended-first", "all that needs nobody first"],
      ["one-by-one", "each outline to its end"],
    ],
    settled: (s) => s.draft?.plan.job.order.rule ?? null,
  });
  const sentence = h("p", { class: "sentence" });
  const byHand = orderList(app, tryChange);
  const list = h("div", {});
  bodyOf("order").append(
    sentence,
    h("div", { class: "row" }, policy.element),
    byHand.element,
    h("h3", {}, "Step by step"),
    list,
  );
  let drawn: Plan | null = null;
  return (shown) => {
    policy.update(shown);
    byHand.update(shown);
    const { draft } = shown;
    if (!draft || draft.plan === drawn) return;
    drawn = draft.plan;
    sentence.textContent = sentenceOf(draft.plan, draft.estimate);
    refill(list, stepList(app, draft.plan));
  };
}

function sentenceOf(plan: Plan, e: Estimate): string {
  if (plan.steps.length === 0) return "There is nothing to put in order.";
  return `About ${timeText(e.time)} of burning: ${timeText(e.unattended)} alone, then ${timeText(e.attended)} with somebody there; ${countText(e.threads, "thread")} of the wire and ${countText(e.stops, "stop")}. Speeds are common practice: your machine’s may be half or double.`;
}

/** Long programs repeat themselves: the first steps tell how it goes. */
const MOST = 120;

function stepList(app: App, plan: Plan): HTMLElement {
  const steps = plan.steps.slice(0, MOST);
  return h(
    "ol",
    { class: "steps" },
    ...steps.map((step) => {
      if (step.kind === "stop")
        return h(
          "li",
          { class: "stop" },
          h("strong", {}, "Stop. "),
          step.reason,
        );
      const passes = [...new Set(step.strokes.map((s) => s.pass))];
      const tab = step.strokes.some((s) => s.stretch === "tab");
      return h(
        "li",
        {},
        h(
          "button",
          {
            type: "button",
            class: "jump",
            onclick: () => app.choose({ feature: step.feature }),
          },
          step.feature,
        ),
        ` ${passes.length === 1 ? "pass" : "passes"} ${passes.join(", ")}${tab ? ", the tab" : ""}${step.attended ? " (somebody there)" : ""}`,
      );
    }),
    plan.steps.length > MOST
      ? h(
          "li",
          { class: "hint" },
          `and ${plan.steps.length - MOST} more; the setup sheet has them all`,
        )
      : null,
  );
}
