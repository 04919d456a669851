/** What a change by hand writes into the job file. Pure. */
import {
  type JobFile,
  type LengthUnit,
  mmPer,
  type PlannedFeature,
  type Vec,
} from "../../src/index.js";
import { type Path, withValue } from "../desk/desk.js";

/** The things of an outline that can be moved by hand. */
export type Grip = "startHole" | "tab" | "lead";

/** Those that the outline has. */
export function gripsOf(f: PlannedFeature): readonly Grip[] {
  return f.tab && f.tab.length > 0
    ? ["startHole", "tab", "lead"]
    : ["startHole", "lead"];
}

export function placeOf(f: PlannedFeature, grip: Grip): Vec {
  return grip === "startHole"
    ? f.startHole.at
    : grip === "tab" && f.tab
      ? f.tab.at
      : f.leadPoint;
}

/** Decimals: a micron, and a hundred-thousandth of an inch. */
const DECIMALS = { mm: 3, in: 5 } as const;

/** A place as the job file writes it, in its own unit. */
export function jobPlace(p: Vec, units: LengthUnit): [number, number] {
  const round = (mm: number): number =>
    Number((mm / mmPer(units)).toFixed(DECIMALS[units]));
  return [round(p.x), round(p.y)];
}

/** Where the job file says where a thing is. */
export function pathOf(feature: string, grip: Grip): Path {
  return grip === "startHole"
    ? ["features", feature, "startHole"]
    : ["features", feature, grip, "at"];
}

/** The job with a thing moved to `at` (the job's unit), or left to the plan again with `undefined`. */
export function moved(
  job: JobFile,
  feature: string,
  grip: Grip,
  at: readonly [number, number] | undefined,
): JobFile {
  if (grip === "startHole") return withValue(job, pathOf(feature, grip), at);
  // The tab lies right behind the lead-in: whoever moves the one moves the other with it.
  const other = grip === "tab" ? "lead" : "tab";
  const free = withValue(job, ["features", feature, other], undefined);
  return at === undefined
    ? withValue(free, ["features", feature, grip], undefined)
    : withValue(free, pathOf(feature, grip), at);
}

/** Features in the order of their first cut, with one moved by `steps` places. */
export function reordered(
  features: readonly string[],
  moving: string,
  to: number,
): readonly string[] {
  const rest = features.filter((f) => f !== moving);
  const place = Math.max(0, Math.min(rest.length, to));
  return [...rest.slice(0, place), moving, ...rest.slice(place)];
}
