/** Fields of the job: each writes one value of the job file and shows what holds when it is left empty. */
import { type LengthUnit, mmPer } from "../src/index.js";
import type { App, Shown } from "./app.js";
import { type Path, valueAt } from "./desk/desk.js";
import { h } from "./dom.js";

export interface Field {
  readonly element: HTMLElement;
  update(shown: Shown): void;
}

interface NumberOptions {
  readonly label: string;
  readonly path: Path;
  /** What stands in the picture of the plan when the field is empty, mm for lengths. */
  readonly settled: (shown: Shown) => number | null;
  /** Lengths carry the job's unit. */
  readonly unit: "length" | "none";
  readonly hint?: string;
  readonly suggestions?: readonly number[];
}

let count = 0;

export function numberField(app: App, options: NumberOptions): Field {
  const id = `field-${++count}`;
  const input = h("input", {
    id,
    type: "text",
    inputmode: "decimal",
    autocomplete: "off",
    "aria-describedby": `${id}-fault`,
    ...(options.suggestions ? { list: `${id}-list` } : {}),
  });
  const unit = h("span", { class: "unit" });
  const fault = h("span", {
    id: `${id}-fault`,
    class: "field-fault",
    role: "alert",
  });
  const list = options.suggestions ? h("datalist", { id: `${id}-list` }) : null;

  input.addEventListener("input", () => {
    const text = input.value.trim().replace(",", ".");
    const value = text === "" ? undefined : Number(text);
    const bad = value !== undefined && !Number.isFinite(value);
    fault.textContent = bad ? `"${input.value}" is not a number` : "";
    input.setAttribute("aria-invalid", String(bad));
    if (!bad) app.set(options.path, value);
  });

  return {
    element: h(
      "div",
      { class: "field" },
      h("label", { for: id }, options.label),
      h("span", { class: "entry" }, input, unit),
      options.hint ? h("span", { class: "hint" }, options.hint) : null,
      fault,
      list,
    ),
    update(shown) {
      const units = app.units();
      const value = valueAt(shown.history.now.job, options.path);
      const text = typeof value === "number" ? String(value) : "";
      if (
        document.activeElement !== input ||
        Number(input.value) !== Number(text)
      )
        input.value = text;
      const settled = options.settled(shown);
      input.placeholder =
        settled === null ? "" : figureOf(settled, options.unit, units);
      const said = options.unit === "length" ? units : "";
      if (unit.textContent === said && list?.childElementCount !== 0) return;
      unit.textContent = said;
      list?.replaceChildren(
        ...(options.suggestions ?? []).map((mm) =>
          h("option", { value: figureOf(mm, options.unit, units) }),
        ),
      );
    },
  };
}

function figureOf(
  value: number,
  unit: "length" | "none",
  units: LengthUnit,
): string {
  return String(
    Number((unit === "length" ? value / mmPer(units) : value).toPrecision(6)),
  );
}

interface ChoiceOptions {
  readonly label: string;
  readonly path: Path;
  /** Value in the job file and the words for it. */
  readonly choices: readonly (readonly [
    value: string | number,
    words: string,
  ])[];
  readonly settled: (shown: Shown) => string | number | null;
}

export function choiceField(app: App, options: ChoiceOptions): Field {
  const id = `field-${++count}`;
  const select = h(
    "select",
    { id },
    ...options.choices.map(([value, words]) => h("option", { value }, words)),
  );
  select.addEventListener("change", () => {
    const chosen = options.choices.find(([v]) => String(v) === select.value);
    app.set(options.path, chosen?.[0]);
  });
  return {
    element: h(
      "div",
      { class: "field" },
      h("label", { for: id }, options.label),
      select,
    ),
    update(shown) {
      const value =
        valueAt(shown.history.now.job, options.path) ?? options.settled(shown);
      if (typeof value === "string" || typeof value === "number")
        select.value = String(value);
    },
  };
}
