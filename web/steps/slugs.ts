/** Step 3: where the wire is threaded, what comes loose, and what holds it until somebody is there. */
import {
  countText,
  entriesOf,
  type JobFile,
  type LengthUnit,
  lengthFigure,
  massText,
  type Plan,
  type PlannedEntry,
  type PlannedFeature,
  type PlannedSlit,
  threadPlaces,
} from "../../src/index.js";
import type { App, Shown } from "../app.js";
import { h, table } from "../dom.js";
import {
  choiceField,
  moreFields,
  numberField,
  readNumbers,
  textField,
} from "../fields.js";
import { featureEditor } from "../hand/editor.js";
import type { TryChange } from "../hand/try.js";
import { rectOf } from "../picture/box.js";
import type { Picture } from "../picture/picture.js";
import { refill } from "../refill.js";
import { bodyOf, NOTHING_PLANNED, type Step } from "./step.js";

export function slugsStep(
  app: App,
  picture: Picture,
  tryChange: TryChange,
): Step {
  const fields = [
    numberField(app, {
      label: "Start hole diameter",
      path: ["startHoles", "diameter"],
      unit: "length",
      settled: () => null,
      hint: "empty: the largest usual drill that fits",
    }),
    numberField(app, {
      label: "Tab length",
      path: ["tabs", "length"],
      unit: "length",
      settled: () => null,
      hint: "empty: by the slug’s mass",
    }),
    numberField(app, {
      label: "Overlap",
      path: ["lead", "overlap"],
      unit: "length",
      settled: (s) => s.draft?.plan.job.lead.overlap ?? null,
      hint: "cut twice where the ends meet",
    }),
  ];
  const more = moreFields("Drills, room and edges", [
    choiceField(app, {
      label: "The wire gets in",
      path: ["start"],
      choices: [
        ["hole", "through start holes"],
        ["edge", "from the block’s edge, where a part allows it"],
      ],
      settled: () => "hole",
    }),
    textField(app, {
      label: "Drills at hand",
      path: ["startHoles", "drills"],
      read: readNumbers,
      write: (value) => (value as readonly number[]).join(" "),
      hint: "diameters with spaces between; empty: the table’s",
    }),
    numberField(app, {
      label: "Room beside holes",
      path: ["startHoles", "clearance"],
      unit: "length",
      settled: (s) => s.draft?.plan.job.startHoles.clearance ?? null,
      hint: "from a hole’s rim to a finished edge",
    }),
    numberField(app, {
      label: "Holes on a grid of",
      path: ["startHoles", "grid"],
      unit: "length",
      settled: (s) => s.draft?.plan.job.startHoles.grid ?? null,
    }),
    numberField(app, {
      label: "No tab for slugs under",
      path: ["tabs", "minSlugArea"],
      unit: "area",
      settled: (s) => s.draft?.plan.job.tabs.minSlugArea ?? null,
      hint: "they are cut away whole",
    }),
  ]);
  const leads = moreFields("How the wire meets the outline", [
    choiceField(app, {
      label: "Leads",
      path: ["lead", "kind"],
      choices: [
        ["straight", "straight, square to the outline"],
        ["arc", "arcs, tangent to it where there is room"],
      ],
      settled: (s) => s.draft?.plan.job.lead.kind ?? null,
      takesOut: (kind) => (kind === "straight" ? ["lead", "radius"] : null),
    }),
    numberField(app, {
      label: "Radius of the arcs",
      path: ["lead", "radius"],
      unit: "length",
      settled: (s) => s.draft?.plan.job.lead.radius ?? null,
      counts: hasArcs,
      hint: "on the outline; the wire’s own is less by the offset",
    }),
    numberField(app, {
      label: "Skims begin farther on by",
      path: ["lead", "spread"],
      unit: "length",
      settled: (s) => s.draft?.plan.job.lead.spread ?? null,
      hint: "so that the marks of an opening’s passes do not fall together",
    }),
  ]);
  const sentence = h("p", { class: "sentence" });
  const list = h("div", {});
  const editor = featureEditor(app, tryChange);
  bodyOf("slugs").append(
    sentence,
    h("div", { class: "row" }, ...fields.map((f) => f.element)),
    leads.element,
    more.element,
    list,
    editor.element,
  );
  let drawn: Plan | null = null;
  return (shown) => {
    for (const field of [...fields, leads, more]) field.update(shown);
    const plan = shown.draft?.plan;
    editor.update(shown);
    if (!plan) {
      if (!shown.fault) return;
      drawn = null;
      sentence.textContent = NOTHING_PLANNED;
      refill(list);
      return;
    }
    if (plan !== drawn) {
      drawn = plan;
      sentence.textContent = sentenceOf(plan);
      refill(
        list,
        featureTable(app, picture, plan),
        leftOut(app, shown.history.now.job, plan),
      );
    }
    for (const row of list.querySelectorAll<HTMLElement>("[data-row]"))
      row.setAttribute(
        "aria-pressed",
        String(row.dataset.row === shown.feature),
      );
  };
}

function hasArcs({ history }: Shown): boolean {
  return history.now.job.lead?.kind === "arc";
}

function sentenceOf(plan: Plan): string {
  const { features, slits } = plan;
  if (features.length + slits.length === 0) return "Nothing is to be cut yet.";
  const loose = features.filter((f) => f.slug.mass > 0);
  const heaviest = [...loose].sort((a, b) => b.slug.mass - a.slug.mass)[0];
  const places = threadPlaces(plan).filter((p) => p.hole.diameter > 0);
  const drawn = places.filter((p) => p.hole.drawn).length;
  return [
    `${countText(features.length, "outline")}${slits.length > 0 ? ` and ${countText(slits.length, "slit")}` : ""} to cut, ${countText(places.length - drawn, "start hole")} to drill${drawn > 0 ? ` and ${drawn} taken from the drawing` : ""}.`,
    heaviest
      ? `The heaviest piece to come loose is ${heaviest.id}, ${massText(heaviest.slug.mass)}: each hangs on a tab until somebody stands there.`
      : "",
  ].join(" ");
}

/** More rows nobody reads, and they would hold up the page. */
const MOST = 200;

function featureTable(app: App, picture: Picture, plan: Plan): HTMLElement {
  const { units } = plan.job;
  const pick = (f: PlannedFeature | PlannedSlit) =>
    h(
      "button",
      {
        type: "button",
        class: "jump",
        "data-key": `feature-${f.id}`,
        "data-row": f.id,
        "aria-pressed": "false",
        onclick: () => {
          app.choose({ feature: f.id, about: "slugs" });
          const box = rectOf(f.contour);
          const span = Math.max(box.maxX - box.minX, box.maxY - box.minY);
          picture.goTo(
            { x: (box.minX + box.maxX) / 2, y: (box.minY + box.maxY) / 2 },
            1.3 * span,
          );
        },
      },
      f.id,
    );
  return table(
    `What is cut${plan.features.length > MOST ? ` (the first ${MOST} of ${plan.features.length}; choose others in the picture)` : ""}`,
    [
      "outline",
      `hole X, Y ${units}`,
      `drill ${units}`,
      `tab ${units}`,
      "comes loose",
    ],
    [
      ...plan.features
        .slice(0, MOST)
        .flatMap((f) =>
          entriesOf(f).map((entry, i) => [
            i === 0 ? pick(f) : `${f.id}, tab ${i + 1}`,
            ...entryCells(entry, units),
            i > 0 ? "" : f.tab ? massText(f.slug.mass) : "no slug: cut away",
          ]),
        ),
      ...plan.slits
        .slice(0, MOST)
        .map((s) => [
          pick(s),
          ...entryCells({ startHole: s.startHole, tab: null }, units),
          "nothing: a slit",
        ]),
    ],
  );
}

function entryCells(
  {
    startHole: { at, drawn, diameter },
    tab,
  }: Pick<PlannedEntry, "startHole" | "tab">,
  units: LengthUnit,
): string[] {
  return [
    `${lengthFigure(at.x, units)}, ${lengthFigure(at.y, units)}`,
    drawn ? "there" : diameter > 0 ? lengthFigure(diameter, units) : "none",
    tab && tab.length > 0 ? lengthFigure(tab.length, units) : "none",
  ];
}

/** Outlines that are not cut because somebody said so here: the way back. */
function leftOut(app: App, job: JobFile, plan: Plan): HTMLElement | null {
  const cut = new Set([...plan.features, ...plan.slits].map((f) => f.id));
  const out = Object.entries(job.features ?? {}).filter(
    ([id, wishes]) => wishes.role !== undefined && !cut.has(id),
  );
  if (out.length === 0) return null;
  return h(
    "ul",
    { class: "hint" },
    ...out.map(([id, { role }]) =>
      h(
        "li",
        {},
        `${id}: ${role === "stock" ? "the block’s edge" : "left out"} by hand. `,
        h(
          "button",
          {
            type: "button",
            "data-key": `back-${id}`,
            onclick: () => app.set(["features", id, "role"], undefined),
          },
          "Cut it again",
        ),
      ),
    ),
  );
}
