/** How much metal to leave standing. */

/**
 * Tab length in mm for a piece of `mass` kg. Common practice, no source: 0.5-1 mm under half a kilo, 2-3 mm up
 * to five, 3-6 mm above.
 */
export function usualTabLength(mass: number): number {
  if (mass < 0.5) return 1;
  return mass <= 5 ? 2.5 : 5;
}
