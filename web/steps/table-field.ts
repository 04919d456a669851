/** A file that lies beside the job: a process table or a word table. The job names it, the desk carries it. */
import type { App } from "../app.js";
import { type Path, valueAt, withValue } from "../desk/desk.js";
import { h } from "../dom.js";
import type { Field } from "../fields.js";
import { refill } from "../refill.js";

interface TableOptions {
  readonly label: string;
  /** Where the job names the file. */
  readonly path: Path;
}

let count = 0;

export function tableField(app: App, options: TableOptions): Field {
  const { label, path } = options;
  const id = `table-${++count}`;
  const now = h("span", { class: "entry" });
  const input = h("input", { id, type: "file", accept: ".json" });
  input.addEventListener("change", () => {
    const file = input.files?.[0];
    input.value = "";
    if (file) void take(file);
  });

  /** Whatever is in it: the plan says what is wrong with a table, and the last one that could be made stays in sight. */
  async function take(file: File): Promise<void> {
    const text = await file.text();
    const desk = app.shown().history.now;
    app.putDown({
      ...desk,
      beside: { ...desk.beside, [file.name]: text },
      job: withValue(desk.job, path, file.name),
    });
  }

  return {
    element: h(
      "div",
      { class: "field" },
      h("label", { for: id }, label),
      input,
      now,
    ),
    update({ history }) {
      const name = valueAt(history.now.job, path);
      const own = typeof name === "string" && name !== "neutral";
      if (now.dataset.name === (own ? name : "")) return;
      now.dataset.name = own ? name : "";
      refill(
        now,
        own ? `${name} ` : null,
        own
          ? h(
              "button",
              {
                type: "button",
                class: "small",
                onclick: () => app.set(path, undefined),
              },
              "Back to the built-in one",
            )
          : null,
      );
    },
  };
}
