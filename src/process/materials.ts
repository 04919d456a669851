/** Work materials: what a slug weighs, how fast and how wide it cuts beside tool steel. Densities g/cm³. */

export interface Material {
  /** As the sheet calls it. */
  readonly title: string;
  /** g/cm³; the heavy end of the usual range, so that no slug is heavier than the sheet says. */
  readonly density: number;
  /** Area rate relative to tool steel: the middle of the usual range. */
  readonly relativeRate: number;
  /** Spark gap relative to tool steel: the middle of the usual range. */
  readonly relativeGap: number;
  /** Of the weaker usual condition, MPa; brittle: a tab of it breaks instead of bending. */
  readonly strength:
    | "brittle"
    | { readonly yield: number; readonly shear: number };
  readonly source: string;
}

const DENSITY = "density: handbook figure from memory";
const PRACTICE = "rate and gap: common practice";

export const MATERIALS = {
  "tool-steel": {
    title: "tool steel",
    density: 7.85,
    relativeRate: 1,
    relativeGap: 1,
    strength: { yield: 350, shear: 500 },
    source: `${DENSITY} (7.70-7.85); rate and gap: the measure of the others; strength: handbook figures from memory, annealed (hardened is stronger)`,
  },
  carbide: {
    title: "cemented carbide (WC-Co)",
    density: 15,
    relativeRate: 0.375,
    relativeGap: 0.9,
    strength: "brittle",
    source: `${DENSITY} (14.0-15.0 for 15-6 % Co); ${PRACTICE} (0.25-0.5 and 0.8-1.0 of steel)`,
  },
  copper: {
    title: "copper",
    density: 8.96,
    relativeRate: 0.9,
    relativeGap: 1,
    strength: { yield: 70, shear: 150 },
    source: `${DENSITY}; ${PRACTICE} (0.8-1.0 and 0.9-1.1 of steel); strength: handbook figures from memory, soft (70-250 and 150-200 MPa)`,
  },
  aluminium: {
    title: "aluminium",
    density: 2.7,
    relativeRate: 2,
    relativeGap: 1.4,
    strength: { yield: 276, shear: 207 },
    source: `${DENSITY} (6061-T6); ${PRACTICE} (1.5-2.5 and 1.2-1.6 of steel); strength: handbook figures from memory, 6061-T6`,
  },
  titanium: {
    title: "titanium",
    density: 4.43,
    relativeRate: 0.95,
    relativeGap: 1,
    strength: { yield: 880, shear: 550 },
    source: `${DENSITY} (Ti-6Al-4V); rate: common practice (0.8-1.1 of steel); gap: no figure known, steel's taken; strength: handbook figures from memory, Ti-6Al-4V`,
  },
  "nickel-alloy": {
    title: "nickel alloy",
    density: 8.19,
    relativeRate: 0.9,
    relativeGap: 1,
    strength: { yield: 1030, shear: 800 },
    source: `${DENSITY} (alloy 718); rate: common practice (0.8-1.0 of steel); gap: no figure known, steel's taken; strength: handbook figures from memory, alloy 718`,
  },
  graphite: {
    title: "graphite",
    density: 1.85,
    relativeRate: 0.5,
    relativeGap: 1.35,
    strength: "brittle",
    source: `${DENSITY} (1.75-1.85); ${PRACTICE} (0.3-0.7 and 1.2-1.5 of steel)`,
  },
  "polycrystalline-diamond": {
    title: "polycrystalline diamond",
    density: 4.2,
    relativeRate: 0.2,
    relativeGap: 1,
    strength: "brittle",
    source: `${DENSITY} (3.5-4.2, the diamond layer alone: a blank backed with carbide weighs up to carbide's); rate: common practice, rough (0.1-0.3 of steel); gap: no figure known, steel's taken`,
  },
} as const satisfies Readonly<Record<string, Material>>;

export type MaterialName = keyof typeof MATERIALS;

/** Standard acceleration of free fall, m/s²: exact (3rd CGPM, 1901). */
const G = 9.80665;

/** N */
export function weight(mass: number): number {
  return mass * G;
}

export const MATERIAL_NAMES = Object.keys(MATERIALS) as readonly MaterialName[];

/** Mass in kg of a piece of `area` mm² and `thickness` mm; density in g/cm³. */
export function pieceMass(
  area: number,
  thickness: number,
  density: number,
): number {
  return area * thickness * density * 1e-6;
}
