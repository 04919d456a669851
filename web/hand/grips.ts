/**
 * Handles of the chosen outline in the picture: start hole, tab, lead-in, ends of what is kept free. Dragged, let go,
 * planned; or refused. Clicked, they offer what else can be done with them, as the outline's edge does.
 */
import type { G } from "@svgdotjs/svg.js";
import type { Job, PlannedFeature, Vec } from "../../src/index.js";
import type { App } from "../app.js";
import { CLICK_SLACK } from "../picture/gestures.js";
import { marksOf, roomOf } from "../picture/labels.js";
import type { Picture } from "../picture/picture.js";
import { nearestOf } from "../picture/probe.js";
import { type Rect, toDrawing, toScreen, type View } from "../picture/view.js";
import { pointAlong, shareAlong } from "./along.js";
import { startDeedMenu } from "./deed-menu.js";
import { deedsAt, deedsOn } from "./deeds.js";
import { handleRoom, placeNames } from "./grip-names.js";
import { type Grip, gripsOf, moved, stretchesOf } from "./place.js";
import type { TryChange } from "./try.js";

interface Drag {
  readonly grip: Grip;
  readonly feature: PlannedFeature;
  /** Where it would be let go now. */
  readonly at: Vec;
  /** Where the pointer took it, px of the window. */
  readonly from: Vec;
}

/** px within which a click is on the outline's edge. */
const ON_EDGE = 8;

export function startGrips(
  app: App,
  picture: Picture,
  tryChange: TryChange,
): void {
  const { element } = picture;
  const menu = startDeedMenu(element, tryChange);
  let drag: Drag | null = null;

  /** The outline in hand, while things can be moved. */
  const inHand = (): {
    readonly f: PlannedFeature;
    readonly job: Job;
  } | null => {
    const { draft, feature: id, about } = app.shown();
    const f = draft?.plan.features.find((one) => one.id === id);
    const still = element.classList.contains("replaying") || about === "why";
    return f && draft && !still ? { f, job: draft.plan.job } : null;
  };
  const pointed = ({ clientX, clientY }: MouseEvent): Vec => {
    const box = element.getBoundingClientRect();
    return { x: clientX - box.left, y: clientY - box.top };
  };
  /** Offers what can be done at a place of the outline in hand; `at`: px. */
  const offerAt = (at: Vec, byKeys: boolean): boolean => {
    const here = inHand();
    const view = picture.view();
    if (!here || element.classList.contains("measuring")) return false;
    const near = nearestOf(here.f.contour.segments, toDrawing(view, at));
    if (near.distance * view.scale > ON_EDGE) return false;
    menu.open(deedsAt(here.f, near.at), at, view, byKeys);
    return true;
  };

  picture.addOverlay((layer, view) => {
    menu.keep(view);
    const here = inHand();
    if (!here) return;
    const { f, job } = here;
    const { findings, finding } = app.shown();
    drawKeptFree(layer, view, f, job);
    const grips = gripsOf(f, job).map((grip) =>
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
      const here = inHand();
      const grip =
        here && gripsOf(here.f, here.job).find((one) => one.name === name);
      if (!here || !grip) return;
      event.preventDefault();
      event.stopImmediatePropagation();
      element.setPointerCapture(event.pointerId);
      const from = { x: event.clientX, y: event.clientY };
      drag = { grip, feature: here.f, at: grip.at, from };
    },
    { capture: true },
  );
  element.addEventListener(
    "pointermove",
    (event) => {
      if (!drag) return;
      event.stopImmediatePropagation();
      const p = toDrawing(picture.view(), pointed(event));
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
    const { grip, feature: f, at, from } = drag;
    drag = null;
    picture.refresh();
    if (event.type !== "pointerup") return;
    if (isStill(from, event))
      menu.open(deedsOn(f, grip), pointed(event), picture.view(), false);
    else void tryChange((job) => moved(job, f, grip, at));
  };
  element.addEventListener("pointerup", drop, { capture: true });
  element.addEventListener("pointercancel", drop, { capture: true });

  let down: Vec | null = null;
  element.addEventListener("pointerdown", ({ target, clientX, clientY }) => {
    const mark = (target as Element).closest("[data-finding]");
    down = mark ? null : { x: clientX, y: clientY };
  });
  element.addEventListener("pointerup", (event) => {
    if (down && isStill(down, event)) offerAt(pointed(event), false);
    down = null;
  });
  // By keys, the cross in the middle points.
  element.addEventListener("keydown", (event) => {
    if (event.target !== element || event.key !== "Enter") return;
    const { width, height } = picture.view();
    if (offerAt({ x: width / 2, y: height / 2 }, true)) event.preventDefault();
  });
}

function isStill(from: Vec, { clientX, clientY }: MouseEvent): boolean {
  return Math.hypot(clientX - from.x, clientY - from.y) < CLICK_SLACK;
}

/** Points along a stretch that is kept free. */
const STEPS = 90;

function drawKeptFree(layer: G, view: View, f: PlannedFeature, job: Job): void {
  for (const { from, to } of stretchesOf(f, job)) {
    const start = shareAlong(f.contour, from);
    const way = (shareAlong(f.contour, to) - start + 1) % 1;
    const points = Array.from({ length: STEPS + 1 }, (_, i) =>
      toScreen(view, pointAlong(f.contour, (start + (way * i) / STEPS) % 1)),
    );
    layer.polyline(points.flatMap(({ x, y }) => [x, y])).addClass("kept-free");
  }
}

/** What the handles of an outline and their names take of the screen, px; `taken`: what stands there already. */
export function gripRooms(
  f: PlannedFeature,
  job: Job,
  view: View,
  taken: readonly Rect[],
): Rect[] {
  const handles = gripsOf(f, job).map((grip) => onScreen(grip, view));
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
  else if (kind === "keepOff") group.path(`M${p.x - 8} ${p.y}l8 -8l8 8l-8 8Z`);
  else group.path(`M${p.x - 8} ${p.y + 7}h16l-8 -14Z`);
  group.plain(name).attr({
    x: (room.minX + room.maxX) / 2,
    // Letters stand on a line a little above the lower end of theirs.
    y: room.maxY - 4,
    "text-anchor": "middle",
    class: "label",
  });
}
