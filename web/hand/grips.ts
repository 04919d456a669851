/** Handles of the chosen outline in the picture: start hole, tab, lead-in. Dragged, let go, planned; or refused. */
import type { G } from "@svgdotjs/svg.js";
import type { PlannedFeature, Vec } from "../../src/index.js";
import type { App } from "../app.js";
import { marksOf, roomOf } from "../picture/labels.js";
import type { Picture } from "../picture/picture.js";
import { nearestOf } from "../picture/probe.js";
import { type Rect, toDrawing, toScreen, type View } from "../picture/view.js";
import { handleRoom, placeNames } from "./grip-names.js";
import { type Grip, gripsOf, moved } from "./place.js";
import type { TryChange } from "./try.js";

interface Drag {
  readonly grip: Grip;
  readonly feature: PlannedFeature;
  /** Where it would be let go now. */
  readonly at: Vec;
}

export function startGrips(
  app: App,
  picture: Picture,
  tryChange: TryChange,
): void {
  const { element } = picture;
  let drag: Drag | null = null;

  const feature = (): PlannedFeature | undefined => {
    const { draft, feature: id } = app.shown();
    return draft?.plan.features.find((f) => f.id === id);
  };

  picture.addOverlay((layer, view) => {
    const f = feature();
    if (!f || element.classList.contains("replaying")) return;
    const { about, findings, finding } = app.shown();
    if (about === "why") return;
    const grips = gripsOf(f).map((grip) =>
      onScreen(
        drag?.grip.name === grip.name ? { ...grip, at: drag.at } : grip,
        view,
      ),
    );
    const marks = marksOf(view, findings, finding).map(roomOf);
    const rooms = placeNames(grips, marks, view);
    grips.forEach((grip, i) => {
      drawGrip(layer, grip, rooms[i] as Rect);
    });
    if (drag?.grip.kind === "startHole") {
      const p = toScreen(view, drag.at);
      layer
        .circle(f.startHole.diameter * view.scale)
        .center(p.x, p.y)
        .addClass("ghost");
    }
  });

  element.addEventListener(
    "pointerdown",
    (event) => {
      const name = (event.target as Element).closest<SVGElement>("[data-grip]")
        ?.dataset.grip;
      const f = feature();
      const grip = f && gripsOf(f).find((one) => one.name === name);
      if (!grip) return;
      event.preventDefault();
      event.stopImmediatePropagation();
      element.setPointerCapture(event.pointerId);
      drag = { grip, feature: f, at: grip.at };
    },
    { capture: true },
  );
  element.addEventListener(
    "pointermove",
    (event) => {
      if (!drag) return;
      event.stopImmediatePropagation();
      const box = element.getBoundingClientRect();
      const p = toDrawing(picture.view(), {
        x: event.clientX - box.left,
        y: event.clientY - box.top,
      });
      const at =
        drag.grip.kind === "startHole"
          ? p
          : nearestOf(drag.feature.contour.segments, p).at;
      drag = { ...drag, at };
      picture.refresh();
    },
    { capture: true },
  );
  const drop = (event: PointerEvent): void => {
    if (!drag) return;
    event.stopImmediatePropagation();
    const { grip, feature: f, at } = drag;
    drag = null;
    picture.refresh();
    if (event.type === "pointerup")
      void tryChange((job) => moved(job, f, grip, at));
  };
  element.addEventListener("pointerup", drop, { capture: true });
  element.addEventListener("pointercancel", drop, { capture: true });
}

/** What the handles of an outline and their names take of the screen, px; `taken`: what stands there already. */
export function gripRooms(
  f: PlannedFeature,
  view: View,
  taken: readonly Rect[],
): Rect[] {
  const handles = gripsOf(f).map((grip) => onScreen(grip, view));
  return [...handles.map(handleRoom), ...placeNames(handles, taken, view)];
}

function onScreen(grip: Grip, view: View): Grip {
  return { ...grip, at: toScreen(view, grip.at) };
}

/** px: large enough for a finger. */
const SIZE = 18;

/** `grip` where it is on the screen, px. */
function drawGrip(layer: G, { kind, name, at: p }: Grip, room: Rect): void {
  const group = layer.group().addClass("grip").attr("data-grip", name);
  group
    .circle(2 * SIZE)
    .center(p.x, p.y)
    .addClass("grip-reach");
  if (kind === "startHole") group.circle(14).center(p.x, p.y);
  else if (kind === "tab") group.rect(14, 14).center(p.x, p.y);
  else group.path(`M${p.x - 8} ${p.y + 7}h16l-8 -14Z`);
  group.plain(name).attr({
    x: (room.minX + room.maxX) / 2,
    // Letters stand on a line a little above the lower end of theirs.
    y: room.maxY - 4,
    "text-anchor": "middle",
    class: "label",
  });
}
