/**
 * How much metal to leave standing for a piece: by practice, and by what bends the tab. Lengths mm, masses kg,
 * forces N, stresses MPa.
 *
 * The tab is a short beam that sticks out of the plate: `length` along the outline, as high as the plate. The piece
 * hangs on it by its centre of gravity, and the jet may press there too (elementary beam theory, e.g. Timoshenko,
 * Strength of Materials):
 *
 *     moment M = (weight + jet force) · arm      section modulus Z = length · height² / 6
 *     bending stress M / Z ≤ yield / safety      shear stress (weight + jet force) / (length · height) ≤ shear / safety
 */
import { THINNEST_FIN } from "../base/tolerance.js";
import { type Flushing, jetForce } from "./flushing.js";
import { type Material, weight } from "./materials.js";

export interface TabRow {
  /** kg: for pieces lighter than this; null in the last row. */
  readonly below: number | null;
  readonly length: number;
  readonly count: number;
  readonly source: string;
}

export interface TabRules {
  readonly rows: readonly TabRow[];
  /** mm: a longer tab is no longer one that is cut off in one go; several take its place. */
  readonly longest: number;
  /** kg: a lighter slug is not kept on a tab; the flushing shakes it, and washes it away once loose. */
  readonly lightest: number;
  /** Strength asked for over strength needed. */
  readonly safety: number;
  readonly source: string;
}

const PRACTICE = "common practice, no source";

export const TABS: TabRules = {
  rows: [
    { below: 0.5, length: 1, count: 1, source: `${PRACTICE} (0.5-1 mm)` },
    { below: 5, length: 2.5, count: 1, source: `${PRACTICE} (2-3 mm)` },
    {
      below: null,
      length: 5,
      count: 2,
      source: `${PRACTICE} (3-6 mm, or several tabs, magnets or clamps)`,
    },
  ],
  longest: 6,
  lightest: 0.0001,
  safety: 2,
  source: PRACTICE,
};

/** What hangs on the tab. */
export interface HangingPiece {
  readonly mass: number;
  /** Width and height of its box, seen from above. */
  readonly size: readonly [width: number, height: number];
}

export interface TabNeeds {
  /** Of each tab. */
  readonly length: number;
  /** The shortest that practice and strength still allow, where there is no room for `length`. */
  readonly least: number;
  /** More than one for a piece that one tab would not hold level. */
  readonly count: number;
  readonly governedBy: "practice" | "weight" | "flushing";
  /** Greatest flushing pressure (MPa) the tab bears, where that is less than the table's; null otherwise. */
  readonly bears: number | null;
  readonly source: string;
}

/** Share of a row's length that practice still knows: it gives spans, 0.5–1 mm for small pieces. Common practice. */
const LEAST_OF_USUAL = 0.5;

/** Tab lengths are asked for in tenths. */
const PER_MM = 10;

/**
 * Length and number of tabs for a piece in a plate of `height`: the larger of practice and strength.
 *
 * The arm is half the longer side of the piece's box, for the tab has no place yet. A piece whose weight alone would
 * bend the longest tab gets two: on opposite sides they carry it between them, and nothing is left to bend. Where the
 * jet does it, `bears` says to what pressure the flushing has to come down. A brittle material takes no bending at
 * all: practice holds, and the piece wants a support.
 */
export function tabNeeds(
  piece: HangingPiece,
  material: Material,
  height: number,
  flushing: Flushing,
  rules: TabRules = TABS,
): TabNeeds {
  const usual = usualTab(piece.mass, rules);
  const practice: TabNeeds = {
    length: usual.length,
    least: usual.length,
    count: usual.count,
    governedBy: "practice",
    bears: null,
    source: usual.source,
  };
  const { strength } = material;
  if (strength === "brittle") return practice;
  const hanging = weight(piece.mass);
  const jet = jetForce(flushing);
  const lengthFor = (force: number): number =>
    lengthUnder(force, piece, material, height, rules);
  const wanted = lengthFor(hanging + jet);
  if (usual.count > 1) return practice;
  if (wanted <= usual.length)
    return {
      ...practice,
      least: Math.max(LEAST_OF_USUAL * usual.length, wanted),
    };
  const source = "elementary beam theory, cantilever of tab length × height";
  if (lengthFor(hanging) > rules.longest)
    return {
      ...practice,
      length: rules.longest,
      least: rules.longest,
      count: 2,
      governedBy: "weight",
      source,
    };
  const length = Math.min(
    Math.max(usual.length, rules.longest),
    Math.ceil(wanted * PER_MM) / PER_MM,
  );
  // What a tab of this length bears goes with its length, for both of its stresses.
  const bears =
    wanted > length
      ? (((hanging + jet) * length) / wanted - hanging) *
        (flushing.pressure / jet)
      : null;
  return {
    length,
    least: length,
    count: 1,
    governedBy: hanging > jet ? "weight" : "flushing",
    bears,
    source,
  };
}

/** mm of tab that bear `force` on the piece; 0 for a brittle material, which is not reckoned with. */
function lengthUnder(
  force: number,
  piece: HangingPiece,
  { strength }: Material,
  height: number,
  { safety }: TabRules,
): number {
  if (strength === "brittle") return 0;
  const arm = Math.max(...piece.size) / 2;
  return (
    safety *
    Math.max(
      (6 * force * arm) / (strength.yield * height ** 2),
      force / (strength.shear * height),
    )
  );
}

/**
 * mm below which a tab does not even bear the piece's weight; several tabs carry it between them, and only the
 * thinnest is no tab at all (`THINNEST_FIN`).
 */
export function weakTab(
  piece: HangingPiece,
  material: Material,
  height: number,
  rules: TabRules = TABS,
): number {
  const bearing =
    usualTab(piece.mass, rules).count > 1
      ? 0
      : lengthUnder(weight(piece.mass), piece, material, height, rules);
  return Math.max(THINNEST_FIN, Math.min(bearing, rules.longest));
}

/** The row of practice for a piece of `mass` kg. */
export function usualTab(mass: number, { rows }: TabRules): TabRow {
  return (
    rows.find((r) => r.below === null || mass < r.below) ??
    (rows.at(-1) as TabRow)
  );
}

/** Force (N) that shears a tab through: length × height × shear strength (MPa). */
export function tabShearForce(
  length: number,
  height: number,
  shearStrength: number,
): number {
  return length * height * shearStrength;
}
