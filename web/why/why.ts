/** Step 8: the four lessons on the chosen outline, each with its numbers, a short text and a question to try. */
import {
  fixed,
  lengthFigure,
  lengthText,
  massText,
  messageIn,
  mmPer,
  trimmed,
} from "../../src/index.js";
import type { App, Shown } from "../app.js";
import { h, table } from "../dom.js";
import { rectOf } from "../picture/box.js";
import { chainPath } from "../picture/paths.js";
import type { Picture } from "../picture/picture.js";
import { refill } from "../refill.js";
import { bodyOf } from "../steps/step.js";
import type { Planner } from "../worker/planner.js";
import type { Lesson, LessonKind } from "./lesson.js";

interface Text {
  readonly title: string;
  readonly text: string;
  readonly question: string;
}

const TEXTS: Readonly<Record<LessonKind, Text>> = {
  "on-the-line": {
    title: "Cut on the line",
    text: "The wire has a width, and the spark burns a little farther than the wire. Run its centre on the drawn line and it takes half a kerf from each side of it: a part comes out small, an opening large, by one wire and two gaps across.",
    question:
      "Try: make the wire thinner in step 2. By how much does the error shrink, and does it ever vanish?",
  },
  "wrong-side": {
    title: "Cut on the wrong side",
    text: "The offset is right but the side is not: the whole kerf lies in the metal that should stay. The error is twice as large as on the line.",
    question:
      "Try: give the outline’s layer the other role in step 1. What becomes scrap now: the slug or the plate?",
  },
  "no-stop": {
    title: "Let a tab go",
    text: "Take the stop out before the tab is cut, and the piece comes loose with nobody there. It tilts, shorts against the wire, marks the finished wall, or lands on the lower arm. The proof reads the spoiled program and says so.",
    question:
      "Try: look up the slug’s mass in step 3. Would you let that fall on your hand?",
  },
  "thick-wire": {
    title: "Take too thick a wire",
    text: "No inside corner can be sharper than half the wire and its gap. A thicker wire is faster and breaks less, but leaves stock in every tighter corner, and does not fit narrow slots at all.",
    question:
      "Try: find the thickest wire that still reaches into every corner of this outline.",
  },
};
const KINDS = Object.keys(TEXTS) as readonly LessonKind[];

/** mm; the slider goes from the thinnest wire there is to one no machine takes. */
const WIRE = { least: 0.02, most: 3 } as const;

export function startWhy(app: App, picture: Picture, planner: Planner): void {
  let kind: LessonKind = "on-the-line";
  let wire = 0.36;
  let lesson: Lesson | null = null;
  let askedFor: unknown = null;
  const path = picture.world.path("").addClass("lesson");

  const choices = h(
    "fieldset",
    { class: "row lessons", "aria-label": "What to get wrong" },
    ...KINDS.map((k) => {
      const button = h(
        "button",
        { type: "button", "data-kind": k },
        TEXTS[k].title,
      );
      button.addEventListener("click", () => {
        kind = k;
        app.choose({ about: "why" });
        lookAtSubject();
        void work();
      });
      return button;
    }),
  );
  const slider = h("input", {
    type: "range",
    id: "lesson-wire",
    min: Math.log(WIRE.least),
    max: Math.log(WIRE.most),
    step: 0.005,
    value: Math.log(wire),
  });
  const sliderRow = h(
    "div",
    { class: "row" },
    h("label", { for: "lesson-wire" }, "Wire"),
    slider,
    h("output", { class: "lesson-wire", for: "lesson-wire" }),
  );
  slider.addEventListener("input", () => {
    wire = Number(Math.exp(Number(slider.value)).toPrecision(2));
    void work();
  });
  const text = h("p", {});
  const answer = h("div", { "aria-live": "polite" });
  const question = h("p", { class: "question" });
  bodyOf("why").append(
    h(
      "p",
      { class: "sentence" },
      "Four ways of getting it wrong, worked out on your own outline. Choose an outline in the picture, then one of these:",
    ),
    choices,
    sliderRow,
    text,
    answer,
    question,
  );

  function lookAtSubject(): void {
    const { draft, feature } = app.shown();
    const f =
      draft?.plan.features.find((one) => one.id === feature) ??
      draft?.plan.features[0];
    if (!f) return;
    const box = rectOf(f.contour);
    const [w, tall] = [box.maxX - box.minX, box.maxY - box.minY];
    picture.goTo(
      { x: box.minX + w / 2, y: box.minY + tall / 2 },
      1.25 * Math.max(w, tall),
    );
  }

  async function work(): Promise<void> {
    const { draft, feature, history, stage, proved } = app.shown();
    const subject = feature ?? draft?.plan.features[0]?.id;
    if (!draft || !proved || stage !== null || subject === undefined) return;
    askedFor = { draft, feature };
    const mine = askedFor;
    const ending = await planner.ask({
      kind: "lesson",
      desk: history.now,
      order: { kind, feature: subject, wire },
    });
    if (mine !== askedFor || ending.kind !== "done") return;
    lesson = ending.answer;
    draw();
  }

  function draw(): void {
    for (const button of choices.querySelectorAll<HTMLElement>("[data-kind]"))
      button.setAttribute("aria-pressed", String(button.dataset.kind === kind));
    sliderRow.hidden = kind !== "thick-wire";
    const units = app.units();
    slider.setAttribute("aria-valuetext", lengthText(wire, units));
    const output = sliderRow.querySelector("output");
    if (output) output.textContent = lengthText(wire, units);
    text.textContent = TEXTS[kind].text;
    question.textContent = TEXTS[kind].question;
    // Without its stop an outline comes out as drawn.
    const shows =
      app.shown().about === "why" &&
      lesson !== null &&
      lesson.kind !== "no-stop";
    path.plot(
      shows && lesson
        ? lesson.edge
            .map((c) => chainPath(picture.origin(), c.segments, true))
            .join("")
        : "",
    );
    refill(answer, ...(lesson ? answerOf(lesson, app) : []));
  }

  let seen: Pick<Shown, "draft" | "feature" | "about"> = app.shown();
  draw();
  app.subscribe(({ draft, feature, about, stage, proved }) => {
    const wanted = about === "why" && draft && proved && stage === null;
    const changed = seen.draft !== draft || seen.feature !== feature;
    if (wanted && (changed || lesson === null)) {
      seen = { draft, feature, about };
      void work();
    } else if (seen.about !== about) draw();
    seen = { ...seen, about };
  });
}

function answerOf(lesson: Lesson, app: App): HTMLElement[] {
  const units = app.units();
  const plan = app.shown().draft?.plan;
  const { drawn, got } = lesson;
  const sizes = (): HTMLElement =>
    table(
      `${lesson.feature}: as drawn (solid line) and as it comes out (dashed)`,
      ["what", "drawn", "comes out", "error"],
      (
        [
          [`width ${units}`, drawn.width, got?.width, 1],
          [`height ${units}`, drawn.height, got?.height, 1],
          [`area ${units}²`, drawn.area, got?.area, 2],
        ] as const
      ).map(([name, from, to, power]) => {
        const figure = (mm: number): string =>
          power === 1
            ? lengthFigure(mm, units)
            : fixed(mm / mmPer(units) ** 2, units === "in" ? 6 : 3);
        return [
          name,
          figure(from),
          to === undefined ? "nothing" : figure(to),
          to === undefined ? "all of it" : signed(figure(to - from)),
        ];
      }),
    );
  switch (lesson.kind) {
    case "on-the-line":
    case "wrong-side":
      return [sizes()];
    case "thick-wire":
      return [sizes(), cornersOf(lesson, app)];
    case "no-stop": {
      const mass =
        plan?.features.find((f) => f.id === lesson.feature)?.slug.mass ?? 0;
      if (mass === 0)
        return [
          h(
            "p",
            {},
            `${lesson.feature} is cut away whole: it has no tab, and nothing comes loose. Choose an outline with a slug.`,
          ),
        ];
      return [
        h(
          "p",
          {},
          `${lesson.feature} weighs ${massText(mass)}. The program without its stop, read back:`,
        ),
        h(
          "ul",
          { class: "findings" },
          ...(lesson.findings.length > 0
            ? lesson.findings.map((f) =>
                h(
                  "li",
                  { class: `finding ${f.severity}` },
                  h("strong", {}, `${f.severity}: `),
                  messageIn(f.message, app.units()),
                ),
              )
            : [h("li", {}, "this outline has no stop to take out")]),
        ),
      ];
    }
  }
}

/** "+0.2700", "-0.2700"; "0.0000" has no side. */
function signed(figure: string): string {
  if (Number(figure) === 0) return figure.replace("-", "");
  return figure.startsWith("-") ? figure : `+${figure}`;
}

function cornersOf(lesson: Lesson, app: App): HTMLElement {
  const units = app.units();
  const worst = lesson.corners[0];
  if (lesson.got === null)
    return h("p", {}, "This wire does not fit into the outline at all.");
  if (!worst)
    return h(
      "p",
      {},
      `With this wire nothing stays: every corner is at least ${lengthText(lesson.reach, units)} round.`,
    );
  return h(
    "p",
    {},
    `Stock stays in ${lesson.corners.length} ${lesson.corners.length === 1 ? "corner" : "corners"}, at most ${lengthText(Number(trimmed(worst.left, 4)), units)} at X ${lengthFigure(worst.at.x, units)}, Y ${lengthFigure(worst.at.y, units)}.`,
  );
}
