/** Start holes: the usual sizes and how small one may be. */

/**
 * Diameters in mm, tried from the largest. Common practice, no source: 0.3 to 3 mm by spark drilling, 1 mm
 * where nothing else is asked.
 */
export const USUAL_START_HOLES: readonly number[] = [
  1, 0.8, 0.6, 0.5, 0.4, 0.3,
];

/**
 * Smallest hole a wire threads through: the wire, a spark gap on both sides and 0.05 mm each side for position
 * and drill wander. Common practice: dia ≥ wire + 2·gap + 2·error.
 */
export function smallestStartHole(wireDiameter: number, gap: number): number {
  return wireDiameter + 2 * gap + 0.1;
}
