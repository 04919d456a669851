/** Fields of the job: each writes one value of the job file and shows what holds when it is left empty. */
import { type LengthUnit, mmPer } from "../src/index.js";
import type { App, Shown } from "./app.js";
import { type Path, valueAt, withValue } from "./desk/desk.js";
import { h, say } from "./dom.js";
import { isTyped } from "./refill.js";

export interface Field {
  readonly element: HTMLElement;
  update(shown: Shown): void;
}

type Kind = "length" | "area" | "none";
const POWERS = { length: 1, area: 2, none: 0 } as const;

interface NumberOptions {
  readonly label: string;
  readonly path: Path;
  /** What stands in the picture of the plan when the field is empty, mm for lengths. */
  readonly settled: (shown: Shown) => number | null;
  /** Lengths and areas carry the job's unit. */
  readonly unit: Kind;
  readonly hint?: string;
  readonly suggestions?: readonly number[];
  /** Whether it means anything now; an idle field cannot be typed in. Left out: always. */
  readonly counts?: (shown: Shown) => boolean;
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
  /** What the job says while the field holds something that is no number. */
  let instead: { readonly value: unknown } | null = null;
  const said = (shown: Shown): unknown =>
    valueAt(shown.history.now.job, options.path);

  input.addEventListener("input", () => {
    const value = figureIn(input.value, options.unit, app.units());
    const bad = Number.isNaN(value);
    fault.textContent = bad ? `"${input.value}" is not a number` : "";
    input.setAttribute("aria-invalid", String(bad));
    instead = bad ? { value: said(app.shown()) } : null;
    if (!bad) app.set(options.path, value);
  });
  input.addEventListener("change", () => write(app.shown()));

  /** What is being typed stays, and so does what was typed wrongly, until it is mended or the job's value is another. */
  function write(shown: Shown): void {
    const value = said(shown);
    if (instead && instead.value === value) return;
    if (!isTyped(input)) {
      instead = null;
      const text = typeof value === "number" ? rounded(value) : "";
      if (input.value !== text) input.value = text;
    }
    if (instead) return;
    const refused = refusedFor(options.path, shown);
    say(fault, refused);
    input.setAttribute("aria-invalid", String(refused !== ""));
  }

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
      // Switched off, it would lose the focus.
      if (document.activeElement !== input)
        input.disabled = options.counts?.(shown) === false;
      write(shown);
      const settled = options.settled(shown);
      input.placeholder =
        settled === null ? "" : figureOf(settled, options.unit, units);
      const words = ["", units, `${units}²`][POWERS[options.unit]] as string;
      if (unit.textContent === words && list?.childElementCount !== 0) return;
      unit.textContent = words;
      list?.replaceChildren(
        ...(options.suggestions ?? []).map((mm) =>
          h("option", { value: figureOf(mm, options.unit, units) }),
        ),
      );
    },
  };
}

/** Why the job's value there cannot be; "" where it can. */
function refusedFor(path: Path, { fault }: Shown): string {
  const name = `${path.join(".")} `;
  return fault?.code === "job/bad-value" && fault.message.startsWith(name)
    ? fault.message.slice(name.length)
    : "";
}

/** What is typed, in the job's unit; a length may name its own: "0.2 mm". NaN when it is no number. */
function figureIn(
  typed: string,
  kind: Kind,
  units: LengthUnit,
): number | undefined {
  const text = typed.trim().replace(",", ".");
  if (text === "") return undefined;
  const own = kind === "length" ? /^(.*\d)\s*(mm|in|")$/i.exec(text) : null;
  if (!own) return Number(text);
  const unit = own[2]?.toLowerCase() === "mm" ? "mm" : "in";
  return Number(((Number(own[1]) * mmPer(unit)) / mmPer(units)).toPrecision(8));
}

/** As a person would write it: 25 mm are 0.984252 in; the job keeps what it holds. */
function rounded(value: number): string {
  const digits =
    Math.abs(value) < 0.01 ? value.toPrecision(4) : value.toFixed(6);
  return String(Number(digits));
}

function figureOf(value: number, unit: Kind, units: LengthUnit): string {
  return String(Number((value / mmPer(units) ** POWERS[unit]).toPrecision(6)));
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
  /** What means nothing under some choices and is an error there: taken out with them. */
  readonly takesOut?: (value: string | number) => Path | null;
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
    const out = chosen && options.takesOut?.(chosen[0]);
    const { now } = app.shown().history;
    const job = withValue(now.job, options.path, chosen?.[0]);
    app.putDown({ ...now, job: out ? withValue(job, out, undefined) : job });
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
      if (typeof value !== "string" && typeof value !== "number") return;
      // Written needlessly, an open list of choices would jump back.
      if (select.value !== String(value)) select.value = String(value);
    },
  };
}

interface CheckOptions {
  readonly label: string;
  readonly path: Path;
  readonly hint?: string;
}

/** A box to tick: `true`, or nothing at all; a group of more choices counts as ticked. */
export function checkField(app: App, options: CheckOptions): Field {
  const id = `field-${++count}`;
  const box = h("input", { id, type: "checkbox" });
  box.addEventListener("change", () =>
    app.set(options.path, box.checked || undefined),
  );
  return {
    element: h(
      "div",
      { class: "field" },
      h(
        "span",
        { class: "entry" },
        box,
        h("label", { for: id }, options.label),
      ),
      options.hint ? h("span", { class: "hint" }, options.hint) : null,
    ),
    update(shown) {
      const value = valueAt(shown.history.now.job, options.path);
      box.checked = value !== undefined && value !== false;
    },
  };
}

interface TextOptions {
  readonly label: string;
  readonly path: Path;
  readonly hint?: string;
  /** What the words typed mean; `undefined` takes the value out. Throws what is wrong with them. */
  readonly read: (text: string) => unknown;
  readonly write: (value: unknown) => string;
}

/** A value that is typed as words: a name, a list. It is taken when the field is left. */
export function textField(app: App, options: TextOptions): Field {
  const id = `field-${++count}`;
  const input = h("input", {
    id,
    type: "text",
    autocomplete: "off",
    "aria-describedby": `${id}-fault`,
  });
  const fault = h("span", {
    id: `${id}-fault`,
    class: "field-fault",
    role: "alert",
  });
  input.addEventListener("change", () => {
    const text = input.value.trim();
    try {
      app.set(options.path, text === "" ? undefined : options.read(text));
      fault.textContent = "";
    } catch (error) {
      fault.textContent = (error as Error).message;
    }
    input.setAttribute("aria-invalid", String(fault.textContent !== ""));
  });
  return {
    element: h(
      "div",
      { class: "field" },
      h("label", { for: id }, options.label),
      h("span", { class: "entry words" }, input),
      options.hint ? h("span", { class: "hint" }, options.hint) : null,
      fault,
    ),
    update(shown) {
      if (isTyped(input) || fault.textContent !== "") return;
      const value = valueAt(shown.history.now.job, options.path);
      const text = value === undefined ? "" : options.write(value);
      if (input.value !== text) input.value = text;
    },
  };
}

/** Numbers with spaces or semicolons between them. */
export function readNumbers(text: string): number[] {
  return text
    .split(/[\s;]+/)
    .filter((word) => word !== "")
    .map((word) => {
      const number = Number(word.replace(",", "."));
      if (!Number.isFinite(number))
        throw new Error(`"${word}" is not a number`);
      return number;
    });
}

/** Fields that few jobs need, behind a line to open. */
export function moreFields(title: string, fields: readonly Field[]): Field {
  return {
    element: h(
      "details",
      { class: "more" },
      h("summary", {}, title),
      h("div", { class: "row" }, ...fields.map((f) => f.element)),
    ),
    update(shown) {
      for (const field of fields) field.update(shown);
    },
  };
}
