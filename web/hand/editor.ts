/** Changing one outline by keys and numbers: the same changes as with the handles in the picture. */
import {
  type JobFile,
  lengthFigure,
  mmPer,
  type PlannedFeature,
  type PlannedSlit,
  type Segment,
  type Vec,
} from "../../src/index.js";
import type { App, Shown } from "../app.js";
import { valueAt, withValue } from "../desk/desk.js";
import { h } from "../dom.js";
import { refill } from "../refill.js";
import { pointAlong, shareAlong } from "./along.js";
import { roleRow, startRow } from "./choices.js";
import { addDeed, type Deed, deedsOn } from "./deeds.js";
import { type Grip, gripsOf, jobPlace, moved, pathOf } from "./place.js";
import { ROLES } from "./roles.js";
import type { TryChange } from "./try.js";

export interface Editor {
  readonly element: HTMLElement;
  update(shown: Shown): void;
}

function titleOf({ kind, name }: Grip): string {
  return kind === "startHole"
    ? "Start hole"
    : name.charAt(0).toUpperCase() + name.slice(1);
}
/** Steps of a slider along an outline. */
const STEPS = 1000;

export function featureEditor(app: App, tryChange: TryChange): Editor {
  const element = h("div", { class: "editor" });
  let drawn: PlannedFeature | undefined;
  let slit: PlannedSlit | undefined;

  /** Where a slider was put while the plan for that is not there yet: plans for places before it do not move it back. */
  const wanted = new Map<string, string>();

  const attempt = (
    change: (job: JobFile) => JobFile,
    subject?: string,
  ): void => {
    const value = wanted.get(subject ?? "");
    void tryChange(change, subject).then((done) => {
      if (subject && wanted.get(subject) === value) wanted.delete(subject);
      // What was refused is shown as it still is.
      if (!done) draw(drawn, slit);
    });
  };
  const subjectOf = (f: PlannedFeature, grip: Grip): string =>
    `${grip.name} of ${f.id}`;
  const change = (f: PlannedFeature, grip: Grip, at: Vec | undefined): void =>
    attempt((job) => moved(job, f, grip, at), subjectOf(f, grip));

  /** What of an outline can be moved; it is one of the plan that is shown. */
  const things = (f: PlannedFeature): readonly Grip[] => {
    const { draft } = app.shown();
    return draft ? gripsOf(f, draft.plan.job) : [];
  };
  /** A thing of the outline in hand as it is now: a field outlives the plan it was drawn for. */
  const now = (
    name: string,
  ): { readonly f: PlannedFeature; readonly grip: Grip } | null => {
    const grip = drawn && things(drawn).find((one) => one.name === name);
    return drawn && grip ? { f: drawn, grip } : null;
  };
  const moveTo = (
    name: string,
    place: (from: Grip, f: PlannedFeature) => Vec,
  ): void => {
    const here = now(name);
    if (here) change(here.f, here.grip, place(here.grip, here.f));
  };

  function holeRow(f: PlannedFeature, grip: Grip): HTMLElement {
    const units = app.units();
    const [x, y] = jobPlace(grip.at, units);
    const field = (axis: "X" | "Y", value: number): HTMLInputElement => {
      const input = h("input", {
        type: "text",
        inputmode: "decimal",
        value,
        "aria-label": `Start hole ${axis}, ${units}`,
        "data-key": `hole-${axis}-${f.id}`,
      });
      input.addEventListener("change", () => {
        const number = Number(input.value.replace(",", "."));
        if (!Number.isFinite(number)) return draw(drawn, slit);
        const mm = number * mmPer(app.units());
        moveTo(grip.name, ({ at }) => ({
          ...at,
          [axis === "X" ? "x" : "y"]: mm,
        }));
      });
      return input;
    };
    return h("span", {}, "X ", field("X", x), " Y ", field("Y", y));
  }

  function slideRow(f: PlannedFeature, grip: Grip): HTMLElement {
    const units = app.units();
    const subject = subjectOf(f, grip);
    const slider = h("input", {
      type: "range",
      min: 0,
      max: STEPS,
      value:
        wanted.get(subject) ??
        Math.round(STEPS * shareAlong(f.contour, grip.at)),
      "aria-label": `${titleOf(grip)}: place along the outline`,
      "data-key": `slide-${grip.name}-${f.id}`,
    });
    const words = (p: Vec): string =>
      `X ${lengthFigure(p.x, units)} Y ${lengthFigure(p.y, units)}`;
    slider.setAttribute("aria-valuetext", words(grip.at));
    const at = ({ contour }: PlannedFeature): Vec =>
      pointAlong(contour, Number(slider.value) / STEPS);
    slider.addEventListener("input", () => {
      const text = words(at(f));
      slider.setAttribute("aria-valuetext", text);
      if (slider.nextElementSibling)
        slider.nextElementSibling.textContent = text;
    });
    slider.addEventListener("change", () => {
      wanted.set(subject, slider.value);
      moveTo(grip.name, (_, now) => at(now));
    });
    return h(
      "span",
      { class: "slide" },
      slider,
      h("output", {}, words(grip.at)),
    );
  }

  /** Whether the plan chose, or how to let it choose again: once for all things of a kind. */
  function freeOf(f: PlannedFeature, grip: Grip): HTMLElement | null {
    const { job } = app.shown().history.now;
    if (grip.kind === "keepOff") return null;
    const kin = things(f).filter(({ kind }) => kind === grip.kind);
    if (valueAt(job, pathOf(f.id, grip.kind)) === undefined)
      return h("span", { class: "hint" }, "as planned");
    if (kin.at(-1)?.name !== grip.name) return null;
    return h(
      "button",
      {
        type: "button",
        class: "small",
        "data-key": `free-${grip.kind}`,
        onclick: () => change(f, grip, undefined),
      },
      kin.length > 1 ? "Let the plan choose all tabs" : "Let the plan choose",
    );
  }

  function deedButton({ key, words, change }: Deed): HTMLElement {
    return h(
      "button",
      {
        type: "button",
        class: "small",
        "data-key": key,
        onclick: () => attempt(change),
      },
      words,
    );
  }

  /** It has no more than two ends to begin at. */
  function slitRows({ id, contour, startHole }: PlannedSlit): HTMLElement[] {
    const path = ["features", id, "startHole"];
    const { job } = app.shown().history.now;
    const ends = [
      (contour.segments[0] as Segment).start,
      (contour.segments.at(-1) as Segment).end,
    ].sort((a, b) => apart(b, startHole.at) - apart(a, startHole.at));
    return [
      h("h3", {}, `By hand: ${id}`),
      roleRow(
        app,
        { id, role: "slit" },
        ROLES.filter(([role]) => role === "slit" || role === "ignore"),
      ),
      h(
        "div",
        { class: "row" },
        deedButton({
          key: `turn-${id}`,
          words: "Begin at the other end",
          change: (job) =>
            withValue(job, path, jobPlace(ends[0] as Vec, app.units())),
        }),
        valueAt(job, path) === undefined
          ? h("span", { class: "hint" }, "as planned")
          : deedButton({
              key: `free-${id}`,
              words: "Let the plan choose",
              change: (job) => withValue(job, path, undefined),
            }),
      ),
    ];
  }

  function outlineRows(f: PlannedFeature): (HTMLElement | null)[] {
    const more = addDeed(f);
    return [
      h("h3", {}, `By hand: ${f.id}`),
      roleRow(
        app,
        f,
        ROLES.filter(([role]) => role !== "slit"),
      ),
      f.role === "part" ? startRow(app, f, attempt) : null,
      ...things(f).map((grip) =>
        h(
          "div",
          { class: "row" },
          h("span", { class: "name" }, titleOf(grip)),
          grip.kind === "startHole" ? holeRow(f, grip) : slideRow(f, grip),
          freeOf(f, grip),
          ...(grip.kind === "lead" ? [] : deedsOn(f, grip).map(deedButton)),
        ),
      ),
      more ? h("div", { class: "row" }, deedButton(more)) : null,
      h(
        "p",
        { class: "hint" },
        `Or drag the handles in the picture; click a handle, or the outline’s edge, for what else can be done there. A place that cannot be is refused, and the reason is told.${f.further.length > 0 ? " Each tab takes its lead-in with it; once one is moved, all stay where they are until you let the plan choose." : ""}`,
      ),
    ];
  }

  function draw(
    f: PlannedFeature | undefined,
    s: PlannedSlit | undefined,
  ): void {
    drawn = f;
    slit = s;
    const hint = h(
      "p",
      { class: "hint" },
      "Choose an outline, here or in the picture, to move its hole, tab or lead-in.",
    );
    refill(element, ...(f ? outlineRows(f) : s ? slitRows(s) : [hint]));
  }

  return {
    element,
    update({ draft, feature }) {
      const f = draft?.plan.features.find((one) => one.id === feature);
      const s = draft?.plan.slits.find((one) => one.id === feature);
      if (f !== drawn || s !== slit || element.childNodes.length === 0)
        draw(f, s);
    },
  };
}

function apart(a: Vec, b: Vec): number {
  return Math.hypot(a.x - b.x, a.y - b.y);
}
