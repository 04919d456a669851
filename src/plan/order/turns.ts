/** Whose turn it is: openings before outer profiles, what lies inside before what it lies in, a user's own list before both. */
import type { Finding } from "../../base/finding.js";
import { quoted } from "../../base/message.js";
import { nearest } from "../../base/shape-faults.js";
import type { Segment } from "../../geometry/segment.js";
import { pair } from "../../geometry/vec.js";
import type { Feature } from "../feature.js";

export interface Turns {
  /** Turn of each feature by id; features with the same turn may follow each other in any order. */
  readonly of: ReadonlyMap<string, number>;
  /** All turns lie below. */
  readonly end: number;
  readonly findings: readonly Finding[];
}

/**
 * Features that `listed` names come first, in its order, the others after them by stage. A list that cannot be followed
 * is left aside, with an error finding for each reason.
 */
export function turnsOf(
  features: readonly Feature[],
  listed: readonly string[],
): Turns {
  const findings = listFaults(features, listed);
  const first = findings.length > 0 ? [] : listed;
  const of = new Map(first.map((id, i) => [id, i]));
  for (const [id, stage] of stages(features))
    if (!of.has(id)) of.set(id, first.length + stage);
  return {
    of,
    end: [...of.values()].reduce((a, b) => Math.max(a, b + 1), 0),
    findings,
  };
}

/**
 * Even stages for openings, odd ones for parts, each above those of all that lies inside: a piece is cut out of before
 * it comes free, and the plate is whole for as long as there are openings to cut.
 */
function stages(features: readonly Feature[]): Map<string, number> {
  const stage = new Map<string, number>();
  const deepestFirst = [...features].sort((a, b) => b.depth - a.depth);
  for (const f of deepestFirst) {
    const parity = f.role === "opening" ? 0 : 1;
    const least = stage.get(f.id) ?? 0;
    const own = least + ((least + parity) % 2);
    stage.set(f.id, own);
    if (f.parent !== null)
      stage.set(f.parent, Math.max(stage.get(f.parent) ?? 0, own + 1));
  }
  return stage;
}

/** How many ids a message names before it only counts. */
const NAMED = 8;

function listFaults(
  features: readonly Feature[],
  listed: readonly string[],
): Finding[] {
  const byId = new Map(features.map((f) => [f.id, f]));
  const position = new Map(listed.map((id, i) => [id, i]));
  const ids = features.map((f) => f.id);
  const more =
    features.length > NAMED ? ` and ${features.length - NAMED} more` : "";
  const near = (id: string): string => {
    const meant = nearest(id, ids);
    return meant === null ? "" : `did you mean "${meant}"? `;
  };
  const unknown = listed
    .filter((id) => !byId.has(id))
    .map(
      (id): Finding => ({
        code: "order/unknown-feature",
        severity: "error",
        message: `order names ${quoted(id)}, but there is no such feature; ${near(id)}there are ${ids.slice(0, NAMED).join(", ")}${more}`,
      }),
    );
  const around = (f: Feature): Feature | undefined =>
    f.parent === null ? undefined : byId.get(f.parent);
  const freed = features.flatMap((inner) => {
    const turn = position.get(inner.id);
    for (let outer = around(inner); outer; outer = around(outer)) {
      const outerTurn = position.get(outer.id);
      if (outerTurn !== undefined && !(turn !== undefined && turn < outerTurn))
        return [insideFirst(inner, outer, turn !== undefined)];
    }
    return [];
  });
  return [...unknown, ...freed];
}

function insideFirst(inner: Feature, outer: Feature, named: boolean): Finding {
  const piece = outer.role === "part" ? "part" : "slug";
  return {
    code: "order/inside-first",
    severity: "error",
    message: `order cuts ${outer.id} before ${inner.id}, which lies inside it: ${inner.id} would be cut in a ${piece} that has moved or come free; ${named ? "put" : "name"} ${inner.id} before ${outer.id}`,
    where: pair((inner.contour.segments[0] as Segment).start),
    feature: inner.id,
  };
}
