/** Where the eye is: scale and place. Pure. Screen pixels x right, y down; drawing mm x right, y up. */
import type { Vec } from "../../src/index.js";

export interface View {
  /** Pixels for one mm. */
  readonly scale: number;
  /** The drawing's point in the middle of the picture. */
  readonly center: Vec;
  readonly width: number;
  readonly height: number;
}

export interface Rect {
  readonly minX: number;
  readonly minY: number;
  readonly maxX: number;
  readonly maxY: number;
}

/** From a metre on the screen's width down to a ten-thousandth of a millimetre on a finger's width. */
const SCALES = { least: 0.02, most: 200_000 } as const;

export function toScreen(view: View, p: Vec): Vec {
  return {
    x: (p.x - view.center.x) * view.scale + view.width / 2,
    y: (view.center.y - p.y) * view.scale + view.height / 2,
  };
}

export function toDrawing(view: View, p: Vec): Vec {
  return {
    x: (p.x - view.width / 2) / view.scale + view.center.x,
    y: view.center.y - (p.y - view.height / 2) / view.scale,
  };
}

/** Turns the wheel by `factor` with the drawing's point under `at` (screen) held still. */
export function zoomed(view: View, factor: number, at: Vec): View {
  const scale = Math.min(
    SCALES.most,
    Math.max(SCALES.least, view.scale * factor),
  );
  const held = toDrawing(view, at);
  return {
    ...view,
    scale,
    center: {
      x: held.x - (at.x - view.width / 2) / scale,
      y: held.y + (at.y - view.height / 2) / scale,
    },
  };
}

export function panned(view: View, dx: number, dy: number): View {
  return {
    ...view,
    center: {
      x: view.center.x - dx / view.scale,
      y: view.center.y + dy / view.scale,
    },
  };
}

/** The whole of `rect` with a margin around it, pixels. */
export function fitted(view: View, rect: Rect, margin: number): View {
  const wide = Math.max(rect.maxX - rect.minX, 1e-6);
  const high = Math.max(rect.maxY - rect.minY, 1e-6);
  const room = (pixels: number): number => Math.max(pixels - 2 * margin, 20);
  return {
    ...view,
    scale: Math.min(
      SCALES.most,
      room(view.width) / wide,
      room(view.height) / high,
    ),
    center: {
      x: (rect.minX + rect.maxX) / 2,
      y: (rect.minY + rect.maxY) / 2,
    },
  };
}

/** How a picture drawn for one view is moved to serve another, as a CSS transform about its middle. */
export function glided(drawn: View, view: View): string {
  const { x, y, blown } = shifted(drawn, view);
  return `translate(${x}px, ${y}px) scale(${blown})`;
}

/** Blown up more than this, what was drawn looks coarse. */
const MOST_BLOWN = 3;

/**
 * Whether a picture drawn for one view looks as it should when it is moved to serve another: nothing comes into sight
 * that was not drawn, and nothing looks coarse. `beyond` is the share of its size that was drawn past each edge.
 */
export function serves(drawn: View, view: View, beyond: number): boolean {
  const { x, y, blown } = shifted(drawn, view);
  const room = blown * (0.5 + beyond) - 0.5;
  return (
    blown <= MOST_BLOWN &&
    Math.abs(x) <= room * view.width &&
    Math.abs(y) <= room * view.height
  );
}

function shifted(
  drawn: View,
  view: View,
): { readonly x: number; readonly y: number; readonly blown: number } {
  return {
    x: (drawn.center.x - view.center.x) * view.scale,
    y: (view.center.y - drawn.center.y) * view.scale,
    blown: view.scale / drawn.scale,
  };
}

export function seen(view: View): Rect {
  const w = view.width / 2 / view.scale;
  const hgt = view.height / 2 / view.scale;
  return {
    minX: view.center.x - w,
    maxX: view.center.x + w,
    minY: view.center.y - hgt,
    maxY: view.center.y + hgt,
  };
}
