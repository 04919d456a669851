/** The layers of the drawing: which are read, what is cut on them, and which look like the sheet rather than the work. */
import {
  type Finding,
  type Inspection,
  type JobFile,
  type LengthUnit,
  messageIn,
} from "../../src/index.js";
import type { App } from "../app.js";
import { withValue } from "../desk/desk.js";
import { h, table } from "../dom.js";
import { ROLES } from "../hand/roles.js";

/** More rows nobody reads: a drawing may have thousands of layers. */
const MOST = 60;

export function layerTable(
  app: App,
  { layers }: Inspection,
  told: readonly Finding[],
): HTMLElement {
  const { job } = app.shown().history.now;
  const rows = layers
    .slice(0, MOST)
    .map((layer) => [
      nameCell(layer, told, app.units()),
      layer.entities,
      readCell(app, job, layer.name),
      roleCell(app, job, layer.name),
    ]);
  const more = layers.length - rows.length;
  return table(
    `Layers and what is cut on them${more > 0 ? ` (the first ${MOST}; ${more} more)` : ""}`,
    ["layer", "entities", "read", "role"],
    rows,
  );
}

function nameCell(
  { name, state }: Inspection["layers"][number],
  told: readonly Finding[],
  units: LengthUnit,
): HTMLElement {
  const sheet = told.find((f) => f.layers?.some((l) => sameName(l, name)));
  return h(
    "span",
    {},
    state === "on" ? name : `${name} (${state})`,
    sheet
      ? h(
          "span",
          { class: "sheet-layer", title: messageIn(sheet.message, units) },
          h("span", { "aria-hidden": "true" }, "▲ "),
          "text beside outlines: a frame? Then do not read it",
        )
      : null,
  );
}

function readCell(app: App, job: JobFile, name: string): HTMLElement {
  const box = h("input", {
    type: "checkbox",
    checked: isRead(job, name),
    "aria-label": `Read layer ${name}`,
    "data-key": `read-${name}`,
  });
  box.addEventListener("change", () => {
    const { now } = app.shown().history;
    app.putDown({ ...now, job: withLayer(now.job, name, box.checked) });
  });
  return box;
}

function roleCell(app: App, job: JobFile, name: string): HTMLElement {
  const select = h(
    "select",
    { "aria-label": `Role of layer ${name}`, "data-key": `layer-${name}` },
    h("option", { value: "" }, "by nesting"),
    ...ROLES.map(([value, words]) => h("option", { value }, words)),
  );
  select.value = job.roles?.layers?.[name] ?? "";
  select.disabled = !isRead(job, name);
  select.addEventListener("change", () =>
    app.set(["roles", "layers", name], select.value || undefined),
  );
  return select;
}

/** Case tells neither layers nor line types apart. */
export function sameName(a: string, b: string): boolean {
  return a.toUpperCase() === b.toUpperCase();
}

export function isRead({ drawing }: JobFile, name: string): boolean {
  const named = (list: readonly string[] | undefined): boolean =>
    list?.some((l) => sameName(l, name)) ?? false;
  return (
    (drawing?.only === undefined || named(drawing.only)) &&
    !named(drawing?.skip)
  );
}

/** The job with a layer read or left out, in the terms that the job uses already: `only`, or else `skip`. */
export function withLayer(job: JobFile, name: string, read: boolean): JobFile {
  const without = (list: readonly string[] = []): string[] =>
    list.filter((l) => !sameName(l, name));
  const { only, skip } = job.drawing ?? {};
  const skipped = read ? without(skip) : [...without(skip), name];
  const picked = only && (read ? [...without(only), name] : without(only));
  // A list of nothing to read is no list; then the layers left out are named.
  const next = withValue(
    job,
    ["drawing", "only"],
    picked && picked.length > 0 ? picked : undefined,
  );
  return withValue(
    next,
    ["drawing", "skip"],
    picked !== undefined && picked.length > 0
      ? skip
      : skipped.length > 0
        ? skipped
        : undefined,
  );
}
