/** Flushing: how the dielectric gets into the gap, what that does to the rough, and how hard it presses on a slug. */

export type FlushingName = "sealed" | "open";

export interface Flushing {
  readonly title: string;
  /** Area rate of the rough relative to sealed cups. */
  readonly roughRate: number;
  /** Spark gap of the rough relative to sealed cups. */
  readonly roughGap: number;
  /** MPa at the nozzle, for the force on a slug. */
  readonly pressure: number;
  /** mm */
  readonly jetDiameter: number;
  readonly source: string;
}

export const FLUSHING: Readonly<Record<FlushingName, Flushing>> = {
  sealed: {
    title: "cups touching both faces",
    roughRate: 1,
    roughGap: 1,
    pressure: 1,
    jetDiameter: 6,
    source: "common practice; rate and gap: the measure of the other",
  },
  open: {
    title: "nozzles standing off, for a step, a taper or a clamp",
    roughRate: 0.6,
    roughGap: 1.1,
    pressure: 1,
    jetDiameter: 6,
    source:
      "rate: common practice (30-50 % less than sealed); gap: no figure known, a tenth wider assumed, for debris sparks sideways; pressure: as sealed, to be on the safe side",
  },
};

export const FLUSHING_NAMES = Object.keys(FLUSHING) as readonly FlushingName[];

/** Force in N of a jet on what it meets: pressure × area of the jet (MPa · mm² = N). 1 MPa on 6 mm is 28.3 N. */
export function jetForce({
  pressure,
  jetDiameter,
}: Pick<Flushing, "pressure" | "jetDiameter">): number {
  return (pressure * Math.PI * jetDiameter ** 2) / 4;
}
