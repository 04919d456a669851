/** Handles of the chosen outline in the picture: start hole, tab, lead-in. Dragged, let go, planned; or refused. */
import type { G } from "@svgdotjs/svg.js";
import type { PlannedFeature, Vec } from "../../src/index.js";
import type { App } from "../app.js";
import type { Picture } from "../picture/picture.js";
import { nearestOf } from "../picture/probe.js";
import { type Rect, toDrawing, toScreen, type View } from "../picture/view.js";
import { type Grip, gripsOf, jobPlace, moved, placeOf } from "./place.js";
import type { TryChange } from "./try.js";

const NAMES: Readonly<Record<Grip, string>> = {
  startHole: "hole",
  tab: "tab",
  lead: "lead-in",
};

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
    for (const grip of gripsOf(f)) {
      const at = drag?.grip === grip ? drag.at : placeOf(f, grip);
      drawGrip(layer, view, grip, at, namePlace(f, view, grip));
    }
    if (drag?.grip === "startHole") {
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
      const grip = (event.target as Element).closest<SVGElement>("[data-grip]")
        ?.dataset.grip as Grip | undefined;
      const f = feature();
      if (!grip || !f) return;
      event.preventDefault();
      event.stopImmediatePropagation();
      element.setPointerCapture(event.pointerId);
      drag = { grip, feature: f, at: placeOf(f, grip) };
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
        drag.grip === "startHole"
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
      void tryChange((job) =>
        moved(job, f.id, grip, jobPlace(at, app.units())),
      );
  };
  element.addEventListener("pointerup", drop, { capture: true });
  element.addEventListener("pointercancel", drop, { capture: true });
}

/** What the handles of an outline and their names take of the screen, px. */
export function gripRooms(f: PlannedFeature, view: View): Rect[] {
  return gripsOf(f).map((grip) => {
    const { x, y } = toScreen(view, placeOf(f, grip));
    return { minX: x - 30, maxX: x + 30, minY: y - 26, maxY: y + 26 };
  });
}

/** px: large enough for a finger. */
const SIZE = 18;
/** Where a grip's name stands beside it, px: no name on another, that of the hole away from those on the outline. */
function namePlace(f: PlannedFeature, view: View, grip: Grip): NamePlace {
  const [hole, lead, tab] = (["startHole", "lead", "tab"] as const).map((g) =>
    toScreen(view, placeOf(f, g)),
  ) as [Vec, Vec, Vec];
  const below = hole.y > lead.y;
  if (grip === "startHole")
    return { x: 0, y: below ? 24 : -14, anchor: "middle" };
  const y = below ? -14 : 24;
  const leadIsLeft = lead.x < tab.x;
  return leadIsLeft === (grip === "lead")
    ? { x: -4, y, anchor: "end" }
    : { x: 4, y, anchor: "start" };
}

interface NamePlace extends Vec {
  readonly anchor: "start" | "middle" | "end";
}

function drawGrip(
  layer: G,
  view: View,
  grip: Grip,
  at: Vec,
  name: NamePlace,
): void {
  const p = toScreen(view, at);
  const group = layer.group().addClass("grip").attr("data-grip", grip);
  group
    .circle(2 * SIZE)
    .center(p.x, p.y)
    .addClass("grip-reach");
  if (grip === "startHole") group.circle(14).center(p.x, p.y);
  else if (grip === "tab") group.rect(14, 14).center(p.x, p.y);
  else group.path(`M${p.x - 8} ${p.y + 7}h16l-8 -14Z`);
  group.plain(NAMES[grip]).attr({
    x: p.x + name.x,
    y: p.y + name.y,
    "text-anchor": name.anchor,
    class: "label",
  });
}
