/** Wires: diameters in use and what the wire is made of. Diameters mm, densities g/cm³. */

export type WireMaterial = "brass" | "coated-brass" | "molybdenum" | "tungsten";

export interface WireKind {
  readonly name: WireMaterial;
  /** g/cm³ */
  readonly density: number;
  /** Cutting rate relative to plain brass of the same diameter; for the estimate only. */
  readonly relativeRate: number;
  /** mm; the thinnest and thickest in common use. */
  readonly diameters: readonly [min: number, max: number];
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

export const WIRES: Readonly<Record<WireMaterial, WireKind>> = {
  brass: {
    name: "brass",
    density: 8.5,
    relativeRate: 1,
    diameters: [0.1, 0.36],
    source: `${DENSITY_SOURCE} (brass 8.4-8.5, the heavier taken); rate: the measure of the others`,
  },
  "coated-brass": {
    name: "coated-brass",
    density: 8.5,
    relativeRate: 1.2,
    diameters: [0.1, 0.36],
    source: `${DENSITY_SOURCE} (as brass, the zinc coat is thin); rate: common practice`,
  },
  molybdenum: {
    name: "molybdenum",
    density: 10.22,
    relativeRate: 0.6,
    diameters: [0.02, 0.25],
    source: `${DENSITY_SOURCE}; rate: common practice`,
  },
  tungsten: {
    name: "tungsten",
    density: 19.25,
    relativeRate: 0.6,
    diameters: [0.02, 0.1],
    source: `${DENSITY_SOURCE}; rate: common practice`,
  },
};

export const WIRE_MATERIALS = Object.keys(WIRES) as readonly WireMaterial[];

/**
 * Mass of one metre of wire, g/m: π/4·d²·ρ. With d in mm and ρ in g/cm³ the powers of ten cancel.
 *
 * @throws {RangeError} when the diameter is not a positive number.
 */
export function wireMassPerMetre(
  diameter: number,
  material: WireMaterial,
): number {
  if (!(diameter > 0) || !Number.isFinite(diameter))
    throw new RangeError(`wire diameter must be above 0, got ${diameter}`);
  return (Math.PI / 4) * diameter ** 2 * WIRES[material].density;
}
