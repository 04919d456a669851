/** Units at the doors of the house: inside, lengths are mm, angles radians, times minutes, masses kg. */

/** Length units a job or a program may be written in. */
export type LengthUnit = "mm" | "in";

/** One inch in mm: exact since the international yard and pound agreement of 1959. */
export const MM_PER_INCH = 25.4;

/** One px in mm: 1/96 in by definition (CSS Values 3). */
export const MM_PER_PX = MM_PER_INCH / 96;

/** How many mm one unit is. */
export function mmPer(unit: LengthUnit): number {
  return unit === "in" ? MM_PER_INCH : 1;
}

export function toRadians(degrees: number): number {
  return (degrees * Math.PI) / 180;
}

export function toDegrees(radians: number): number {
  return (radians * 180) / Math.PI;
}
