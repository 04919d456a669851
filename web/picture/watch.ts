/** Joins the picture to what the page knows: shows plans, tells what is under the pointer, marks what is chosen. */
import {
  type Finding,
  messageIn,
  type Plan,
  type Vec,
} from "../../src/index.js";
import type { App } from "../app.js";
import { byId } from "../dom.js";
import { gripRooms } from "../hand/grips.js";
import { CLICK_SLACK } from "./gestures.js";
import { type PlacedLabel, placeLabels } from "./label-places.js";
import {
  drawLabels,
  drawMarks,
  labelsOf,
  type Mark,
  marksOf,
  roomOf,
} from "./labels.js";
import { drawMeasure, type Measure, measureText, snapped } from "./measure.js";
import { chainPath } from "./paths.js";
import type { Picture } from "./picture.js";
import { placeOf, probe } from "./probe.js";
import { EMPTY, lineOf } from "./scene.js";
import {
  drawSection,
  LEAST_WIRE,
  type Section,
  sectionOf,
  sectionRooms,
} from "./section.js";
import { toDrawing, type View, zoomed } from "./view.js";

/** Pixels within which the pointer is on a thing. */
const REACH = 8;

export function watchPicture(app: App, picture: Picture): void {
  const { element } = picture;
  const readout = byId("readout");
  const tip = byId("tip");
  const measureButton = byId<HTMLButtonElement>("measure");
  let plan: Plan | null = null;
  let measuring = false;
  let measure: Measure | null = null;
  const chosen = picture.world.path("").addClass("chosen-feature");

  const pointed = (event: PointerEvent): Vec => {
    const box = element.getBoundingClientRect();
    return toDrawing(picture.view(), {
      x: event.clientX - box.left,
      y: event.clientY - box.top,
    });
  };
  const reach = (): number => REACH / picture.view().scale;

  let drawn: readonly unknown[] = [];
  let drawing: Uint8Array | null = null;
  app.subscribe(({ draft, feature, findings, finding, about, ...now }) => {
    element.dataset.about = about;
    // What cannot be planned has no picture: that of the same drawing steps back, that of another goes.
    element.classList.toggle("old", now.fault !== null);
    if (now.fault && plan && now.history.now.drawing !== drawing) {
      plan = null;
      picture.show(EMPTY);
    }
    const draws = [draft, feature, findings, finding, about === "order"];
    if (draws.every((d, i) => d === drawn[i])) return;
    drawn = draws;
    if (draft && draft.plan !== plan) {
      plan = draft.plan;
      drawing = now.history.now.drawing;
      picture.show(draft.scene);
    }
    const line = plan && lineOf(plan, feature);
    chosen.plot(
      line ? chainPath(picture.origin(), line.segments, line.closed) : "",
    );
    picture.refresh();
  });

  let placed: {
    readonly marks: Mark[];
    readonly labels: PlacedLabel[];
    readonly section: Section | null;
  } = { marks: [], labels: [], section: null };
  let placedFor: readonly unknown[] = [];
  /** Marks and labels where they stand; worked out anew only when something has changed, not for every frame of a film. */
  const place = (of: Plan, view: View): typeof placed => {
    const { findings, finding, feature, about } = app.shown();
    const asks = [of, view, findings, finding, feature, about === "order"];
    if (asks.every((a, i) => a === placedFor[i])) return placed;
    placedFor = asks;
    const marks = marksOf(view, findings, finding);
    const held = of.features.find((f) => f.id === feature);
    const rooms = marks.map(roomOf);
    const section = sectionOf(view, of);
    const taken = [
      ...rooms,
      ...(section ? sectionRooms(section, view, of) : []),
      ...(held ? gripRooms(held, of.job, view, rooms) : []),
    ];
    const labels = labelsOf(of, view, about === "order");
    placed = {
      marks,
      labels: placeLabels(of, view, labels, taken, about === "order"),
      section,
    };
    return placed;
  };
  picture.addOverlay((layer, view) => {
    if (!plan) return;
    const { marks, labels, section } = place(plan, view);
    drawLabels(layer, labels);
    if (section) drawSection(layer, view, plan, section);
    drawMarks(layer, marks);
    if (measure) drawMeasure(layer, view, measure, app.units());
  });

  let down: Vec | null = null;
  /** The mark that was pressed: when the pointer is lifted, the picture as a whole is told. */
  let pressed: Finding | undefined;
  element.addEventListener("pointerdown", (event) => {
    down = { x: event.clientX, y: event.clientY };
    pressed = markedAt(event);
  });
  element.addEventListener("pointermove", (event) => {
    // Whoever drags the picture does not ask what is under the pointer.
    if (!plan || event.buttons !== 0) return;
    const p = pointed(event);
    if (measuring && measure && !measure.to) {
      const to = snapped(plan, p, reach());
      readout.textContent = measureText(measure.from, to, app.units());
      return;
    }
    const seen = probe(plan, p, reach());
    readout.textContent = placeOf(seen.at, app.units());
    const finding = markedAt(event);
    showTip(
      tip,
      event,
      finding ? messageIn(finding.message, app.units()) : seen.text,
    );
  });
  element.addEventListener("pointerleave", () => {
    tip.hidden = true;
  });
  /** Sets a point of a measure, or chooses the outline that lies there. */
  const take = (of: Plan, p: Vec): void => {
    if (!measuring) {
      app.choose({ feature: probe(of, p, reach()).feature });
      return;
    }
    const at = snapped(of, p, reach());
    measure =
      measure && !measure.to
        ? { from: measure.from, to: at }
        : { from: at, to: null };
    if (measure.to)
      readout.textContent = measureText(measure.from, measure.to, app.units());
    picture.refresh();
  };
  element.addEventListener("pointerup", (event) => {
    const still =
      down !== null &&
      Math.hypot(event.clientX - down.x, event.clientY - down.y) < CLICK_SLACK;
    down = null;
    if (!still || !plan) return;
    const index = pressed ? app.shown().findings.indexOf(pressed) : -1;
    if (pressed && index >= 0 && !measuring) {
      app.choose({ finding: pressed, about: "proof" });
      showInList(index);
      return;
    }
    take(plan, pointed(event));
  });

  function markedAt(event: PointerEvent): Finding | undefined {
    const mark = (event.target as Element).closest<SVGElement>(
      "[data-finding]",
    );
    return mark
      ? app.shown().findings[Number(mark.dataset.finding)]
      : undefined;
  }

  const middle = (): Vec => ({
    x: picture.view().width / 2,
    y: picture.view().height / 2,
  });
  byId("fit").addEventListener("click", picture.showWhole);
  byId("closer").addEventListener("click", () =>
    picture.setView(zoomed(picture.view(), 1.6, middle())),
  );
  byId("farther").addEventListener("click", () =>
    picture.setView(zoomed(picture.view(), 1 / 1.6, middle())),
  );
  byId("gap").addEventListener("click", () => {
    const feature =
      plan?.features.find((f) => f.id === app.shown().feature) ??
      plan?.features[0];
    if (!plan || !feature) return;
    app.choose({ about: "wire" });
    // On a small screen nearer, so that the section shows.
    const { width, height } = picture.view();
    const least = (0.7 * Math.min(width, height)) / LEAST_WIRE;
    const { diameter } = plan.job.wire;
    picture.goTo(feature.leadPoint, Math.min(5, least) * diameter);
  });
  measureButton.addEventListener("click", () => {
    measuring = !measuring;
    measure = null;
    measureButton.setAttribute("aria-pressed", String(measuring));
    element.classList.toggle("measuring", measuring);
    readout.textContent = measuring ? "two points, please" : "";
    picture.refresh();
  });
  element.addEventListener("keydown", (event) => {
    if (event.target !== element || !plan) return;
    if (event.key === "0") picture.showWhole();
    // By keys the middle of the picture is pointed at: a cross marks it.
    if (event.key !== "Enter") return;
    const { center } = picture.view();
    const seen = probe(plan, center, reach());
    readout.textContent = `${placeOf(seen.at, app.units())}: ${seen.text}`;
    take(plan, center);
  });
}

/** Whoever takes hold of a mark wants to read what it is about. */
function showInList(index: number): void {
  byId("s-proof")
    .querySelectorAll("[data-finding]")
    [index]?.scrollIntoView({ block: "center" });
}

function showTip(tip: HTMLElement, event: PointerEvent, text: string): void {
  if (event.pointerType === "touch") return;
  tip.textContent = text;
  tip.hidden = false;
  const room = innerWidth - tip.offsetWidth - 12;
  tip.style.left = `${Math.min(event.clientX + 14, room)}px`;
  tip.style.top = `${Math.max(event.clientY - 34, 4)}px`;
}
