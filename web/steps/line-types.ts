/** The line types of the drawing: which are read, and which have closed outlines that look like the sheet's own lines. */
import { countText, type Inspection, likelyMeaning } from "../../src/index.js";
import type { App } from "../app.js";
import { h, table } from "../dom.js";
import { sameName } from "./layers.js";

/** `null` where all is drawn in one. */
export function lineTypeTable(
  app: App,
  { lineTypes, contours }: Inspection,
): HTMLElement | null {
  if (lineTypes.length < 2) return null;
  const closed = (name: string): number =>
    contours.filter(
      (c) => c.role !== "ignore" && sameName(c.lineType ?? "Continuous", name),
    ).length;
  return table(
    "Line types",
    ["line type", "entities", "read"],
    lineTypes.map(({ name, entities }) => [
      nameCell(name, closed(name)),
      entities,
      readCell(app, name),
    ]),
  );
}

function nameCell(name: string, closed: number): HTMLElement {
  const meaning = likelyMeaning(name);
  return h(
    "span",
    {},
    name,
    meaning !== null && closed > 0
      ? h(
          "span",
          { class: "sheet-layer" },
          h("span", { "aria-hidden": "true" }, "▲ "),
          `${countText(closed, "closed outline")} drawn as ${meaning} are: do not read them, unless they are to be cut`,
        )
      : null,
  );
}

function readCell(app: App, name: string): HTMLElement {
  const skipped = (): readonly string[] =>
    app.shown().history.now.job.drawing?.skipLineTypes ?? [];
  const box = h("input", {
    type: "checkbox",
    checked: !skipped().some((other) => sameName(other, name)),
    "aria-label": `Read line type ${name}`,
    "data-key": `read-type-${name}`,
  });
  box.addEventListener("change", () => {
    const others = skipped().filter((other) => !sameName(other, name));
    const next = box.checked ? others : [...others, name];
    app.set(["drawing", "skipLineTypes"], next.length > 0 ? next : undefined);
  });
  return box;
}
