/** The order of the outlines, changed by dragging or by keys. */
import type { Plan } from "../../src/index.js";
import type { App, Shown } from "../app.js";
import { valueAt, withValue } from "../desk/desk.js";
import { announce, h } from "../dom.js";
import { refill } from "../refill.js";
import { reordered } from "./place.js";
import type { TryChange } from "./try.js";

interface OrderList {
  readonly element: HTMLElement;
  update(shown: Shown): void;
}

/** Longer lists nobody sorts by hand. */
const MOST = 200;

export function orderList(app: App, tryChange: TryChange): OrderList {
  const element = h("div", { class: "by-hand" });
  let drawn: Plan | null = null;
  let dragged: string | null = null;

  const move = (
    features: readonly string[],
    moving: string,
    to: number,
  ): void => {
    const list = reordered(features, moving, to);
    if (list.every((f, i) => f === features[i])) return;
    void tryChange((job) => withValue(job, ["order", "features"], list)).then(
      (done) => {
        if (done)
          announce(`${moving} is now number ${list.indexOf(moving) + 1}`);
      },
    );
  };

  function row(features: readonly string[], f: string, i: number): HTMLElement {
    const button = (sign: string, words: string, to: number, off: boolean) =>
      h(
        "button",
        {
          type: "button",
          class: "small",
          "aria-label": `Cut ${f} ${words}`,
          "data-key": `${words}-${f}`,
          disabled: off,
          onclick: () => move(features, f, to),
        },
        sign,
      );
    const item = h(
      "li",
      { draggable: "true", "data-feature": f },
      button("↑", "earlier", i - 1, i === 0),
      button("↓", "later", i + 1, i === features.length - 1),
      ` ${f}`,
    );
    item.addEventListener("dragstart", (event) => {
      dragged = f;
      event.dataTransfer?.setData("text/plain", f);
    });
    item.addEventListener("dragover", (event) => {
      event.preventDefault();
      item.classList.toggle("target", dragged !== null && dragged !== f);
    });
    item.addEventListener("dragleave", () => item.classList.remove("target"));
    item.addEventListener("drop", (event) => {
      event.preventDefault();
      event.stopPropagation();
      item.classList.remove("target");
      if (dragged !== null) move(features, dragged, i);
      dragged = null;
    });
    return item;
  }

  function draw(plan: Plan): void {
    // A rest of the whole block is of no feature.
    const features = [
      ...new Set(plan.steps.map((s) => s.feature).filter((f) => f !== null)),
    ];
    const { job } = app.shown().history.now;
    const said = valueAt(job, ["order", "features"]) !== undefined;
    refill(
      element,
      h(
        "p",
        { class: "hint" },
        "First cut first. Drag, or use the arrows; what must come before stays before.",
      ),
      features.length > MOST
        ? h(
            "p",
            { class: "hint" },
            `${features.length} outlines: too many to sort by hand here; name them in the job file’s order.`,
          )
        : h(
            "ol",
            { class: "order-list" },
            ...features.map((f, i) => row(features, f, i)),
          ),
      said
        ? h(
            "button",
            {
              type: "button",
              "data-key": "free-order",
              onclick: () => app.set(["order", "features"], undefined),
            },
            "Let the plan choose",
          )
        : null,
    );
  }

  return {
    element,
    update({ draft, fault }) {
      if (fault) {
        drawn = null;
        refill(element);
      }
      if (!draft || draft.plan === drawn) return;
      drawn = draft.plan;
      draw(draft.plan);
    },
  };
}
