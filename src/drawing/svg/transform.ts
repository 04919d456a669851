/** The transform attribute: a list of affine maps of the plane, the last of them first to act (SVG 1.1, 7.6). */
import { toRadians } from "../../base/units.js";
import {
  compose,
  IDENTITY,
  type Placement,
  rotation,
  scaling,
  translation,
} from "../placement.js";
import { parseNumbers } from "./length.js";

/** `null` when the text is no list of transforms. */
export function parseTransform(text: string): Placement | null {
  if (text.trim() === "none") return IDENTITY;
  const call = /\s*,?\s*([a-zA-Z]+)\s*\(([^()]*)\)\s*/y;
  let whole = IDENTITY;
  let at = 0;
  const end = text.trimEnd().length;
  while (at < end) {
    call.lastIndex = at;
    const found = call.exec(text);
    if (found === null) return null;
    const numbers = parseNumbers(found[2] as string);
    const map = numbers && placementOf(found[1] as string, numbers);
    if (!map) return null;
    whole = compose(whole, map);
    at = call.lastIndex;
  }
  return whole;
}

function placementOf(name: string, n: readonly number[]): Placement | null {
  const [a = 0, b = 0, c = 0, d = 0, e = 0, f = 0] = n;
  switch (`${name} ${n.length}`) {
    case "matrix 6":
      return matrix(a, b, c, d, e, f);
    case "translate 1":
    case "translate 2":
      return translation({ x: a, y: b, z: 0 });
    case "scale 1":
      return scaling(a, a, 1);
    case "scale 2":
      return scaling(a, b, 1);
    case "rotate 1":
      return rotation(a);
    case "rotate 3": {
      const there = translation({ x: b, y: c, z: 0 });
      const back = translation({ x: -b, y: -c, z: 0 });
      return compose(compose(there, rotation(a)), back);
    }
    case "skewX 1":
      return matrix(1, 0, Math.tan(toRadians(a)), 1, 0, 0);
    case "skewY 1":
      return matrix(1, Math.tan(toRadians(a)), 0, 1, 0, 0);
    default:
      return null;
  }
}

/** x ↦ a·x + c·y + e, y ↦ b·x + d·y + f */
export function matrix(
  a: number,
  b: number,
  c: number,
  d: number,
  e: number,
  f: number,
): Placement {
  return {
    u: { x: a, y: b, z: 0 },
    v: { x: c, y: d, z: 0 },
    w: IDENTITY.w,
    origin: { x: e, y: f, z: 0 },
  };
}
