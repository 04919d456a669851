/** Step 4: what is cut after what, and when somebody has to be there. */
import {
  countText,
  type Estimate,
  fixed,
  type Plan,
  timeText,
} from "../../src/index.js";
import type { App } from "../app.js";
import { h } from "../dom.js";
import {
  checkField,
  choiceField,
  moreFields,
  numberField,
  textField,
} from "../fields.js";
import { orderList } from "../hand/order-list.js";
import type { TryChange } from "../hand/try.js";
import { refill } from "../refill.js";
import { bodyOf, NOTHING_PLANNED, type Step } from "./step.js";

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
  const relief = checkField(app, {
    label: "Let stress out first",
    path: ["stressRelief"],
    hint: "all roughs, the slugs out, a rest, then all skims",
  });
  const reliefCut = numberField(app, {
    label: "Relief cut leaves",
    path: ["stressRelief", "leave"],
    unit: "length",
    settled: () => null,
    hint: "a cut of its own before the passes; empty: none",
  });
  const rate = (label: string, key: string) =>
    numberField(app, {
      label,
      path: ["rates", key],
      unit: "none",
      settled: () => null,
    });
  const rates = moreFields("What it costs", [
    rate("Machine, an hour", "machineHour"),
    rate("Somebody there, an hour", "labourHour"),
    rate("Wire, a kilogram", "wireKg"),
    textField(app, {
      label: "Currency",
      path: ["rates", "currency"],
      read: String,
      write: String,
    }),
  ]);
  const cost = h("p", { class: "sentence" });
  const sentence = h("p", { class: "sentence" });
  const byHand = orderList(app, tryChange);
  const list = h("div", {});
  bodyOf("order").append(
    sentence,
    h(
      "div",
      { class: "row" },
      policy.element,
      relief.element,
      reliefCut.element,
    ),
    cost,
    rates.element,
    byHand.element,
    h("h3", {}, "Step by step"),
    list,
  );
  let drawn: Plan | null = null;
  return (shown) => {
    for (const field of [policy, relief, reliefCut, rates]) field.update(shown);
    byHand.update(shown);
    const { draft } = shown;
    if (!draft) {
      if (!shown.fault) return;
      drawn = null;
      sentence.textContent = NOTHING_PLANNED;
      cost.textContent = "";
      refill(list);
      return;
    }
    if (draft.plan === drawn) return;
    drawn = draft.plan;
    sentence.textContent = sentenceOf(draft.plan, draft.estimate);
    cost.textContent = costText(draft.estimate);
    refill(list, stepList(app, draft.plan));
  };
}

function sentenceOf(plan: Plan, e: Estimate): string {
  if (plan.steps.length === 0) return "There is nothing to put in order.";
  return `About ${timeText(e.time)} of burning: ${timeText(e.unattended)} alone, then ${timeText(e.attended)} with somebody there; ${countText(e.threads, "thread")} of the wire and ${countText(e.stops, "stop")}. Speeds are common practice: your machine’s may be half or double.`;
}

/** Empty until the job says what an hour costs. */
function costText({ cost }: Estimate): string {
  if (!cost) return "";
  const money = (sum: number): string =>
    `${fixed(sum, 2)} ${cost.currency}`.trim();
  return `About ${money(cost.total)}, between ${money(cost.range[0])} and ${money(cost.range[1])} as the speeds turn out: machine ${money(cost.machine)}, people ${money(cost.labour)}, wire ${money(cost.wire)}.`;
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
