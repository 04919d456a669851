/** Changing one outline by keys and numbers: the same changes as with the handles in the picture. */
import {
  type JobFile,
  lengthFigure,
  type PlannedFeature,
  type Vec,
} from "../../src/index.js";
import type { App, Shown } from "../app.js";
import { valueAt, withValue } from "../desk/desk.js";
import { h, refill } from "../dom.js";
import { pointAlong, shareAlong } from "./along.js";
import {
  type Grip,
  gripsOf,
  jobPlace,
  moved,
  pathOf,
  placeOf,
} from "./place.js";
import { ROLES } from "./roles.js";
import type { TryChange } from "./try.js";

export interface Editor {
  readonly element: HTMLElement;
  update(shown: Shown): void;
}

function rolePath(feature: string): readonly string[] {
  return ["features", feature, "role"];
}

const TITLES: Readonly<Record<Grip, string>> = {
  startHole: "Start hole",
  tab: "Tab",
  lead: "Lead-in",
};
/** Steps of a slider along an outline. */
const STEPS = 1000;

export function featureEditor(app: App, tryChange: TryChange): Editor {
  const element = h("div", { class: "editor" });
  let drawn: PlannedFeature | undefined;

  const attempt = (change: (job: JobFile) => JobFile): void => {
    // What was refused is shown as it still is.
    void tryChange(change).then((done) => {
      if (!done) draw(drawn);
    });
  };
  const change = (f: PlannedFeature, grip: Grip, at: Vec | undefined): void =>
    attempt((job) => moved(job, f.id, grip, at && jobPlace(at, app.units())));

  function holeRow(f: PlannedFeature): HTMLElement {
    const units = app.units();
    const [x, y] = jobPlace(f.startHole.at, units);
    const field = (axis: "X" | "Y", value: number): HTMLInputElement => {
      const input = h("input", {
        type: "text",
        inputmode: "decimal",
        value,
        "aria-label": `Start hole ${axis}, ${units}`,
        "data-key": `hole-${axis}`,
      });
      input.addEventListener("change", () => {
        const number = Number(input.value.replace(",", "."));
        if (!Number.isFinite(number)) return draw(f);
        const at: [number, number] = axis === "X" ? [number, y] : [x, number];
        attempt((job) => moved(job, f.id, "startHole", at));
      });
      return input;
    };
    return h("span", {}, "X ", field("X", x), " Y ", field("Y", y));
  }

  function slideRow(f: PlannedFeature, grip: Grip): HTMLElement {
    const units = app.units();
    const slider = h("input", {
      type: "range",
      min: 0,
      max: STEPS,
      value: Math.round(STEPS * shareAlong(f.contour, placeOf(f, grip))),
      "aria-label": `${TITLES[grip]}: place along the outline`,
      "data-key": `slide-${grip}`,
    });
    const words = h("output", {});
    const say = (p: Vec): void => {
      words.textContent = `X ${lengthFigure(p.x, units)} Y ${lengthFigure(p.y, units)}`;
      slider.setAttribute("aria-valuetext", words.textContent);
    };
    say(placeOf(f, grip));
    const at = (): Vec => pointAlong(f.contour, Number(slider.value) / STEPS);
    slider.addEventListener("input", () => say(at()));
    slider.addEventListener("change", () => change(f, grip, at()));
    return h("span", { class: "slide" }, slider, words);
  }

  function roleRow(f: PlannedFeature): HTMLElement {
    const said = valueAt(app.shown().history.now.job, rolePath(f.id));
    const select = h(
      "select",
      { "aria-label": `Role of ${f.id}`, "data-key": "role" },
      h("option", { value: "" }, `as its layer says (${f.role})`),
      ...ROLES.map(([value, words]) => h("option", { value }, words)),
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

  function startRow(f: PlannedFeature): HTMLElement {
    const path = ["features", f.id, "start"];
    const said = valueAt(app.shown().history.now.job, path);
    const select = h(
      "select",
      { "aria-label": `How the wire gets in to ${f.id}`, "data-key": "start" },
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

  function draw(f: PlannedFeature | undefined): void {
    drawn = f;
    if (!f) {
      refill(
        element,
        h(
          "p",
          { class: "hint" },
          "Choose an outline, here or in the picture, to move its hole, tab or lead-in.",
        ),
      );
      return;
    }
    const { job } = app.shown().history.now;
    refill(
      element,
      h("h3", {}, `By hand: ${f.id}`),
      roleRow(f),
      f.role === "part" ? startRow(f) : null,
      ...gripsOf(f).map((grip) =>
        h(
          "div",
          { class: "row" },
          h("span", { class: "name" }, TITLES[grip]),
          grip === "startHole" ? holeRow(f) : slideRow(f, grip),
          valueAt(job, pathOf(f.id, grip)) === undefined
            ? h("span", { class: "hint" }, "as planned")
            : h(
                "button",
                {
                  type: "button",
                  "data-key": `free-${grip}`,
                  onclick: () => change(f, grip, undefined),
                },
                "Let the plan choose",
              ),
        ),
      ),
      h(
        "p",
        { class: "hint" },
        `Or drag the handles in the picture. A place that cannot be is refused, and the reason is told.${f.further.length > 0 ? " Further tabs go where the plan puts them, so that they hold the piece together with this one." : ""}`,
      ),
    );
  }

  return {
    element,
    update({ draft, feature }) {
      const f = draft?.plan.features.find((one) => one.id === feature);
      if (f !== drawn || element.childNodes.length === 0) draw(f);
    },
  };
}
