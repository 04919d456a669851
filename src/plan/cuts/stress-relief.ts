/**
 * The strokes of a feature in another order, for blocks that move when stress is let out of them (common practice for
 * die plates): all roughs, the slugs taken out, a rest, and only then the skims to size, all in one clamping. With its
 * slug gone an opening has no tab to mind: its skims go all round with nobody there. A part keeps its tab to the end.
 */
import { SAME_POINT } from "../../base/tolerance.js";
import { distance, type Vec } from "../../geometry/vec.js";
import type { Cut, Step, Stop, Stroke } from "../plan.js";
import { reversePath } from "../track/track.js";
import type { FeatureCuts } from "./cuts.js";

export interface RelievedCuts {
  /** Nobody there; the tab stands. */
  readonly rough: readonly Cut[];
  /** Somebody there, before the rest: the slug of an opening comes out. */
  readonly release: readonly Step[];
  /** Nobody there. */
  readonly skims: readonly Cut[];
  /** Somebody there: a part comes free. */
  readonly last: readonly Step[];
}

/** Of a feature with at least two passes; `goes` tells whether the threaded wire has a straight way from place to place. */
export function relievedCuts(
  { unattended, attended }: FeatureCuts,
  role: "opening" | "part",
  goes: (from: Vec, to: Vec) => boolean,
): RelievedCuts {
  const out = attended.findLastIndex((s) => s.kind === "stop") + 1;
  const tabs = attended
    .slice(out)
    .flatMap((s) => (s.kind === "cut" ? [s] : []));
  // The rough ends at a tab; in a thread of their own the skims begin where it began, at the lead point.
  const skims = unattended.map((cut) => {
    const strokes = cut.strokes.slice(1).map(reverseStroke);
    const atLead = cut.strokes[0]?.from;
    const [first] = strokes;
    const spread = atLead && first && distance(atLead, first.from) > SAME_POINT;
    return {
      ...cut,
      lead: spread ? [...cut.lead, atLead] : cut.lead,
      strokes,
    };
  });
  const [only] = skims;
  const round = skims.length === 1 && only ? joined(only, tabs) : null;
  const isClear = round?.strokes.every((stroke, i) => {
    const before = round.strokes[i - 1];
    return !before || goes(before.to, stroke.from);
  });
  return {
    rough: unattended.map((cut) => ({
      ...cut,
      strokes: cut.strokes.slice(0, 1),
    })),
    release: role === "opening" ? attended.slice(0, out) : [],
    skims:
      round && isClear
        ? [round]
        : [...skims, ...tabs.map((cut) => ({ ...cut, attended: false }))],
    last: role === "opening" ? [] : attended,
  };
}

/** With one tab its skims go on from the open stretch's, in the same thread. */
function joined(open: Cut, tabs: readonly Cut[]): Cut {
  const tab = tabs.flatMap((cut) => cut.strokes);
  return {
    ...open,
    strokes: [...open.strokes, ...onwards(open.strokes, tab)],
  };
}

/** The stop between roughs and skims. It concerns the block, so it names no feature. */
export const REST: Stop = {
  kind: "stop",
  feature: null,
  action: "rest",
  reason: "rest: unclamp, clamp without strain, check zero",
};

/** The strokes of the tab, to and fro from the end where the wire stands. */
function onwards(
  before: readonly Stroke[],
  tab: readonly Stroke[],
): readonly Stroke[] {
  const at = before.at(-1)?.to;
  const [first] = tab;
  if (!at || !first) return tab;
  return distance(at, first.to) < distance(at, first.from)
    ? tab.map(reverseStroke)
    : tab;
}

function reverseStroke(s: Stroke): Stroke {
  return {
    ...s,
    direction: s.direction === "ccw" ? "cw" : "ccw",
    side: s.side === "left" ? "right" : "left",
    from: s.to,
    path: reversePath(s.path),
    outline: reversePath(s.outline),
    to: s.from,
  };
}
