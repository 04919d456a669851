/** Wires: diameters in use and what the wire is made of. Diameters mm, densities g/cm³. */

export interface WireKind {
  /** g/cm³ */
  readonly density: number;
  /** Cutting rate relative to plain brass of the same diameter; for the estimate only. */
  readonly relativeRate: number;
  /** mm; the thinnest and thickest in common use. */
  readonly diameters: readonly [min: number, max: number];
  /** m/min it is fed at while burning. */
  readonly feed: number;
  /** kg of wire on a full spool. */
  readonly spool: number;
  readonly source: string;
}

/**
 * Diameters wire is sold in, mm. The range 0.02-0.30 is that of Proc. IMechE B 2021 (multi-cut wire EDM of
 * Mar-M247, doi 10.1177/09544054211043484, introduction); 0.33 and 0.36 and the steps are common practice.
 */
export const WIRE_DIAMETERS: readonly number[] = [
  0.02, 0.025, 0.03, 0.05, 0.07, 0.1, 0.15, 0.2, 0.25, 0.3, 0.33, 0.36,
];

const DENSITY_SOURCE = "density: handbook figure from memory";
const USE =
  "feed: common practice (3-15 m/min); spool: common practice, look at yours";

export const WIRES = {
  brass: {
    density: 8.5,
    relativeRate: 1,
    diameters: [0.1, 0.36],
    feed: 10,
    spool: 5,
    source: `${DENSITY_SOURCE} (brass 8.4-8.5, the heavier taken); rate: the measure of the others; ${USE}`,
  },
  "coated-brass": {
    density: 8.5,
    relativeRate: 1.2,
    diameters: [0.1, 0.36],
    feed: 10,
    spool: 5,
    source: `${DENSITY_SOURCE} (as brass, the zinc coat is thin); rate: common practice; ${USE}`,
  },
  molybdenum: {
    density: 10.22,
    relativeRate: 0.6,
    diameters: [0.02, 0.25],
    feed: 10,
    spool: 1,
    source: `${DENSITY_SOURCE}; rate: common practice; ${USE}`,
  },
  tungsten: {
    density: 19.25,
    relativeRate: 0.6,
    diameters: [0.02, 0.1],
    feed: 10,
    spool: 0.5,
    source: `${DENSITY_SOURCE}; rate: common practice; ${USE}`,
  },
} as const satisfies Readonly<Record<string, WireKind>>;

export type WireMaterial = keyof typeof WIRES;

export const WIRE_MATERIALS = Object.keys(WIRES) as readonly WireMaterial[];

/**
 * Mass of one metre of wire, g/m: π/4·d²·ρ. With d in mm and ρ in g/cm³ the powers of ten cancel.
 *
 * @throws {RangeError} when the diameter is not a positive number.
 */
export function wireMassPerMetre(diameter: number, density: number): number {
  if (!(diameter > 0) || !Number.isFinite(diameter))
    throw new RangeError(`wire diameter must be above 0, got ${diameter}`);
  return (Math.PI / 4) * diameter ** 2 * density;
}
