/** Drawing and job → layout: which outline is cut in which role, the block's edge, the holes that are there. */
import type { Finding } from "../base/finding.js";
import { placeText } from "../base/numbers.js";
import { SAME_POINT } from "../base/tolerance.js";
import type { Drawing, Outline } from "../drawing/drawing.js";
import { areaMoments, type Contour } from "../geometry/contour.js";
import type { Segment } from "../geometry/segment.js";
import { distance, pair } from "../geometry/vec.js";
import type { CutRole, DrawnHole, Feature, Layout, Role } from "./feature.js";
import type { Job } from "./job.js";

export interface LaidOut extends Layout {
  /** Role of each outline of the drawing, by index; "hole" for the circles on the start-hole layer. */
  readonly roles: readonly (Role | "hole")[];
  /** Chains that do not close, on layers that are not ignored. */
  readonly open: readonly Contour[];
  /** The drawing's findings but those about ignored layers, and what the roles add. */
  readonly findings: readonly Finding[];
}

/**
 * A layer's role rules; an outline on any other layer gets its role from the nesting: the outermost is
 * `roles.outer`, and below it openings and parts take turns, since what lies in a part is cut out of it.
 */
export function layOut(drawing: Drawing, job: Job): LaidOut {
  const findings = drawing.findings.filter(
    (f) => !f.layers?.some((layer) => isIgnored(layer, job)),
  );
  const roles = rolesOf(drawing.outlines, job);
  const stocks = drawing.outlines.filter((_, i) => roles[i] === "stock");
  if (stocks.length > 1) {
    findings.push({
      code: "role/two-blocks",
      severity: "error",
      message: `${stocks.length} outlines have the role stock, at ${stocks.map((o) => placeText(someplace(o))).join(" and ")}; one block at a time: give the others another layer or role`,
      where: someplace(stocks[1] as Outline),
    });
  }
  const features = featuresOf(drawing.outlines, roles);
  if (features.length === 0 && drawing.outlines.length > 0) {
    findings.push({
      code: "role/nothing-to-cut",
      severity: "error",
      message: `the drawing has ${drawing.outlines.length} closed outlines but none is to be cut; set roles.outer or roles.layers in the job`,
    });
  }
  findings.push(...nestingFindings(features));
  return {
    features,
    stock: stocks[0]?.contour ?? null,
    holes: holesOf(drawing, roles, job),
    roles,
    open: drawing.open
      .filter((chain) => !isIgnored(chain.layer, job))
      .map((chain) => chain.contour),
    findings,
  };
}

function someplace(o: Outline): readonly [number, number] {
  return pair((o.contour.segments[0] as Segment).start);
}

function isIgnored(layer: string, job: Job): boolean {
  return job.roles.layers[layer] === "ignore" || isHoleLayer(layer, job);
}

function isHoleLayer(layer: string, job: Job): boolean {
  return job.startHoles.layer !== null && layer === job.startHoles.layer;
}

function rolesOf(outlines: readonly Outline[], job: Job): (Role | "hole")[] {
  const roles: (Role | "hole" | undefined)[] = outlines.map((o) =>
    isHoleLayer(o.layer, job) ? "hole" : job.roles.layers[o.layer],
  );
  const settled = (i: number): Role | "hole" => {
    const known = roles[i];
    if (known) return known;
    const role = inside(enclosing(i));
    roles[i] = role;
    return role;
  };
  /** The nearest outline around `i` that counts for nesting. */
  const enclosing = (i: number): number | null => {
    let at = (outlines[i] as Outline).parent;
    while (at !== null && ["hole", "ignore"].includes(settled(at)))
      at = (outlines[at] as Outline).parent;
    return at;
  };
  const inside = (around: number | null): Role => {
    if (around === null) return job.roles.outer;
    return settled(around) === "opening" ? "part" : "opening";
  };
  return outlines.map((_, i) => settled(i));
}

function featuresOf(
  outlines: readonly Outline[],
  roles: readonly (Role | "hole")[],
): Feature[] {
  const counts = { opening: 0, part: 0 };
  const ids = roles.map((role) =>
    role === "opening" || role === "part" ? `${role}-${++counts[role]}` : null,
  );
  return outlines.flatMap((o, i) => {
    const id = ids[i];
    if (!id) return [];
    const around: string[] = [];
    for (
      let at = o.parent;
      at !== null;
      at = (outlines[at] as Outline).parent
    ) {
      const enclosing = ids[at];
      if (enclosing) around.push(enclosing);
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
  return features.flatMap((feature) => {
    const around = features.find((f) => f.id === feature.parent);
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

function holesOf(
  drawing: Drawing,
  roles: readonly (Role | "hole")[],
  job: Job,
): DrawnHole[] {
  const points = drawing.points
    .filter((p) => isHoleLayer(p.layer, job))
    .map((p) => ({ at: p.at, diameter: null }));
  const circles = drawing.outlines
    .filter((_, i) => roles[i] === "hole")
    .map(
      (o) =>
        circleOf(o.contour) ?? {
          at: areaMoments(o.contour).centroid,
          diameter: null,
        },
    );
  return [...points, ...circles];
}

function circleOf(c: Contour): DrawnHole | null {
  const first = c.segments[0];
  if (first?.kind !== "arc") return null;
  const round = c.segments.every(
    (s) =>
      s.kind === "arc" &&
      distance(s.center, first.center) < SAME_POINT &&
      Math.abs(s.radius - first.radius) < SAME_POINT,
  );
  return round ? { at: first.center, diameter: 2 * first.radius } : null;
}
