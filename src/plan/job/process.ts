/** The rows of the process table that hold for a job, taken out of it so that a plan carries what it rests on. */
import { InputError } from "../../base/finding.js";
import type { Flushing, FlushingName } from "../../process/flushing.js";
import { type Found, findSchedule } from "../../process/lookup.js";
import type { Material } from "../../process/materials.js";
import { MAX_SCHEDULED_PASSES } from "../../process/schedules.js";
import type { DrillRules } from "../../process/start-holes.js";
import type { ProcessTable } from "../../process/table.js";
import type { TabRules } from "../../process/tabs.js";
import type { WireKind } from "../../process/wires.js";
import type { Working } from "../../process/working.js";
import type { JobFile } from "./file.js";

export interface JobProcess {
  /** The shop's own table as the job names it; null: the built-in one. */
  readonly table: string | null;
  readonly material: Material;
  readonly wire: WireKind;
  readonly flushing: Flushing;
  /** Of as many passes as the job has, or of as many as the table knows. */
  readonly schedule: Found;
  readonly tabs: TabRules;
  readonly drilling: DrillRules;
  readonly working: Working;
}

const DEFAULT_PASSES = 3;

export function passCount(said: JobFile["passes"]): number {
  return Array.isArray(said) ? said.length : (said ?? DEFAULT_PASSES);
}

/**
 * @param job material and wire must be rows of the table.
 * @throws {InputError} `process/no-schedule`.
 */
export function settleProcess(
  table: ProcessTable,
  name: string | null,
  job: {
    readonly wire: { readonly diameter: number; readonly material: string };
    readonly stock: { readonly material: string; readonly thickness: number };
    readonly flushing: FlushingName;
    readonly said: JobFile["passes"];
  },
): JobProcess {
  const flushing = table.flushing[job.flushing];
  const count = Math.min(passCount(job.said), MAX_SCHEDULED_PASSES);
  const schedule = findSchedule(table, count, {
    wire: job.wire,
    material: job.stock.material,
    height: job.stock.thickness,
    flushing,
  });
  if (!schedule)
    throw new InputError(
      "process/no-schedule",
      `the process table has no schedule of ${count} passes; add one, or set another number of passes`,
    );
  return {
    table: name,
    material: table.materials[job.stock.material] as Material,
    wire: table.wires[job.wire.material] as WireKind,
    flushing,
    schedule,
    tabs: table.tabs,
    drilling: table.drilling,
    working: table.working,
  };
}
