/** A random case for the offset from a seed: a family, a place and size on the drawing, and a distance, special or not. */
import { distanceBetween } from "../../src/geometry/distance.js";
import type { Segment } from "../../src/geometry/segment.js";
import { random } from "../helpers/shapes.js";
import { FAMILIES, isValid, placed, snapped } from "./families.js";
import { extent, type OffsetCase, outlineOf } from "./offset-case.js";

export interface Drawn extends OffsetCase {
  readonly family: string;
  readonly valid: boolean;
  /** The distance was not chosen to hit a width or a radius: the answer changes little with it. */
  readonly generic: boolean;
  /** Random numbers to go on with. */
  readonly rnd: () => number;
}

export function drawCase(seed: number): Drawn {
  const rnd = random(seed);
  // The first numbers of neighbouring seeds are alike enough to favour some families.
  for (let i = 0; i < 4; i++) rnd();
  const names = Object.keys(FAMILIES);
  const family = names[Math.floor(rnd() * names.length)] as string;
  const outlines = onDrawing(
    (FAMILIES[family] as (r: typeof rnd) => OffsetCase["outlines"])(rnd),
    rnd,
  );
  const generic = rnd() < 0.5;
  const d = generic
    ? 0.01 + rnd() * rnd() * 0.8
    : specialDistance(outlines, rnd);
  const outward = rnd() < 0.5;
  return {
    family,
    outlines,
    d,
    outward,
    valid: isValid(outlines),
    generic,
    rnd,
  };
}

function onDrawing(
  outlines: OffsetCase["outlines"],
  rnd: () => number,
): OffsetCase["outlines"] {
  const kind = rnd();
  if (kind < 0.5) return outlines;
  const angle = rnd() < 0.5 ? 0 : 2 * Math.PI * rnd();
  if (kind < 0.65) return placed(outlines, angle, 1e3 * rnd(), -1e3 * rnd());
  if (kind < 0.75) return placed(outlines, angle, 1e6, -1e6 * rnd());
  if (kind < 0.85) return placed(outlines, angle, 0, 0);
  return snapped(
    placed(outlines, angle, 0, 0),
    [1e-3, 1e-4, 1e-6][Math.floor(rnd() * 3)] as number,
  );
}

function specialDistance(
  outlines: OffsetCase["outlines"],
  rnd: () => number,
): number {
  const segments = outlines.flatMap((o) => outlineOf(o).segments);
  const one = (): Segment =>
    segments[Math.floor(rnd() * segments.length)] as Segment;
  const radii = segments.flatMap((s) => (s.kind === "arc" ? [s.radius] : []));
  const off = [0, 0, 0, 1e-9, -1e-9, 1e-7, -1e-7, 1e-6, -1e-6][
    Math.floor(rnd() * 9)
  ] as number;
  const size = extent({ outlines, d: 0, outward: false });
  const kind = rnd();
  let d = 0;
  if (kind < 0.35 && radii.length > 0)
    d = (radii[Math.floor(rnd() * radii.length)] as number) + off;
  else if (kind < 0.7) d = distanceBetween(one(), one()) / 2 + off;
  else if (kind < 0.8)
    d =
      ([0.1, 0.125, 0.15, 0.25, 0.5, 1][Math.floor(rnd() * 6)] as number) + off;
  else if (kind < 0.9) d = 10 ** -(2 + 4 * rnd());
  else d = size * (0.2 + 2 * rnd());
  return d > 1e-6 && d < 4 * size ? d : 0.15;
}
