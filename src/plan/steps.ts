/**
 * A figure that places are ranked by, in steps: places that differ by rounding only, such as the mirror images of an
 * ellipse, are equal, and one computer takes the same of them as another. Scores are about 1, distances mm.
 */
export function steps(figure: number): number {
  return Math.round(figure * 1e6);
}
