/**
 * Area and moments of the cap between an arc and its chord: signed, positive where the arc turns left (plane geometry).
 */
import type { Arc } from "./segment.js";
import { distance } from "./vec.js";

/** Half sweeps (rad) under this go by series: the closed forms are differences of nearly equal numbers there. */
const FLAT_CAP = 0.1;

export interface CapMoments {
  readonly area: number;
  /** ∫v: out from the chord, to the right of travel. */
  readonly v: number;
  /** ∫u², along the chord, and ∫v². */
  readonly uu: number;
  readonly vv: number;
}

/** mm² of the cap alone, as `capMoments` has it. */
export function capArea({ start, end, radius, sweep }: Arc): number {
  const a = sweep / 2;
  return Math.abs(a) < FLAT_CAP
    ? flatCapArea(distance(start, end) / 2, a)
    : radius ** 2 * (a - Math.sin(a) * Math.cos(a));
}

/** Half a chord (mm) and half a sweep. */
function flatCapArea(h: number, a: number): number {
  const q = a * a;
  const tail = 4 / 315 + q * (8 / 4725 + (q * 4) / 18711);
  return h ** 2 * a * (2 / 3 + q * (4 / 45 + q * tail));
}

/**
 * Of the cap between an arc and its chord, about the middle of the chord: u = r·sin φ, and v goes from 0 to
 * r·(cos φ − cos a), with a half the sweep and φ from −a to a.
 */
export function capMoments({ start, end, radius, sweep }: Arc): CapMoments {
  const a = sweep / 2;
  if (Math.abs(a) < FLAT_CAP) {
    const h = distance(start, end) / 2;
    const q = a * a;
    const series = (...k: number[]): number =>
      k.reduceRight((sum, x) => sum * q + x, 0);
    return {
      area: flatCapArea(h, a),
      v: h ** 3 * q * series(2 / 15, 2 / 63, 4 / 675, 2 / 2079),
      uu: h ** 4 * a * series(2 / 15, 8 / 315, 8 / 1575, 16 / 17325),
      vv: h ** 4 * a * q * series(4 / 105, 4 / 315, 152 / 51975),
    };
  }
  const s = Math.sin(a);
  const c = Math.cos(a);
  const cos2 = a + s * c;
  const cos3 = 2 * (s - s ** 3 / 3);
  const cos4 = (3 * a) / 4 + Math.sin(2 * a) / 2 + Math.sin(4 * a) / 16;
  return {
    area: radius ** 2 * (a - s * c),
    v: radius ** 3 * Math.abs(s - s ** 3 / 3 - c * a),
    uu: radius ** 4 * (a / 4 - Math.sin(4 * a) / 16 - (2 * c * s ** 3) / 3),
    vv:
      (radius ** 4 *
        (cos4 - 3 * c * cos3 + 3 * c * c * cos2 - 2 * c ** 3 * s)) /
      3,
  };
}
