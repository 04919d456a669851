/** What `plan --json` prints (DESIGN 4). Whatever unit the job is in, lengths here are mm, times min, masses kg. */
import { type Finding, hasErrors } from "../base/finding.js";
import { type LengthUnit, toDegrees } from "../base/units.js";
import { pair } from "../geometry/vec.js";
import type { CutRole } from "../plan/feature.js";
import type { Plan } from "../plan/plan.js";
import type { Proof } from "../proof/proof.js";
import { type Estimate, estimatePlan, strokeTravels } from "./estimate.js";

type Place = readonly [x: number, y: number];

export interface PlanSummary {
  /** No error finding and a proof that holds. */
  readonly ok: boolean;
  /** Unit of the program; figures here are mm all the same. */
  readonly units: LengthUnit;
  readonly features: readonly {
    readonly id: string;
    readonly role: CutRole;
    readonly layer: string;
    readonly area: number;
    readonly perimeter: number;
    /** null when nothing turns inward. */
    readonly minInsideRadius: number | null;
    readonly startHole: Place;
    /** null where the inside is cut away whole. */
    readonly tab: { readonly length: number; readonly at: Place } | null;
    readonly slug: {
      readonly mass: number;
      readonly cg: Place;
      readonly size: readonly [width: number, height: number];
      /** Degrees it can lean in its kerf once loose; null: it can turn right over. */
      readonly lean: number | null;
    };
    /** min of burning. */
    readonly time: number;
  }[];
  /** mm; `width` is that of the rough's kerf. */
  readonly slits: readonly {
    readonly id: string;
    readonly layer: string;
    readonly length: number;
    readonly width: number;
    readonly startHole: Place;
    /** min of burning. */
    readonly time: number;
  }[];
  readonly passes: readonly {
    readonly number: number;
    readonly kind: "rough" | "skim";
    readonly gap: number;
    readonly leave: number;
    readonly offset: number;
  }[];
  /** Strokes in the order they are cut; mm. */
  readonly cuts: readonly {
    readonly feature: string;
    readonly pass: number;
    /** "along" of a slit. */
    readonly direction: "ccw" | "cw" | "along";
    readonly length: number;
    readonly attended: boolean;
  }[];
  /** `after`: how many of `cuts` are done when the machine stops. */
  readonly stops: readonly {
    readonly after: number;
    readonly reason: string;
  }[];
  /** min, kg and m, but `cutLength` in mm. */
  readonly totals: Omit<Estimate, "passes" | "features">;
  readonly findings: readonly Finding[];
  /** null when there was no program to prove. */
  readonly proof: {
    readonly ok: boolean;
    readonly maxGouge: number;
    readonly maxExcess: number;
    readonly coverage: number;
    readonly loosePieces: readonly {
      readonly feature: string;
      readonly attended: boolean;
    }[];
    readonly words: Readonly<Record<string, number>>;
    readonly blocks: number;
  } | null;
  readonly files: readonly string[];
}

/** The plan, its proof and the files written, as one JSON object. */
export function planSummary(
  plan: Plan,
  proof: Proof | null,
  files: readonly string[],
): PlanSummary {
  const findings = [...plan.findings, ...(proof?.findings ?? [])];
  const { passes: _, features: times, ...totals } = estimatePlan(plan);
  return {
    ok: !hasErrors(findings) && proof?.ok === true,
    units: plan.job.units,
    features: plan.features.map((f, i) => ({
      id: f.id,
      role: f.role,
      layer: f.layer,
      area: f.area,
      perimeter: f.perimeter,
      minInsideRadius: f.minInsideRadius?.value ?? null,
      startHole: pair(f.startHole.at),
      tab: f.tab && { length: f.tab.length, at: pair(f.tab.at) },
      slug: {
        mass: f.slug.mass,
        cg: pair(f.slug.cg),
        size: f.slug.size,
        lean: f.slug.lean === null ? null : toDegrees(f.slug.lean),
      },
      time: times[i]?.time ?? 0,
    })),
    slits: plan.slits.map(({ id, layer, length, width, startHole }) => ({
      id,
      layer,
      length,
      width,
      startHole: pair(startHole.at),
      time: times.find((t) => t.id === id)?.time ?? 0,
    })),
    passes: plan.job.passes.map(({ number, kind, gap, leave, offset }) => ({
      number,
      kind,
      gap,
      leave,
      offset,
    })),
    cuts: strokeTravels(plan).map(({ cut, stroke, length }) => ({
      feature: cut.feature,
      pass: stroke.pass,
      direction: stroke.direction,
      length,
      attended: cut.attended,
    })),
    stops: stopList(plan),
    totals: { ...totals, cutLength: 1000 * totals.cutLength },
    findings,
    proof: proof && {
      ok: proof.ok,
      maxGouge: proof.maxGouge,
      maxExcess: proof.maxExcess,
      coverage: proof.coverage,
      loosePieces: proof.loosePieces.map(({ feature, attended }) => ({
        feature,
        attended,
      })),
      words: proof.words,
      blocks: proof.blocks,
    },
    files,
  };
}

function stopList(plan: Plan): PlanSummary["stops"] {
  let after = 0;
  return plan.steps.flatMap((step) => {
    if (step.kind === "stop") return [{ after, reason: step.reason }];
    after += step.strokes.length;
    return [];
  });
}
