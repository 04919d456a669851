/**
 * Pass schedules: how many passes, the spark gap and the stock left of each, how fast each cuts, what finish to expect.
 * All of it is common practice, a starting point that a test cut on the machine itself must replace. mm, mm²/min, µm.
 */

export interface SchedulePass {
  /** Spark gap per side, mm. */
  readonly gap: number;
  /** Stock left per side for the passes after it, mm; 0 on the last. */
  readonly leave: number;
  /** mm²/min of cut face. */
  readonly areaRate: number;
}

/** Passes for one wire in one material at one height; the first is the rough. */
export interface Schedule {
  readonly wire: { readonly material: string; readonly diameter: number };
  readonly material: string;
  /** mm */
  readonly height: number;
  readonly passes: readonly SchedulePass[];
  /** Ra to expect, µm. */
  readonly ra: readonly [low: number, high: number];
  /** ± mm to expect of a size. */
  readonly tolerance: number;
  readonly source: string;
}

/** Rate against height, both ends and the bends between. */
export interface HeightCurve {
  readonly points: readonly (readonly [height: number, factor: number])[];
  readonly source: string;
}

type Row = readonly (readonly [gap: number, leave: number])[];

/** 0.25 mm brass in tool steel, sealed cups. */
const ROUGH_RATE = 150;
const SKIM_RATE = 200;

function steel(row: Row, ra: Schedule["ra"], tolerance: number): Schedule {
  return {
    wire: { material: "brass", diameter: 0.25 },
    material: "tool-steel",
    height: 40,
    passes: row.map(([gap, leave], i) => ({
      gap,
      leave,
      areaRate: i === 0 ? ROUGH_RATE : SKIM_RATE,
    })),
    ra,
    tolerance,
    source:
      "common practice (rough gap 0.02-0.05 mm, fine skim 0.005-0.012 mm; 0.03-0.08 mm left by the rough, then falling to about a third each pass; 100-250 mm²/min at 40-60 mm; Ra and tolerance by the number of passes)",
  };
}

export const SCHEDULES: Readonly<Record<string, Schedule>> = {
  "steel-1": steel([[0.03, 0]], [2, 3.5], 0.02),
  "steel-2": steel(
    [
      [0.03, 0.05],
      [0.012, 0],
    ],
    [1.2, 2],
    0.01,
  ),
  "steel-3": steel(
    [
      [0.03, 0.055],
      [0.015, 0.005],
      [0.01, 0],
    ],
    [0.6, 1],
    0.006,
  ),
  "steel-4": steel(
    [
      [0.03, 0.06],
      [0.015, 0.015],
      [0.01, 0.004],
      [0.008, 0],
    ],
    [0.35, 0.6],
    0.003,
  ),
  "steel-5": steel(
    [
      [0.03, 0.065],
      [0.018, 0.02],
      [0.012, 0.006],
      [0.009, 0.002],
      [0.007, 0],
    ],
    [0.2, 0.35],
    0.003,
  ),
  "steel-6": steel(
    [
      [0.03, 0.07],
      [0.02, 0.022],
      [0.014, 0.008],
      [0.01, 0.003],
      [0.008, 0.001],
      [0.006, 0],
    ],
    [0.2, 0.35],
    0.003,
  ),
};

export const MAX_SCHEDULED_PASSES = 6;

export const HEIGHT_CURVE: HeightCurve = {
  points: [
    [0, 0.4],
    [10, 0.65],
    [20, 0.85],
    [40, 1],
    [80, 1],
    [150, 0.75],
    [300, 0.5],
    [800, 0.3],
  ],
  source:
    "common practice: rises to a peak near 40-80 mm, then falls as the gap flushes worse; the figures between are rough",
};

/**
 * Class of a surface by VDI 3400 (1975): 20·log10(10·Ra), Ra in µm; the classes run from 0 (0.1 µm) to 45 (18 µm).
 */
export function vdiClass(ra: number): number {
  return 20 * Math.log10(10 * ra);
}

/** Ra in µm of a class: 10^(class/20) / 10. */
export function vdiRa(vdi: number): number {
  return 10 ** (vdi / 20) / 10;
}
