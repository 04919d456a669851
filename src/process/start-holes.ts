/** Start holes: the usual drills, how deep a hole may be for its diameter, and how far one wanders. Lengths mm. */

export interface DrillRules {
  /** Diameters, tried from the largest. */
  readonly sizes: readonly number[];
  /** A hole deeper than so many of its diameters is out of the usual. */
  readonly depthRatio: number;
  /** How far beside its place a hole begins. */
  readonly position: number;
  /** How far it drifts off on its way through, mm for each mm of depth. */
  readonly drift: number;
  readonly source: string;
}

export const DRILLING: DrillRules = {
  sizes: [1, 0.8, 0.6, 0.5, 0.4, 0.3],
  depthRatio: 100,
  position: 0.025,
  drift: 0.001,
  source:
    "common practice, no source: 0.3 to 3 mm by spark drilling, 1 mm where nothing else is asked; depth to diameter 100 usual, 200 to 300 extreme",
};

/** How far (mm) a hole may be off its place where it comes out of a block of `depth`. */
export function drillWander(
  { position, drift }: DrillRules,
  depth: number,
): number {
  return position + drift * depth;
}

/** Smallest hole a wire threads through. Common practice: dia ≥ wire + 2·gap + 2·wander. */
export function smallestStartHole(
  wireDiameter: number,
  gap: number,
  wander: number,
): number {
  return wireDiameter + 2 * gap + 2 * wander;
}
