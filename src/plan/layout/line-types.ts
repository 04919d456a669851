/** Outlines in line types that stand for something else on a sheet: pitch circles as centre lines, parts that move. */
import type { Finding } from "../../base/finding.js";
import { nameText } from "../../base/message.js";
import { placeText } from "../../base/numbers.js";
import type { Drawing, Outline } from "../../drawing/drawing.js";
import { likelyMeaning } from "../../drawing/line-types.js";
import type { Segment } from "../../geometry/segment.js";
import { pair } from "../../geometry/vec.js";
import type { Job } from "../job/job.js";
import type { OutlineRole } from "./drawn-marks.js";
import { isSettled, isToCut } from "./sheet-layers.js";

/**
 * One finding for each layer and line type with closed outlines to be cut, unless somebody has picked the layer or given
 * it a role. An error where they enclose what is drawn otherwise: openings would become parts.
 */
export function lineTypeFindings(
  { outlines }: Drawing,
  roles: readonly OutlineRole[],
  job: Job,
): Finding[] {
  const kinds = new Map<string, Outline[]>();
  outlines.forEach((o, i) => {
    if (o.lineType === undefined || likelyMeaning(o.lineType) === null) return;
    if (!isToCut(roles[i]) || isSettled(o.layer, job)) return;
    const key = `${o.layer}\n${o.lineType}`;
    kinds.set(key, [...(kinds.get(key) ?? []), o]);
  });
  return [...kinds.values()].map((alike): Finding => {
    const { layer, lineType = "", contour } = alike[0] as Outline;
    const around = enclosesOthers(alike, outlines);
    const where = pair((contour.segments[0] as Segment).start);
    const many = alike.length > 1;
    return {
      code: "role/line-type",
      severity: around ? "error" : "warning",
      message: `${alike.length} closed ${many ? "outlines" : "outline"} on layer ${nameText(layer)}, ${many ? "one " : ""}at ${placeText(where)}, ${many ? "are" : "is"} drawn with line type ${nameText(lineType)}, as ${likelyMeaning(lineType)} are, but would be cut${around ? ", and what lies within would be cut the other way round" : ""}. Leave such lines out with --skip-line-type (drawing.skipLineTypes in the job); if they are to be cut, draw them continuous or give layer ${nameText(layer)} a role.`,
      where,
      layers: [layer],
    };
  });
}

function enclosesOthers(
  alike: readonly Outline[],
  all: readonly Outline[],
): boolean {
  const around = new Set(alike);
  const isWithin = (o: Outline): boolean => {
    for (let p = o.parent; p !== null; p = (all[p] as Outline).parent)
      if (around.has(all[p] as Outline)) return true;
    return false;
  };
  return all.some((o) => !around.has(o) && isWithin(o));
}
