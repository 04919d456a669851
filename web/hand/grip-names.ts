/** Where the names of handles stand in the picture: clear of handles, marks and each other where that can be. Pure. */
import type { Vec } from "../../src/index.js";
import { touches } from "../picture/box.js";
import { LETTER } from "../picture/label-places.js";
import type { Rect } from "../picture/view.js";

/** px: half a handle, and a name's height. */
const HALF = 9;
const HEIGHT = 16;
/** px from the middle of a handle to the edge of its name, the best first. */
const FAR = [HALF + 3, 28, 48] as const;
/** Sides of a handle, the best first. */
const SIDES: readonly Vec[] = [
  { x: 0, y: -1 },
  { x: 0, y: 1 },
  { x: 1, y: 0 },
  { x: -1, y: 0 },
  { x: 1, y: -1 },
  { x: -1, y: -1 },
  { x: 1, y: 1 },
  { x: -1, y: 1 },
];

export interface Handle {
  readonly name: string;
  /** px */
  readonly at: Vec;
}

/** What each handle's name takes of the screen, px. `taken`: what stands there already, px; `window`: the picture's width and height. */
export function placeNames(
  handles: readonly Handle[],
  taken: readonly Rect[],
  window: { readonly width: number; readonly height: number },
): Rect[] {
  const full = [...taken, ...handles.map(handleRoom)];
  return handles.map((handle) => {
    const places = FAR.flatMap((far) =>
      SIDES.map((side) => nameRoom(handle, side, far)),
    );
    const covers = (room: Rect): number =>
      full.filter((other) => touches(other, room)).length +
      (isWithin(room, window) ? 0 : 1);
    const least = Math.min(...places.map(covers));
    const room = places.find((p) => covers(p) === least) as Rect;
    full.push(room);
    return room;
  });
}

/** What a handle takes of the screen, px. */
export function handleRoom({ at: { x, y } }: Handle): Rect {
  return { minX: x - HALF, maxX: x + HALF, minY: y - HALF, maxY: y + HALF };
}

function nameRoom({ name, at }: Handle, side: Vec, far: number): Rect {
  const width = LETTER * name.length;
  const x = at.x + side.x * (far + width / 2);
  const y = at.y + side.y * (far + HEIGHT / 2);
  return {
    minX: x - width / 2,
    maxX: x + width / 2,
    minY: y - HEIGHT / 2,
    maxY: y + HEIGHT / 2,
  };
}

function isWithin(
  { minX, maxX, minY, maxY }: Rect,
  { width, height }: { readonly width: number; readonly height: number },
): boolean {
  return minX >= 0 && minY >= 0 && maxX <= width && maxY <= height;
}
