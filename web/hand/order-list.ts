/**
 * The order of the outlines, changed by dragging, by keys, or by a number. Slits stand in it without a handle: each comes
 * when the passes beside it are done and before the piece that it lies in comes loose, and that leaves nothing to choose.
 */
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

/** Rows in the list: more nobody reads, and they would hold up the page. The others are moved by their number. */
const MOST = 100;

export function orderList(app: App, tryChange: TryChange): OrderList {
  const hint = h("p", { class: "hint" });
  // Before the list, which may be long.
  const byNumber = h("div", {});
  const list = h("div", {});
  const element = h("div", { class: "by-hand" }, hint, byNumber, list);
  let drawn: Plan | null = null;
  let chosen: string | null = null;
  let dragged: string | null = null;
  /** Outlines and slits in the order of their first cuts. */
  let all: readonly string[] = [];
  let slits: ReadonlySet<string> = new Set();

  /** Moves an outline so that it becomes number `to`, counted from 0. */
  const move = (moving: string, to: number): void => {
    const order = reordered(all, moving, to);
    const named = order.filter((id) => !slits.has(id));
    const before = all.filter((id) => !slits.has(id));
    if (named.every((id, i) => id === before[i])) return;
    void tryChange((job) => withValue(job, ["order", "features"], named)).then(
      (done) => {
        if (done)
          announce(`${moving} is now number ${all.indexOf(moving) + 1}`);
        // A number that was refused is shown as it still is.
        else drawNumber();
      },
    );
  };

  function row(id: string, i: number): HTMLElement {
    if (slits.has(id)) return h("li", {}, id);
    const isOutline = (other: string): boolean => !slits.has(other);
    const next = all.slice(i + 1).findIndex(isOutline);
    const button = (sign: string, words: string, to: number, off: boolean) =>
      h(
        "button",
        {
          type: "button",
          class: "small",
          "aria-label": `Cut ${id} ${words}`,
          "data-key": `${words}-${id}`,
          disabled: off,
          onclick: () => move(id, to),
        },
        sign,
      );
    const last = all.slice(0, i).findLastIndex(isOutline);
    const item = h(
      "li",
      { draggable: "true", "data-feature": id },
      button("↑", "earlier", last, last < 0),
      button("↓", "later", i + 1 + next, next < 0),
      ` ${id}`,
    );
    item.addEventListener("dragstart", (event) => {
      dragged = id;
      event.dataTransfer?.setData("text/plain", id);
    });
    item.addEventListener("dragover", (event) => {
      event.preventDefault();
      item.classList.toggle("target", dragged !== null && dragged !== id);
    });
    item.addEventListener("dragleave", () => item.classList.remove("target"));
    item.addEventListener("drop", (event) => {
      event.preventDefault();
      event.stopPropagation();
      item.classList.remove("target");
      if (dragged !== null) move(dragged, i);
      dragged = null;
    });
    return item;
  }

  function draw(): void {
    const { job } = app.shown().history.now;
    const said = valueAt(job, ["order", "features"]) !== undefined;
    hint.textContent = `First cut first. Drag, use the arrows, or choose an outline and give it a number; what must come before stays before.${slits.size > 0 ? " A slit is not moved: it comes when the passes beside it are done, and before the piece it lies in comes loose." : ""}`;
    refill(
      list,
      h("ol", { class: "order-list" }, ...all.slice(0, MOST).map(row)),
      all.length > MOST
        ? h(
            "p",
            { class: "hint" },
            `and ${all.length - MOST} more, which the picture names and numbers`,
          )
        : null,
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

  /** The place of the outline in hand as a number to type. */
  function drawNumber(): void {
    const id = chosen;
    const place = id === null || slits.has(id) ? -1 : all.indexOf(id);
    const field = h("input", {
      type: "text",
      id: "order-number",
      inputmode: "numeric",
      value: place + 1,
      "data-key": "order-number",
    });
    field.addEventListener("change", () => {
      const number = Number(field.value);
      if (chosen !== null && Number.isInteger(number) && number > 0)
        move(chosen, number - 1);
      else drawNumber();
    });
    refill(
      byNumber,
      place < 0
        ? null
        : h(
            "div",
            { class: "field" },
            h("label", { for: "order-number" }, `Cut ${id} as number`),
            field,
          ),
    );
  }

  return {
    element,
    update({ draft, fault, feature }) {
      if (fault) {
        drawn = null;
        hint.textContent = "";
        refill(list);
        refill(byNumber);
      }
      if (!draft || (draft.plan === drawn && feature === chosen)) return;
      const { plan } = draft;
      chosen = feature;
      if (plan !== drawn) {
        drawn = plan;
        slits = new Set(plan.slits.map((s) => s.id));
        // A rest of the whole block is of no feature.
        all = [...new Set(plan.steps.flatMap((s) => s.feature ?? []))];
        draw();
      }
      drawNumber();
    },
  };
}
