/** What `plan --json` prints and what the job asked for, as far as the judge looks at it. */
import { type Pt, pt } from "./plane.js";

export interface PrintedFeature {
  readonly id: string;
  readonly role: string;
  readonly layer: string;
  readonly area: number;
  readonly perimeter: number;
  readonly startHole: readonly [number, number];
  /** null: the inside is cut away whole, and nothing comes loose. */
  readonly tab: { readonly length: number; readonly at: unknown } | null;
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
