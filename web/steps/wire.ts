/** Step 2: block, wire and passes; how far from the line the wire runs on each. */
import {
  lengthFigure,
  lengthText,
  MATERIAL_NAMES,
  MATERIALS,
  mmPer,
  WIRE_DIAMETERS,
  WIRE_MATERIALS,
} from "../../src/index.js";
import type { App } from "../app.js";
import { h, table } from "../dom.js";
import { choiceField, moreFields, numberField } from "../fields.js";
import type { Picture } from "../picture/picture.js";
import { refill } from "../refill.js";
import { bodyOf, type Step } from "./step.js";
import { tableField } from "./table-field.js";
import { wireTable } from "./wire-choice.js";

const MOST_PASSES = 6;

export function wireStep(app: App, picture: Picture): Step {
  const fields = [
    choiceField(app, {
      label: "Block of",
      path: ["stock", "material"],
      choices: MATERIAL_NAMES.map((m) => [m, MATERIALS[m].title]),
      settled: (s) => s.draft?.plan.job.stock.material ?? null,
    }),
    numberField(app, {
      label: "Thickness",
      path: ["stock", "thickness"],
      unit: "length",
      settled: (s) => s.draft?.plan.job.stock.thickness ?? null,
    }),
    choiceField(app, {
      label: "Wire of",
      path: ["wire", "material"],
      choices: WIRE_MATERIALS.map((m) => [m, m.replace("-", " ")]),
      settled: (s) => s.draft?.plan.job.wire.material ?? null,
    }),
    numberField(app, {
      label: "Wire diameter",
      path: ["wire", "diameter"],
      unit: "length",
      settled: (s) => s.draft?.plan.job.wire.diameter ?? null,
      suggestions: WIRE_DIAMETERS,
    }),
  ];
  const flushing = choiceField(app, {
    label: "Flushing",
    path: ["flushing"],
    choices: [
      ["sealed", "cups touching both faces"],
      ["open", "nozzles standing off"],
    ],
    settled: (s) => s.draft?.plan.job.flushing ?? null,
  });
  const ownTable = moreFields("A process table of your own", [
    tableField(app, {
      label: "Gaps, speeds and materials of your machine, as JSON",
      path: ["process"],
    }),
  ]);
  const passes = h("div", {});
  const wires = h("div", {});
  const sentence = h("p", { class: "sentence" });
  bodyOf("wire").append(
    sentence,
    h(
      "div",
      { class: "row" },
      ...fields.map((f) => f.element),
      flushing.element,
    ),
    passes,
    h(
      "p",
      { class: "hint" },
      "offset = half the wire + spark gap + stock left for later passes. Gaps from the table are common practice, not your machine’s: measure them with a test cut.",
    ),
    wires,
    ownTable.element,
  );
  let drawn: readonly unknown[] = [];
  return (shown) => {
    for (const field of [...fields, flushing, ownTable]) field.update(shown);
    const { draft, inspection, history } = shown;
    const draws = [draft, inspection, history.now.job.passes];
    if (!draft || draws.every((d, i) => d === drawn[i])) return;
    drawn = draws;
    const { plan } = draft;
    const units = app.units();
    const { wire } = plan.job;
    const last = plan.job.passes.at(-1);
    const first = plan.job.passes[0];
    sentence.textContent =
      first && last
        ? `A ${lengthText(wire.diameter, units)} wire saws a kerf of ${lengthText(wire.diameter + 2 * first.gap, units)} on the rough and ends ${lengthText(last.offset, units)} beside the line: no inside corner can be sharper than that radius.`
        : "";
    refill(passes, ...passTable(app, plan.job.passes));
    refill(
      wires,
      inspection && wireTable(app, picture, inspection, wire.diameter),
    );
  };
}

type Passes = NonNullable<
  ReturnType<App["shown"]>["draft"]
>["plan"]["job"]["passes"];

function passTable(app: App, passes: Passes): HTMLElement[] {
  const units = app.units();
  const { job } = app.shown().history.now;
  const own = Array.isArray(job.passes);
  const round = (mm: number): number =>
    Number((mm / mmPer(units)).toPrecision(6));
  const list = passes.map(({ kind, gap, leave }) => ({
    kind,
    gap: round(gap),
    leave: round(leave),
  }));
  const cell = (i: number, key: "gap" | "leave", value: number) => {
    if (!own) return lengthFigure(value, units);
    const input = h("input", {
      type: "text",
      inputmode: "decimal",
      class: "cell",
      value: round(value),
      "aria-label": `${key} of pass ${i + 1}, ${units}`,
      "data-key": `pass-${i}-${key}`,
    });
    input.addEventListener("change", () => {
      const number = Number(input.value.replace(",", "."));
      const now = app.shown().history.now.job.passes;
      if (Number.isFinite(number) && Array.isArray(now))
        app.set(
          ["passes"],
          now.map((p, k) => (k === i ? { ...p, [key]: number } : p)),
        );
      else input.value = String(round(value));
    });
    return input;
  };
  const count = h(
    "select",
    { id: "pass-count", "data-key": "pass-count" },
    ...Array.from({ length: MOST_PASSES }, (_, i) =>
      h("option", { value: i + 1 }, i === 0 ? "1, rough only" : String(i + 1)),
    ),
  );
  count.value = String(passes.length);
  count.addEventListener("change", () =>
    app.set(["passes"], Number(count.value)),
  );
  return [
    h(
      "div",
      { class: "row" },
      h(
        "div",
        { class: "field" },
        h("label", { for: "pass-count" }, "Passes"),
        count,
      ),
      h(
        "button",
        {
          type: "button",
          "data-key": "own-passes",
          onclick: () => app.set(["passes"], own ? passes.length : list),
        },
        own ? "Back to the table’s gaps" : "Type my machine’s gaps",
      ),
    ),
    table(
      own ? "Passes, with gaps of your own" : "Passes, from the table",
      ["pass", `gap ${units}`, `leaves ${units}`, `offset ${units}`],
      passes.map((p, i) => [
        h(
          "span",
          { class: `key pass-${Math.min(p.number, 6)}` },
          `${p.number} ${p.kind}`,
        ),
        cell(i, "gap", p.gap),
        cell(i, "leave", p.leave),
        lengthFigure(p.offset, units),
      ]),
    ),
  ];
}
