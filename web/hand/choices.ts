/** What is chosen from a list for one outline: its role, and how the wire gets in to it. */
import type { JobFile, PlannedFeature, Role } from "../../src/index.js";
import type { App } from "../app.js";
import { valueAt, withValue } from "../desk/desk.js";
import { h } from "../dom.js";
import type { ROLES } from "./roles.js";

const rolePath = (feature: string): readonly string[] => [
  "features",
  feature,
  "role",
];

/** A role of its own, or the one that its layer gives it. */
export function roleRow(
  app: App,
  f: { readonly id: string; readonly role: Role },
  roles: typeof ROLES,
): HTMLElement {
  const said = valueAt(app.shown().history.now.job, rolePath(f.id));
  const select = h(
    "select",
    { "aria-label": `Role of ${f.id}`, "data-key": `role-${f.id}` },
    h("option", { value: "" }, `as its layer says (${f.role})`),
    ...roles.map(([value, words]) => h("option", { value }, words)),
  );
  select.value = typeof said === "string" ? said : "";
  select.addEventListener("change", () =>
    app.set(rolePath(f.id), select.value || undefined),
  );
  return h(
    "div",
    { class: "row" },
    h("span", { class: "name" }, "Role"),
    select,
  );
}

/** A hole or the block’s edge; refused where there is no such way in. */
export function startRow(
  app: App,
  f: PlannedFeature,
  attempt: (change: (job: JobFile) => JobFile) => void,
): HTMLElement {
  const path = ["features", f.id, "start"];
  const said = valueAt(app.shown().history.now.job, path);
  const select = h(
    "select",
    {
      "aria-label": `How the wire gets in to ${f.id}`,
      "data-key": `start-${f.id}`,
    },
    h("option", { value: "" }, "as the job says"),
    h("option", { value: "hole" }, "through a start hole"),
    h("option", { value: "edge" }, "from the block’s edge"),
  );
  select.value = typeof said === "string" ? said : "";
  select.addEventListener("change", () =>
    attempt((job) => withValue(job, path, select.value || undefined)),
  );
  return h(
    "div",
    { class: "row" },
    h("span", { class: "name" }, "Gets in"),
    select,
  );
}
