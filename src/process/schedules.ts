/**
 * Pass schedules: how many passes, the spark gap and the stock left of each, and how fast each cuts.
 * All of it is common practice, a starting point that a test cut on the machine itself must replace. mm, mm²/min.
 */
import { MATERIALS, type MaterialName } from "./materials.js";
import { WIRES, type WireMaterial } from "./wires.js";

export interface ScheduledPass {
  readonly kind: "rough" | "skim";
  /** Spark gap per side, mm. */
  readonly gap: number;
  /** Stock left per side for the passes after it, mm; 0 on the last. */
  readonly leave: number;
  /** mm²/min of cut face. */
  readonly areaRate: number;
  readonly source: string;
}

type Row = readonly (readonly [gap: number, leave: number])[];

/**
 * Gap and stock left of each pass for 0.25 mm brass wire in tool steel. Common practice: rough gap 0.02-0.05, fine
 * skim 0.005-0.012, 0.03-0.08 left by the rough, then falling to about a third each pass.
 */
const STEEL_025: readonly Row[] = [
  [[0.03, 0]],
  [
    [0.03, 0.05],
    [0.012, 0],
  ],
  [
    [0.03, 0.055],
    [0.015, 0.005],
    [0.01, 0],
  ],
  [
    [0.03, 0.06],
    [0.015, 0.015],
    [0.01, 0.004],
    [0.008, 0],
  ],
  [
    [0.03, 0.065],
    [0.018, 0.02],
    [0.012, 0.006],
    [0.009, 0.002],
    [0.007, 0],
  ],
  [
    [0.03, 0.07],
    [0.02, 0.022],
    [0.014, 0.008],
    [0.01, 0.003],
    [0.008, 0.001],
    [0.006, 0],
  ],
];

export const MAX_SCHEDULED_PASSES = STEEL_025.length;

/** Tables are kept in steps of 0.5 µm: finer figures would claim a knowledge nobody has. */
const STEP = 0.0005;

const RATE_025: Readonly<Record<ScheduledPass["kind"], number>> = {
  rough: 150,
  skim: 200,
};

/** Rate against thickness: rises to a peak near 40-80 mm, then falls as the gap flushes worse (common practice). */
const THICKNESS_FACTOR: readonly (readonly [
  thickness: number,
  factor: number,
])[] = [
  [0, 0.4],
  [10, 0.65],
  [20, 0.85],
  [40, 1],
  [80, 1],
  [150, 0.75],
  [300, 0.5],
  [800, 0.3],
];

/**
 * Usual passes for a count of 1 to 6.
 *
 * Gap and stock grow with the root of the wire's diameter (a thinner wire carries less current) and the gap with
 * the material; both laws are common practice.
 *
 * @throws {RangeError} when the count is not a whole number from 1 to 6.
 */
export function schedule(
  count: number,
  wireDiameter: number,
  wireMaterial: WireMaterial,
  material: MaterialName,
  thickness: number,
): readonly ScheduledPass[] {
  const row = STEEL_025[count - 1];
  if (!row)
    throw new RangeError(
      `a schedule has 1 to ${MAX_SCHEDULED_PASSES} passes, not ${count}`,
    );
  const byWire = Math.sqrt(wireDiameter / 0.25);
  const byGap = byWire * MATERIALS[material].relativeGap;
  return row.map(([gap, leave], i) => {
    const kind = i === 0 ? "rough" : "skim";
    return {
      kind,
      gap: Math.max(STEP, inSteps(gap * byGap)),
      leave: inSteps(leave * byWire),
      areaRate: areaRate(kind, wireDiameter, wireMaterial, material, thickness),
      source: `common practice for ${count} ${count === 1 ? "pass" : "passes"}, 0.25 mm brass wire in tool steel, brought to this wire and material`,
    };
  });
}

/**
 * Cut face per minute, mm²/min, for the estimate: tool steel at 0.25 mm brass (100-250 at 40-60 mm thickness) times
 * factors for wire diameter (in proportion), wire material, work material and thickness. All common practice.
 */
export function areaRate(
  kind: ScheduledPass["kind"],
  wireDiameter: number,
  wireMaterial: WireMaterial,
  material: MaterialName,
  thickness: number,
): number {
  const rate =
    RATE_025[kind] *
    (wireDiameter / 0.25) *
    WIRES[wireMaterial].relativeRate *
    MATERIALS[material].relativeRate *
    thicknessFactor(thickness);
  return Math.max(0.1, Math.round(rate * 10) / 10);
}

function thicknessFactor(thickness: number): number {
  let [lowT, lowF] = THICKNESS_FACTOR[0] as readonly [number, number];
  for (const [t, f] of THICKNESS_FACTOR) {
    if (thickness <= t)
      return t === lowT
        ? f
        : lowF + ((f - lowF) * (thickness - lowT)) / (t - lowT);
    [lowT, lowF] = [t, f];
  }
  return lowF;
}

function inSteps(value: number): number {
  const perMm = Math.round(1 / STEP);
  return Math.round(value * perMm) / perMm;
}
