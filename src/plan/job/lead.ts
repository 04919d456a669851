/** What a job says of leads, brought to mm. */
import type { LengthUnit } from "../../base/units.js";
import type { JobFile } from "./file.js";
import type { Pass } from "./job.js";
import { badValue, lengthReader, lengthText } from "./values.js";

export interface LeadRules {
  /** "arc": tangent to the outline, where no tab stands beside it; `lead-arc.ts` says where. */
  readonly kind: "straight" | "arc";
  /** Of the arc on the outline; its own on each pass is less by the offset. */
  readonly radius: number;
  readonly overlap: number;
  /** By so much each skim begins and ends farther on than the pass before it. */
  readonly spread: number;
}

const DEFAULT_MM = { overlap: 0.5, radius: 0.8 } as const;

/** How far (mm) beyond the rough's offset the wire stands off before a stroke at most: longer than any D, as G41 asks. */
export const STAND_OFF = 0.1;

/** mm of arc that the wire runs at least, whatever the offset. */
const LEAST_ARC = 0.05;

/** What nobody decided goes to `assumptions`. */
export function settleLead(
  said: JobFile["lead"],
  passes: readonly Pass[],
  units: LengthUnit,
  assumptions: string[],
): LeadRules {
  const length = lengthReader(units);
  const kind = said?.kind ?? "straight";
  const overlap = length("lead.overlap", said?.overlap, [0, 20]);
  if (overlap === undefined)
    assumptions.push("overlap 0.5 mm where a stretch ends (default)");
  if (kind === "straight" && said?.radius !== undefined)
    throw badValue(
      "lead.radius",
      'left out, or lead.kind "arc": straight leads have none',
      said.radius,
    );
  // G41 is switched on along a straight move longer than D, and that has to find room within the arc.
  const least = (passes[0] as Pass).offset + STAND_OFF + LEAST_ARC;
  const radius = length("lead.radius", said?.radius, [0, 20]);
  if (radius !== undefined && radius < least)
    throw badValue(
      "lead.radius",
      `${lengthText(least, units)} or more: the rough's offset and room to stand off`,
      said?.radius,
    );
  return {
    kind,
    radius: radius ?? Math.max(DEFAULT_MM.radius, least),
    overlap: overlap ?? DEFAULT_MM.overlap,
    spread: length("lead.spread", said?.spread, [0, 5]) ?? 0,
  };
}
