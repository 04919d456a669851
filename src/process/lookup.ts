/**
 * From the table to the passes of one job. Where no schedule is for exactly this wire, material and height, figures are
 * interpolated between the nearest rows or brought over from the nearest by simple laws, and every such step is told.
 */
import { nameText } from "../base/message.js";
import { trimmed } from "../base/numbers.js";
import { JOB_NOISE } from "../base/tolerance.js";
import type { Flushing } from "./flushing.js";
import type { HeightCurve, Schedule, SchedulePass } from "./schedules.js";
import type { ProcessTable } from "./table.js";

/** What is to be cut with what. */
export interface Setting {
  readonly wire: { readonly material: string; readonly diameter: number };
  readonly material: string;
  /** mm */
  readonly height: number;
  readonly flushing: Flushing;
}

export interface Found {
  readonly passes: readonly SchedulePass[];
  readonly ra: readonly [low: number, high: number];
  readonly tolerance: number;
  readonly source: string;
  /** Steps between the table's rows and these figures; empty where a row is for exactly this. */
  readonly steps: readonly string[];
  /** Those of the steps that leave the table: beyond its last row nobody has said how it goes on. */
  readonly outside: readonly string[];
}

/** Tables are kept in steps of 0.5 µm: finer figures would claim a knowledge nobody has. */
const STEPS_PER_MM = 2000;

/** Least area rate, mm²/min, that a law may bring a row down to. */
const LEAST_RATE = 0.1;

interface Told {
  readonly row: Schedule;
  readonly steps: readonly string[];
  readonly outside: readonly string[];
}

/**
 * Passes for a count; null when the table has no schedule of so many.
 *
 * Laws, all common practice: gap and stock left go with the root of the wire's diameter (a thinner wire carries less
 * current), rates with the diameter itself, both with the factors of the materials, rates with the height curve.
 */
export function findSchedule(
  table: ProcessTable,
  count: number,
  setting: Setting,
): Found | null {
  const rows = nearestKind(
    Object.values(table.schedules).filter((s) => s.passes.length === count),
    setting,
  );
  const [first] = rows;
  if (!first) return null;
  const atHeight = [...new Set(rows.map((r) => r.wire.diameter))].map(
    (diameter) =>
      toHeight(
        rows.filter((r) => r.wire.diameter === diameter),
        setting.height,
        table.heightCurve,
      ),
  );
  const told = toMaterials(
    toDiameter(atHeight, setting, table),
    setting,
    table,
  );
  const { row, steps, outside } = told;
  return {
    passes: row.passes.map((p, i) => withFlushing(p, i, setting.flushing)),
    ra: row.ra,
    tolerance: row.tolerance,
    source: row.source,
    steps,
    outside,
  };
}

/** Rows for this very pair of wire and work material; failing that, all of one pair: same work, or same wire, or any. */
function nearestKind(
  rows: readonly Schedule[],
  { wire, material }: Setting,
): readonly Schedule[] {
  const closeness = (r: Schedule): number =>
    (r.material === material ? 2 : 0) +
    (r.wire.material === wire.material ? 1 : 0);
  const best = Math.max(...rows.map(closeness));
  const first = rows.find((r) => closeness(r) === best);
  return rows.filter(
    (r) =>
      r.material === first?.material && r.wire.material === first.wire.material,
  );
}

function toHeight(
  rows: readonly Schedule[],
  height: number,
  curve: HeightCurve,
): Told {
  const { low, high } = around(rows, (r) => r.height, height);
  if (low && high && low !== high)
    return {
      row: between(low, high, share(low.height, high.height, height)),
      steps: [
        `from between the rows for ${mm(low.height)} and ${mm(high.height)} height, for ${mm(height)}`,
      ],
      outside: [],
    };
  const row = (low ?? high) as Schedule;
  if (same(row.height, height)) return { row, steps: [], outside: [] };
  const factor = alongCurve(curve, height) / alongCurve(curve, row.height);
  const step = `from ${mm(row.height)} to ${mm(height)} height: rates × ${trimmed(factor, 2)} (height curve)`;
  const last = curve.points.at(-1)?.[0] ?? 0;
  const first = curve.points[0]?.[0] ?? 0;
  return {
    row: { ...scaled(row, 1, 1, factor), height },
    steps: [step],
    outside:
      height > last || height < first
        ? [
            `${step}; the curve itself ends at ${mm(height > last ? last : first)}`,
          ]
        : [],
  };
}

function toDiameter(
  told: readonly Told[],
  { wire }: Setting,
  table: ProcessTable,
): Told {
  const diameterOf = (t: Told): number => t.row.wire.diameter;
  const { low, high } = around(told, diameterOf, wire.diameter);
  if (low && high && low !== high)
    return {
      row: between(
        low.row,
        high.row,
        share(diameterOf(low), diameterOf(high), wire.diameter),
      ),
      steps: [
        ...low.steps,
        ...high.steps.filter((s) => !low.steps.includes(s)),
        `from between the rows for ${mm(diameterOf(low))} and ${mm(diameterOf(high))} wire, for ${mm(wire.diameter)}`,
      ],
      outside: [...new Set([...low.outside, ...high.outside])],
    };
  const near = (low ?? high) as Told;
  const [least, most] = table.wires[wire.material]?.diameters ?? [0, 0];
  const unusual =
    wire.diameter < least || wire.diameter > most
      ? [
          `${wire.material} wire is usual from ${mm(least)} to ${mm(most)}, not at ${mm(wire.diameter)}`,
        ]
      : [];
  if (same(diameterOf(near), wire.diameter))
    return { ...near, outside: [...near.outside, ...unusual] };
  const ratio = wire.diameter / diameterOf(near);
  const root = Math.sqrt(ratio);
  return {
    row: scaled(near.row, root, root, ratio),
    steps: [
      ...near.steps,
      `from ${mm(diameterOf(near))} to ${mm(wire.diameter)} wire: gap and stock left × ${trimmed(root, 2)} (root of the diameters), rates × ${trimmed(ratio, 2)} (the diameters)`,
    ],
    outside: [...near.outside, ...unusual],
  };
}

function toMaterials(
  { row, steps, outside }: Told,
  setting: Setting,
  { wires, materials }: ProcessTable,
): Told {
  const more: string[] = [];
  let [gap, rate] = [1, 1];
  const [from, to] = [materials[row.material], materials[setting.material]];
  if (from && to && row.material !== setting.material) {
    gap = to.relativeGap / from.relativeGap;
    rate = to.relativeRate / from.relativeRate;
    more.push(
      `from ${nameText(from.title)} to ${nameText(to.title)}: gap × ${trimmed(gap, 2)}, rates × ${trimmed(rate, 2)}; Ra and tolerance are ${nameText(from.title)}'s`,
    );
  }
  const [had, has] = [wires[row.wire.material], wires[setting.wire.material]];
  if (had && has && row.wire.material !== setting.wire.material) {
    const byWire = has.relativeRate / had.relativeRate;
    rate *= byWire;
    more.push(
      `from ${nameText(row.wire.material)} to ${nameText(setting.wire.material)} wire: rates × ${trimmed(byWire, 2)}`,
    );
  }
  if (more.length === 0 && steps.length === 0) return { row, steps, outside };
  return {
    row: rounded(scaled(row, gap, 1, rate)),
    steps: [...steps, ...more],
    outside,
  };
}

/** The flushing tells on the rough alone: skims run with little of it. */
function withFlushing(
  pass: SchedulePass,
  i: number,
  { roughGap, roughRate }: Flushing,
): SchedulePass {
  if (i > 0 || (roughGap === 1 && roughRate === 1)) return pass;
  return {
    gap: inSteps(pass.gap * roughGap),
    leave: pass.leave,
    areaRate: quietRate(pass.areaRate * roughRate),
  };
}

/** The rows next below and next above a value; the same one twice where it is met, one missing beyond the ends. */
function around<T>(
  rows: readonly T[],
  of: (row: T) => number,
  value: number,
): { low: T | undefined; high: T | undefined } {
  const sorted = [...rows].sort((a, b) => of(a) - of(b));
  return {
    low: sorted.findLast((r) => of(r) <= value + JOB_NOISE),
    high: sorted.find((r) => of(r) >= value - JOB_NOISE),
  };
}

function between(a: Schedule, b: Schedule, t: number): Schedule {
  const mix = (x: number, y: number): number => x + (y - x) * t;
  return {
    ...a,
    height: mix(a.height, b.height),
    wire: { ...a.wire, diameter: mix(a.wire.diameter, b.wire.diameter) },
    passes: a.passes.map((p, i) => {
      const q = b.passes[i] as SchedulePass;
      return {
        gap: mix(p.gap, q.gap),
        leave: mix(p.leave, q.leave),
        areaRate: mix(p.areaRate, q.areaRate),
      };
    }),
    ra: [mix(a.ra[0], b.ra[0]), mix(a.ra[1], b.ra[1])],
    tolerance: mix(a.tolerance, b.tolerance),
    source: a.source === b.source ? a.source : `${a.source}; ${b.source}`,
  };
}

function scaled(
  row: Schedule,
  gap: number,
  leave: number,
  rate: number,
): Schedule {
  return {
    ...row,
    passes: row.passes.map((p) => ({
      gap: p.gap * gap,
      leave: p.leave * leave,
      areaRate: p.areaRate * rate,
    })),
  };
}

function rounded(row: Schedule): Schedule {
  return {
    ...row,
    passes: row.passes.map((p) => ({
      gap: inSteps(p.gap),
      leave: Math.round(p.leave * STEPS_PER_MM) / STEPS_PER_MM,
      areaRate: quietRate(p.areaRate),
    })),
  };
}

function inSteps(gap: number): number {
  return Math.max(1, Math.round(gap * STEPS_PER_MM)) / STEPS_PER_MM;
}

function quietRate(rate: number): number {
  return Math.max(LEAST_RATE, Math.round(rate * 10) / 10);
}

/** Linear between the curve's points, its end values beyond them. */
function alongCurve({ points }: HeightCurve, height: number): number {
  const { low, high } = around(points, ([h]) => h, height);
  if (!low || !high) return (low ?? high)?.[1] ?? 1;
  return low === high
    ? low[1]
    : low[1] + (high[1] - low[1]) * share(low[0], high[0], height);
}

function share(low: number, high: number, value: number): number {
  return (value - low) / (high - low);
}

function same(a: number, b: number): boolean {
  return Math.abs(a - b) <= JOB_NOISE;
}

function mm(value: number): string {
  return `${trimmed(value, 4)} mm`;
}
