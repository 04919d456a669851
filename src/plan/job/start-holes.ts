/** What a job says of start holes, brought to mm: the one size, or the drills there are. */
import type { LengthUnit } from "../../base/units.js";
import { drillWander, smallestStartHole } from "../../process/start-holes.js";
import type { JobFile } from "./file.js";
import type { Job, Pass } from "./job.js";
import type { JobProcess } from "./process.js";
import { badValue, lengthReader, lengthText } from "./values.js";

export interface StartHoleRules {
  /** The one size; null: the largest of `drills` that fits. */
  readonly diameter: number | null;
  /** Diameters there are drills for, the largest first. */
  readonly drills: readonly number[];
  /** Metal from the hole's wall to every finished edge, beside what the drill wanders. */
  readonly clearance: number;
  readonly grid: number;
  readonly layer: string | null;
}

const DEFAULT_MM = { clearance: 0.5, grid: 0.5 } as const;

/** What nobody decided goes to `assumptions`. */
export function settleStartHoles(
  said: JobFile["startHoles"],
  wire: number,
  units: LengthUnit,
  { drilling }: JobProcess,
  assumptions: string[],
): StartHoleRules {
  const length = lengthReader(units);
  const size = (path: string, value: number | undefined) => {
    const mm = length(path, value, [0, 20]);
    if (mm !== undefined && mm <= wire)
      throw badValue(
        path,
        `larger than the wire (${lengthText(wire, units)})`,
        value,
      );
    return mm;
  };
  const diameter = size("startHoles.diameter", said?.diameter);
  const own = said?.drills?.map(
    (d, i) => size(`startHoles.drills[${i}]`, d) as number,
  );
  if (own && diameter !== undefined)
    throw badValue(
      "startHoles.drills",
      "left out where startHoles.diameter says the one size to drill",
      said?.drills?.join(", "),
    );
  const clearance = length("startHoles.clearance", said?.clearance, [0, 50]);
  const grid = length("startHoles.grid", said?.grid, [0.001, 50]);
  if (diameter === undefined && !own)
    assumptions.push(
      "start holes: the largest usual size that fits (default; the job names no diameter)",
    );
  if (clearance === undefined)
    assumptions.push(
      "start holes keep 0.5 mm from every finished edge (default)",
    );
  if (grid === undefined)
    assumptions.push("start holes lie on a 0.5 mm grid (default)");
  return {
    diameter: diameter ?? null,
    drills: [...new Set(own ?? drilling.sizes)].sort((a, b) => b - a),
    clearance: clearance ?? DEFAULT_MM.clearance,
    grid: grid ?? DEFAULT_MM.grid,
    layer: said?.layer ?? null,
  };
}

/** How far (mm) a hole that is made for this job may wander on its way through the block. */
export function wanderIn({ process, stock }: Job): number {
  return drillWander(process.drilling, stock.thickness);
}

/** mm; through a smaller hole the wire cannot be threaded safely. */
export function leastHole(job: Job): number {
  const { gap } = job.passes[0] as Pass;
  return smallestStartHole(job.wire.diameter, gap, wanderIn(job));
}

/** Diameters to try, the most wanted first; where none is safe, the largest there is. */
export function holeSizes(job: Job): readonly number[] {
  const { diameter, drills } = job.startHoles;
  if (diameter !== null) return [diameter];
  const safe = drills.filter((d) => d >= leastHole(job));
  return safe.length > 0 ? safe : drills.slice(0, 1);
}
