/** A job in another unit: the same lengths, written anew. */
import { type JobFile, type LengthUnit, mmPer } from "../../src/index.js";
import { withValue } from "./desk.js";

/** Keys whose numbers, and those of the groups below them, are lengths; those of `AREAS` are areas; all others keep their numbers. */
const LENGTHS = new Set([
  "thickness",
  "diameter",
  "gap",
  "leave",
  "clearance",
  "grid",
  "overlap",
  "length",
  "radius",
  "at",
  "startHole",
  "keepOff",
  "extra",
  "spread",
  "drills",
  "fit",
  "refit",
  "travel",
  "registers",
]);
const AREAS = new Set(["minSlugArea"]);

/** Significant figures kept; fewer in mm, so that 1 mm does not come back from inches as 0.9999999999. */
const DIGITS = { mm: 8, in: 10 } as const;

export function inUnits(job: JobFile, units: LengthUnit): JobFile {
  const factor = mmPer(job.units ?? "mm") / mmPer(units);
  if (factor === 1) return { ...job, units };
  const written = (node: unknown, power: number): unknown => {
    if (typeof node === "number")
      return power === 0
        ? node
        : Number((node * factor ** power).toPrecision(DIGITS[units]));
    if (Array.isArray(node)) return node.map((n) => written(n, power));
    if (typeof node !== "object" || node === null) return node;
    return Object.fromEntries(
      Object.entries(node).map(([key, inner]) => [
        key,
        written(inner, LENGTHS.has(key) ? 1 : AREAS.has(key) ? 2 : power),
      ]),
    );
  };
  // The program's grid is a choice of each unit's own: 0.0001 mm and 0.00001 in.
  const gridless = withValue(job, ["program", "resolution"], undefined);
  return { ...(written(gridless, 0) as JobFile), units };
}
