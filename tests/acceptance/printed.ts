/** What `plan --json` prints and what the job asked for, as far as the judge looks at it. */
import { gap, type Pt, pt } from "./plane.js";

export interface PrintedFeature {
  readonly id: string;
  readonly role: string;
  readonly layer: string;
  readonly area: number;
  readonly perimeter: number;
  readonly startHole: readonly [number, number];
  /** null: the inside is cut away whole, and nothing comes loose. */
  readonly tab: PrintedTab | null;
  /** Each further tab with the hole that its own cut is threaded in. */
  readonly further?: readonly {
    readonly startHole: readonly [number, number];
    readonly tab: PrintedTab;
  }[];
}

export interface PrintedTab {
  readonly length: number;
  readonly at: unknown;
}

/** One way in to a feature: where the wire is threaded, and the tab behind it. */
export interface Way {
  readonly at: Pt;
  readonly tab: PrintedTab | null;
}

export function waysOf(f: PrintedFeature): Way[] {
  return [f, ...(f.further ?? [])].map(({ startHole, tab }) => ({
    at: pt(...startHole),
    tab,
  }));
}

/** What stands in the written plan and on the sheet alone. */
export interface Paper {
  readonly holes: readonly { readonly at: Pt; readonly diameter: number }[];
  /** Passes that leave less for one feature, with the D register of the sheet's table. */
  readonly own: readonly OwnPass[];
}

export interface OwnPass {
  readonly feature: string;
  readonly pass: number;
  readonly gap: number;
  readonly leave: number;
  readonly offset: number;
  /** null where the program is the wire's path. */
  readonly register: number | null;
}

/** The passes as this feature is cut with them. */
export function passesFor(
  printed: Printed,
  paper: Paper,
  id: string,
): Printed["passes"] {
  return printed.passes.map(
    (p) =>
      paper.own
        .filter((o) => o.feature === id && o.pass === p.number)
        .map(({ gap, leave, offset }) => ({
          number: p.number,
          gap,
          leave,
          offset,
        }))[0] ?? p,
  );
}

/** Rows of the sheet's table of offsets that hold for one feature only; `unit`: mm in one of its lengths. */
export function ownPasses(sheet: string, unit: number): OwnPass[] {
  const cell = "<td[^>]*>([^<]*)</td>";
  const row = new RegExp(
    `<tr><td[^>]*>(\\d+), ([^<]+) only</td>${cell}${cell}${cell}${cell}${cell}(?:<td[^>]*>D(\\d+) = [^<]*</td>)?</tr>`,
    "g",
  );
  return [...sheet.matchAll(row)].map((m) => ({
    pass: Number(m[1]),
    feature: m[2] as string,
    gap: Number(m[5]) * unit,
    leave: Number(m[6]) * unit,
    offset: Number(m[7]) * unit,
    register: m[8] === undefined ? null : Number(m[8]),
  }));
}

/** Diameter of the hole at `p`, if one is told of. */
export function holeAt(paper: Paper, p: Pt): number | undefined {
  return paper.holes.find((h) => gap(h.at, p) < 0.001)?.diameter;
}

/** What `plan --json` prints, as far as it is looked at. */
export interface Printed {
  readonly ok: boolean;
  readonly features: readonly PrintedFeature[];
  readonly passes: readonly {
    readonly number: number;
    readonly gap: number;
    readonly leave: number;
    readonly offset: number;
  }[];
  readonly cuts: readonly unknown[];
  readonly stops: readonly unknown[];
  readonly totals: {
    readonly cutLength: number;
    readonly threads: number;
    readonly stops: number;
  };
  readonly findings: readonly {
    readonly code: string;
    readonly severity: string;
    readonly message: string;
    readonly where?: readonly [number, number];
    readonly feature?: string;
  }[];
  readonly proof: {
    readonly ok: boolean;
    readonly maxGouge: number;
    readonly loosePieces: readonly {
      readonly feature: string;
      readonly attended: boolean;
    }[];
    readonly blocks: number;
  };
  readonly files: readonly string[];
}

/** What the job asked for, in mm; what it leaves open is left out. */
export interface Asked {
  readonly wire: number;
  readonly order: "unattended-first" | "one-by-one";
  readonly clearance: number;
  readonly grid: number;
  readonly overlap: number;
  readonly tab?: number;
  readonly passes?: readonly { readonly gap: number; readonly leave: number }[];
  readonly passCount?: number;
  readonly inch: boolean;
  readonly control: boolean;
  /** Parts are cut in from the block's edge where a way leads to them. */
  readonly edge?: boolean;
  /** All roughs come before all skims. */
  readonly relief?: boolean;
  /** Holes that are in the drawing already: they lie where they lie. */
  readonly drawn?: readonly { readonly at: Pt; readonly diameter: number }[];
}

/** A pair that may be written [x, y] or {x, y}. */
export function pointFrom(v: unknown): Pt | null {
  if (Array.isArray(v) && v.length === 2 && v.every(Number.isFinite))
    return pt(v[0], v[1]);
  const o = v as { x?: unknown; y?: unknown } | null;
  return o && Number.isFinite(o.x) && Number.isFinite(o.y)
    ? pt(o.x as number, o.y as number)
    : null;
}
