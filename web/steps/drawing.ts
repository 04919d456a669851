/** Step 1: choose a drawing; what is in it; what each layer is for. */
import {
  countText,
  type Inspection,
  type LengthUnit,
  lengthFigure,
  lengthText,
} from "../../src/index.js";
import type { App, Shown } from "../app.js";
import { type Desk, isSvg, type Path } from "../desk/desk.js";
import { openFile } from "../desk/open.js";
import { SAMPLES, sampleDesk } from "../desk/samples.js";
import { h, say, table } from "../dom.js";
import {
  choiceField,
  type Field,
  moreFields,
  numberField,
  textField,
} from "../fields.js";
import { notice } from "../notice.js";
import type { Picture } from "../picture/picture.js";
import { refill } from "../refill.js";
import { layerTable } from "./layers.js";
import { lineTypeTable } from "./line-types.js";
import { bodyOf, type Step } from "./step.js";

export function drawingStep(app: App, picture: Picture): Step {
  const file = h("input", {
    type: "file",
    id: "file",
    accept: ".dxf,.svg,.json",
    onchange: () => {
      const chosen = file.files?.[0];
      if (chosen) void openFile(app, chosen);
      file.value = "";
    },
  });
  const sample = h(
    "select",
    { id: "sample", "data-key": "sample" },
    h("option", { value: "" }, "choose…"),
    ...SAMPLES.map((s) => h("option", { value: s.name }, s.title)),
  );
  sample.addEventListener("change", () => {
    const chosen = SAMPLES.find((s) => s.name === sample.value);
    if (!chosen) return;
    notice(null);
    app.putDown(sampleDesk(chosen));
  });
  const sentence = h("p", { class: "sentence" });
  const unit = h("div", {});
  const figures = h("div", {});
  const fields = drawingFields(app);
  bodyOf("drawing").append(
    sentence,
    h(
      "div",
      { class: "row" },
      h(
        "div",
        { class: "field" },
        h("label", { for: "file" }, "A drawing, job or desk file"),
        file,
      ),
      h(
        "div",
        { class: "field" },
        h("label", { for: "sample" }, "Or a sample"),
        sample,
      ),
    ),
    h(
      "p",
      { class: "hint" },
      "DXF or SVG. You can also drop the file anywhere on this page. It stays on this computer.",
    ),
    unit,
    figures,
    ...fields.map((f) => f.element),
  );

  let drawn: readonly unknown[] = [];
  return (shown) => {
    for (const field of fields) field.update(shown);
    const { history, inspection, findings, fault, stage } = shown;
    const { now } = history;
    const shownSample = SAMPLES.some((s) => s.name === now.name)
      ? now.name
      : "";
    if (sample.value !== shownSample) sample.value = shownSample;
    sentence.classList.toggle("fault", fault !== null);
    say(
      sentence,
      fault
        ? `${now.name}: ${fault.message}`
        : inspection
          ? sentenceOf(now.name, inspection, app.units())
          : `${now.name}: ${stage === null ? "measuring" : "reading"}…`,
    );
    const { units, roles, drawing } = now.job;
    const sheets = findings.filter((f) => f.code === "role/sheet-layer");
    const doubts = findings.some((f) => UNIT_CODES.has(f.code));
    const said = [now.drawingUnit, units, roles, drawing, sheets, doubts];
    const draws = [inspection, fault, JSON.stringify(said)];
    if (draws.every((d, i) => d === drawn[i])) return;
    drawn = draws;
    refill(unit, unitQuestion(app, shown));
    refill(
      figures,
      ...(inspection
        ? [
            layerTable(app, inspection, sheets),
            lineTypeTable(app, inspection),
            narrowTable(app, picture, inspection),
            repairTable(app, inspection),
          ]
        : []),
    );
  };
}

function drawingFields(app: App): Field[] {
  const job = (s: Shown) => s.draft?.plan.job;
  const layer = (label: string, path: Path) =>
    textField(app, { label, path, read: String, write: String });
  const length = (label: string, key: "gap" | "fit" | "refit", hint: string) =>
    numberField(app, {
      label,
      path: ["drawing", key],
      unit: "length",
      settled: (s) => job(s)?.drawing[key] ?? null,
      hint,
    });
  return [
    moreFields("Roles and layers with a meaning", [
      choiceField(app, {
        label: "Outermost outlines are",
        path: ["roles", "outer"],
        choices: [
          ["part", "parts to cut free"],
          ["stock", "the block’s own edge"],
          ["opening", "openings"],
        ],
        settled: (s) => job(s)?.roles.outer ?? null,
      }),
      layer("Layer of start holes", ["startHoles", "layer"]),
      layer("Layer of tab marks", ["tabs", "layer"]),
      layer("Layer of edges to keep off", ["tabs", "keepOffLayer"]),
    ]),
    moreFields("How exactly it is read", [
      length("Ends joined up to", "gap", "gaps between drawn pieces"),
      length("Curves fitted within", "fit", "splines and ellipses as arcs"),
      length("Chords refitted within", "refit", "empty: chords stay as drawn"),
    ]),
  ];
}

const UNITS: Readonly<Record<string, string>> = {
  mm: "millimetres",
  in: "inches",
};

function sentenceOf(name: string, i: Inspection, units: LengthUnit): string {
  const [w, hgt] = i.size;
  const repairs =
    i.repairs.length === 0
      ? "Nothing had to be mended"
      : `${countText(i.repairs.length, "place")} mended`;
  const slits = i.open.filter((o) => o.slit !== null).length;
  const open = i.open.length - slits;
  const skipped = i.skipped.reduce((sum, s) => sum + s.count, 0);
  return [
    `${name} is ${lengthText(w, units)} by ${lengthText(hgt, units)} (drawn in ${UNITS[i.units.drawing] ?? i.units.drawing}, ${sourceText(i.units.source)}).`,
    `It holds ${[
      countText(i.contours.length, "closed outline"),
      ...(slits > 0 ? [countText(slits, "slit")] : []),
      ...(open > 0 ? [countText(open, "open chain")] : []),
    ].join(" and ")}.`,
    `${repairs}${skipped > 0 ? `; ${countText(skipped, "entity").replace("entitys", "entities")} left aside` : ""}.`,
    wireWords(i, units),
  ].join(" ");
}

/** Who said the unit. */
function sourceText(source: string): string {
  if (source === "$INSUNITS") return "as the file says";
  if (source === "the caller") return "as you say";
  if (source.startsWith("the caller,"))
    return "the job’s unit, as the file names none";
  return `by ${source}`;
}

function wireWords(i: Inspection, units: LengthUnit): string {
  if (i.largestWire !== null)
    return `The largest wire that reaches into every corner is ${lengthText(i.largestWire, units)}.`;
  return i.largestWireButCorners === null
    ? "No usual wire gets in everywhere."
    : `Some corners are sharper than any wire; those aside, the largest that gets in everywhere is ${lengthText(i.largestWireButCorners, units)}.`;
}

/** Where the drawing leaves its unit in doubt. */
const UNIT_CODES = new Set([
  "drawing/no-unit",
  "drawing/unknown-unit",
  "drawing/unit-taken",
  "drawing/unit-doubtful",
  "drawing/px-unit",
]);

/** A drawing that says no unit is asked about, never guessed at in silence. */
function unitQuestion(
  app: App,
  { history, fault, findings }: Shown,
): HTMLElement | null {
  const { drawing, drawingUnit } = history.now;
  const codes = [fault?.code ?? "", ...findings.map(({ code }) => code)];
  const asked = drawingUnit !== null || codes.some((c) => UNIT_CODES.has(c));
  if (!asked) return null;
  const choose = (unit: NonNullable<Desk["drawingUnit"]>, title: string) =>
    h(
      "button",
      {
        type: "button",
        "data-key": `unit-${unit}`,
        "aria-pressed": String(drawingUnit === unit),
        onclick: () => app.putDown({ ...history.now, drawingUnit: unit }),
      },
      title,
    );
  return h(
    "div",
    { class: "row", role: "group", "aria-label": "Unit of the drawing" },
    h("span", {}, "The drawing’s figures are "),
    choose("mm", "millimetres"),
    choose("in", "inches"),
    isSvg(drawing) ? choose("px", "px, 96 to the inch") : null,
  );
}

function narrowTable(
  app: App,
  picture: Picture,
  i: Inspection,
): HTMLElement | null {
  const units = app.units();
  const radii = i.contours
    .flatMap((c) => (c.minInsideRadius ? [c.minInsideRadius] : []))
    .sort((a, b) => a.value - b.value);
  const rows = [
    ["smallest inside radius", radii[0]?.value, radii[0]?.at],
    ["narrowest slot", i.narrowestSlot?.width, i.narrowestSlot?.at],
    ["thinnest web", i.thinnestWeb?.width, i.thinnestWeb?.at],
  ] as const;
  const told = rows.filter(([, value]) => value !== undefined);
  if (told.length === 0) return null;
  return table(
    "Where it is tight",
    ["what", units, "where"],
    told.map(([name, value, at]) => [
      name,
      value === 0 ? "sharp" : lengthFigure(value ?? 0, units),
      at
        ? h(
            "button",
            {
              type: "button",
              class: "jump",
              "data-key": `jump-${name}`,
              onclick: () =>
                picture.goTo(
                  { x: at[0], y: at[1] },
                  Math.max(4 * (value ?? 0), 2),
                ),
            },
            `${lengthFigure(at[0], units)}, ${lengthFigure(at[1], units)}`,
          )
        : null,
    ]),
  );
}

function repairTable(app: App, i: Inspection): HTMLElement | null {
  if (i.repairs.length === 0) return null;
  const units = app.units();
  const shown = i.repairs.slice(0, 40);
  return table(
    `Mended while reading${shown.length < i.repairs.length ? ` (first ${shown.length} of ${i.repairs.length})` : ""}`,
    ["what", "layer", `X, Y ${units}`, `size ${units}`],
    shown.map((r) => [
      r.kind.replaceAll("-", " "),
      r.layer,
      `${lengthFigure(r.at[0], units)}, ${lengthFigure(r.at[1], units)}`,
      lengthFigure(r.size, units),
    ]),
  );
}
