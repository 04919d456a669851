/**
 * The picture: a world drawn to scale that is moved and zoomed as a whole, and an overlay of things that keep their
 * size on the screen (labels, marks, handles, measures), drawn anew whenever the eye moves.
 */
import { type G, SVG, type Svg } from "@svgdotjs/svg.js";
import type { Vec } from "../../src/index.js";
import { h } from "../dom.js";
import { painted } from "../painted.js";
import { watchGestures } from "./gestures.js";
import type { Origin } from "./paths.js";
import type { Scene, Shape } from "./scene.js";
import {
  fitted,
  glided,
  type Rect,
  serves,
  toScreen,
  type View,
} from "./view.js";

/** Draws things that keep their size on the screen. */
export type Overlay = (layer: G, view: View) => void;

export interface Picture {
  readonly element: HTMLElement;
  readonly world: G;
  /** Where the world's coordinates are counted from. */
  origin(): Origin;
  view(): View;
  show(scene: Scene): void;
  /** Shows the whole drawing. */
  showWhole(): void;
  /** Moves the eye so that a stretch of `span` mm around `place` fills the picture. */
  goTo(place: Vec, span: number): void;
  setView(view: View): void;
  addOverlay(overlay: Overlay): void;
  /** The overlays have something new to say. */
  refresh(): void;
}

const MARGIN = 36;
/** Share of the picture's size that is drawn beyond each of its edges; the style sheet sets the same. */
const BEYOND = 0.5;
/** The eye rests when it has not moved for so long. */
const REST_MS = 120;
/** Two frames and a little: they go by when there is next to nothing to draw. */
const IDLE_MS = 40;
/** While the eye moves, of the time at most one part in so many goes into drawing anew. */
const SHARE = 12;

/** Letters of path data that are put up in one frame: a browser takes some ten milliseconds for them. */
const AT_ONCE = 500_000;

export function startPicture(element: HTMLElement): Picture {
  element.tabIndex = 0;
  const canvas = h("div", { class: "canvas" });
  element.append(canvas);
  const svg: Svg = SVG().addTo(canvas);
  svg.attr({ "aria-hidden": "true", focusable: "false" });
  // The canvas reaches beyond the picture; the stage's zero is the picture's corner.
  const stage = svg.group();
  const world = stage.group().addClass("world");
  const shapes = world.group();
  const over = stage.group().addClass("overlay");
  const overlays: Overlay[] = [];
  let view: View = {
    scale: 1,
    center: { x: 0, y: 0 },
    width: 300,
    height: 300,
  };
  let drawn = view;
  let drawnAt = 0;
  /** What drawing took the last time, until it was on the screen. */
  let cost = 0;
  let scene: Scene | null = null;
  let asked = false;
  let resting: ReturnType<typeof setTimeout> | undefined;
  /** The user has not moved the eye since the whole was shown: then it stays whole when the window changes. */
  let whole = true;

  const draw = (): void => {
    asked = false;
    drawn = view;
    canvas.style.transform = "";
    const s = view.scale;
    const place = toScreen(view, origin());
    stage.attr(
      "transform",
      `translate(${BEYOND * view.width} ${BEYOND * view.height})`,
    );
    world.attr("transform", `matrix(${s} 0 0 ${-s} ${place.x} ${place.y})`);
    over.clear();
    for (const overlay of overlays) overlay(over, view);
    drawnAt = performance.now();
    const since = drawnAt;
    // The next frame but one waits until this one has been drawn.
    void painted()
      .then(painted)
      .then(() => {
        cost = Math.max(0, performance.now() - since - IDLE_MS);
      });
  };
  const refresh = (): void => {
    if (asked) return;
    asked = true;
    requestAnimationFrame(draw);
  };
  const origin = (): Origin => scene?.origin ?? { x: 0, y: 0 };
  const setViewOnly = (next: View): void => {
    view = next;
    whole = false;
  };
  const setView = (next: View): void => {
    setViewOnly(next);
    refresh();
  };
  /**
   * While the eye moves, what is drawn already is moved as a whole. It is drawn anew once the eye rests; before that
   * only where it no longer serves, and seldom enough for the eye to move smoothly.
   */
  const glide = (next: View): void => {
    setViewOnly(next);
    clearTimeout(resting);
    resting = setTimeout(() => {
      // After a long frame the time may be over although the eye is still moving.
      void painted().then(() => {
        if (view === next) refresh();
      });
    }, REST_MS);
    if (asked) return;
    canvas.style.transform = glided(drawn, view);
    if (
      !serves(drawn, view, BEYOND) &&
      performance.now() - drawnAt > SHARE * cost
    )
      refresh();
  };
  const fitTo = (box: Rect): void => {
    view = fitted(view, box, Math.min(MARGIN, view.width / 12));
    refresh();
  };
  /** A large scene is put up over several frames, so that the page stays awake. */
  const drawFrom = (of: Scene, first: number): void => {
    if (scene !== of) return;
    let letters = 0;
    let next = first;
    while (next < of.shapes.length && letters < AT_ONCE) {
      const shape = of.shapes[next++] as Shape;
      letters += shape.d.length;
      drawShape(shapes, shape);
    }
    if (next < of.shapes.length) void painted().then(() => drawFrom(of, next));
  };
  const showWhole = (): void => {
    if (scene) fitTo(scene.box);
    whole = true;
  };

  new ResizeObserver(() => {
    const { width, height } = element.getBoundingClientRect();
    view = { ...view, width: Math.max(width, 1), height: Math.max(height, 1) };
    if (whole) showWhole();
    refresh();
  }).observe(element);

  watchGestures(element, () => view, glide);

  return {
    element,
    world,
    origin,
    view: () => view,
    show(next) {
      const sameSheet =
        scene !== null &&
        JSON.stringify(scene.box) === JSON.stringify(next.box);
      scene = next;
      shapes.clear();
      drawFrom(next, 0);
      if (!sameSheet || whole) showWhole();
      refresh();
    },
    showWhole,
    goTo(place, span) {
      fitTo({
        minX: place.x - span / 2,
        maxX: place.x + span / 2,
        minY: place.y - span / 2,
        maxY: place.y + span / 2,
      });
      whole = false;
    },
    setView,
    addOverlay: (overlay) => overlays.push(overlay),
    refresh,
  };
}

function drawShape(layer: G, shape: Shape): void {
  const path = layer.path(shape.d).attr("class", shape.kind);
  if (shape.width !== undefined) path.attr("stroke-width", shape.width);
}
