/** The job: what the user decides. `JobFile` is what a file may say (DESIGN 5); `Job` is that with every value settled, mm. */
import type { LengthUnit } from "../base/units.js";
import type { MaterialName } from "../process/materials.js";
import type { WireMaterial } from "../process/wires.js";
import type { Role } from "./feature.js";

/** One trip round at one offset. offset = wire radius + gap + leave (geometry). */
export interface Pass {
  /** 1 is the rough. */
  readonly number: number;
  readonly kind: "rough" | "skim";
  /** Spark gap per side at this pass's power. */
  readonly gap: number;
  /** Stock left for the passes after it, per side; 0 on the last. */
  readonly leave: number;
  readonly offset: number;
  /** mm²/min of cut face, for the estimate. */
  readonly areaRate: number;
}

/** Every choice settled; lengths mm. */
export interface Job {
  /** The unit the job file and the program are written in. */
  readonly units: LengthUnit;
  readonly stock: {
    readonly material: MaterialName;
    readonly thickness: number;
  };
  readonly wire: { readonly diameter: number; readonly material: WireMaterial };
  readonly passes: readonly Pass[];
  readonly roles: {
    readonly outer: "part" | "stock" | "opening";
    readonly layers: Readonly<Record<string, Role>>;
  };
  readonly startHoles: {
    /** null: the largest of the usual sizes that fits. */
    readonly diameter: number | null;
    readonly clearance: number;
    readonly grid: number;
    readonly layer: string | null;
  };
  readonly lead: { readonly kind: "straight"; readonly overlap: number };
  readonly tabs: {
    readonly length: number | "auto";
    readonly minSlugArea: number;
  };
  readonly order: "unattended-first" | "one-by-one";
  readonly program: {
    readonly compensation: "path" | "control";
    /** "neutral", or the name of a word-table file that the caller loads. */
    readonly words: string;
    readonly resolution: number;
  };
  /** Where each value that the user did not give came from, for the sheet: "wire 0.25 mm brass (default: everyday wire)". */
  readonly assumptions: readonly string[];
}
