/** Drawing and job → layout: which outline is cut in which role, the block's edge, the holes that are there. */
import type { Finding } from "../../base/finding.js";
import { quoted } from "../../base/message.js";
import { placeText } from "../../base/numbers.js";
import type { Drawing, Outline } from "../../drawing/drawing.js";
import type { Contour } from "../../geometry/contour.js";
import type { Segment } from "../../geometry/segment.js";
import { pair } from "../../geometry/vec.js";
import type { CutRole, Feature, Layout, Role } from "../feature.js";
import type { Job } from "../job/job.js";
import { drawnSlits } from "../slit/lines.js";
import { drawnMarks, markRole, type OutlineRole } from "./drawn-marks.js";
import { frameFindings } from "./frames.js";
import { missingLayers, sameLayer } from "./layer-choice.js";
import { lineTypeFindings } from "./line-types.js";
import { isOneLayer, sheetLayerFindings } from "./sheet-layers.js";

export interface LaidOut extends Layout {
  /** Role of each outline of the drawing, by index. */
  readonly roles: readonly OutlineRole[];
  /**
   * Id of each outline, by index, under which `features` in the job knows it; null for holes and marks. Numbered in
   * drawing order by the role that layers and nesting give, so that a role given by hand renumbers nothing.
   */
  readonly ids: readonly (string | null)[];
  /** Chains that do not close, on layers that are not ignored, and are no slits. */
  readonly open: readonly Contour[];
  /** The drawing's findings but those about ignored layers, and what the roles add. */
  readonly findings: readonly Finding[];
}

/**
 * A layer's role rules; an outline on any other layer gets its role from the nesting: the outermost is
 * `roles.outer`, and below it openings and parts take turns, since what lies in a part is cut out of it.
 */
export function layOut(drawing: Drawing, job: Job): LaidOut {
  const isSlit = (layer: string): boolean => roleOfLayer(layer, job) === "slit";
  const findings = drawing.findings.filter(
    (f) =>
      !f.layers?.some((layer) => isIgnored(layer, job)) &&
      !(f.code === "outline/not-closed" && f.layers?.every(isSlit)),
  );
  const given = drawing.outlines.map((o) => roleOfLayer(o.layer, job));
  const ids = idsOf(rolesOf(drawing.outlines, given, job));
  const roles = rolesOf(
    drawing.outlines,
    given.map((role, i) => job.features[ids[i] ?? ""]?.role ?? role),
    job,
  );
  findings.push(...missingLayers(drawing, job));
  const lines = drawing.open.filter((chain) => isSlit(chain.layer));
  const slits = drawnSlits(lines, drawing.outlines, roles, ids, job);
  findings.push(...slits.findings);
  findings.push(...unknownFeatures([...ids, ...slits.ids], job));
  const stocks = drawing.outlines.filter((_, i) => roles[i] === "stock");
  if (stocks.length > 1) {
    findings.push({
      code: "role/two-blocks",
      severity: "error",
      message: `${stocks.length} outlines have the role stock, at ${stocks.map((o) => placeText(someplace(o))).join(" and ")}; one block at a time: give the others another layer or role`,
      where: someplace(stocks[1] as Outline),
    });
  }
  const sheets = sheetLayerFindings(drawing, roles, job);
  const features = featuresOf(drawing.outlines, roles, ids);
  if (features.length + lines.length === 0 && drawing.outlines.length > 0) {
    findings.push({
      code: "role/nothing-to-cut",
      severity: "error",
      message: `the drawing has ${drawing.outlines.length} closed outlines but none is to be cut; set roles.outer or roles.layers in the job`,
    });
  }
  findings.push(...nestingFindings(features));
  findings.push(...lineTypeFindings(drawing, roles, job));
  // Where all is on one layer, that layer cannot be left out: everything on it is told one by one.
  const told = new Set(
    isOneLayer(drawing) ? [] : sheets.flatMap((f) => f.layers ?? []),
  );
  findings.push(
    ...frameFindings(drawing, roles, job).filter(
      (f) => !f.layers?.some((layer) => told.has(layer)),
    ),
  );
  const marks = drawnMarks(drawing, roles, job);
  return {
    features,
    slits: slits.slits,
    stock: stocks[0]?.contour ?? null,
    ...marks,
    // Neither tab nor lead-in may stand where a slit runs through the edge: it would cut the tab off.
    keepOff: [
      ...marks.keepOff,
      ...slits.slits.flatMap((s) => s.contour.segments),
    ],
    roles,
    ids,
    open: drawing.open
      .filter(({ layer }) => !isIgnored(layer, job) && !isSlit(layer))
      .map((chain) => chain.contour),
    findings: [...sheets, ...findings.filter((f) => !isScrap(f, told))],
  };
}

/** What lies open or crosses on layers that are told of as a whole. */
function isScrap(
  { code, layers = [] }: Finding,
  told: ReadonlySet<string>,
): boolean {
  return (
    SCRAP_CODES.has(code) &&
    layers.length > 0 &&
    layers.every((layer) => told.has(layer))
  );
}

const SCRAP_CODES: ReadonlySet<string> = new Set([
  "outline/not-closed",
  "outline/crosses-itself",
  "outline/crosses-another",
  "outline/touches-another",
]);

function someplace(o: Outline): readonly [number, number] {
  return pair((o.contour.segments[0] as Segment).start);
}

function isIgnored(layer: string, job: Job): boolean {
  const role = roleOfLayer(layer, job);
  return role === "ignore" || role === "hole" || role === "mark";
}

function roleOfLayer(layer: string, job: Job): OutlineRole | undefined {
  const marked = markRole(layer, job);
  if (marked) return marked;
  const named = Object.keys(job.roles.layers).find((l) => sameLayer(layer, l));
  return named === undefined ? undefined : job.roles.layers[named];
}

/** `given` by hand or by layer; the others by nesting. */
function rolesOf(
  outlines: readonly Outline[],
  given: readonly (OutlineRole | undefined)[],
  job: Job,
): OutlineRole[] {
  const roles = [...given];
  const settled = (i: number): OutlineRole => {
    const known = roles[i];
    if (known) return known;
    const role = inside(enclosing(i));
    roles[i] = role;
    return role;
  };
  /** The nearest outline around `i` that counts for nesting. */
  const enclosing = (i: number): number | null => {
    let at = (outlines[i] as Outline).parent;
    while (
      at !== null &&
      ["hole", "mark", "ignore", "slit"].includes(settled(at))
    )
      at = (outlines[at] as Outline).parent;
    return at;
  };
  const inside = (around: number | null): Role => {
    if (around === null) return job.roles.outer;
    return settled(around) === "opening" ? "part" : "opening";
  };
  return outlines.map((_, i) => settled(i));
}

function idsOf(roles: readonly OutlineRole[]): (string | null)[] {
  const counts = new Map<string, number>();
  return roles.map((role) => {
    if (role === "hole" || role === "mark") return null;
    const n = (counts.get(role) ?? 0) + 1;
    counts.set(role, n);
    return `${role}-${n}`;
  });
}

/** What the job decides for a feature that is not there was meant for another one. */
function unknownFeatures(ids: readonly (string | null)[], job: Job): Finding[] {
  const known = ids.filter((id) => id !== null);
  return Object.keys(job.features)
    .filter((id) => !known.includes(id))
    .map((id) => ({
      code: "feature/unknown",
      severity: "error",
      message: `the job decides about ${quoted(id)} under features, but the drawing has ${known.slice(0, 12).join(", ") || "no outline"}${known.length > 12 ? ` and ${known.length - 12} more` : ""}`,
    }));
}

function featuresOf(
  outlines: readonly Outline[],
  roles: readonly OutlineRole[],
  ids: readonly (string | null)[],
): Feature[] {
  const isCut = (i: number): boolean =>
    roles[i] === "opening" || roles[i] === "part";
  return outlines.flatMap((o, i) => {
    const id = ids[i];
    if (!id || !isCut(i)) return [];
    const around: string[] = [];
    for (
      let at = o.parent;
      at !== null;
      at = (outlines[at] as Outline).parent
    ) {
      const enclosing = ids[at];
      if (enclosing && isCut(at)) around.push(enclosing);
    }
    return [
      {
        id,
        role: roles[i] as CutRole,
        layer: o.layer,
        contour: o.contour,
        depth: around.length,
        parent: around[0] ?? null,
      },
    ];
  });
}

/** A part in a part or an opening in an opening is cut out of what is already waste or already free. */
function nestingFindings(features: readonly Feature[]): Finding[] {
  const byId = new Map(features.map((f) => [f.id, f]));
  return features.flatMap((feature) => {
    const around = byId.get(feature.parent ?? "");
    if (around?.role !== feature.role) return [];
    const where = pair((feature.contour.segments[0] as Segment).start);
    return [
      {
        code: "role/same-inside-same",
        severity: "warning" as const,
        message: `${feature.id} at ${placeText(where)} lies inside ${around.id}, also ${feature.role === "part" ? "a part" : "an opening"}; check the roles of their layers`,
        where,
        feature: feature.id,
      },
    ];
  });
}
