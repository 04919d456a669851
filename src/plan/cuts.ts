/**
 * The cuts of one feature. With the tab standing: the rough from the lead point round to the tab, then the skims
 * back and forth over the same stretch without rethreading. Later, with somebody there: the slug secured, the tab
 * cut, the slug taken out, the tab's stretch skimmed with overlap. A part comes loose itself and cannot be skimmed
 * once it is free, so its tab is cut once, last, at the finish offset.
 *
 *                     start hole  o
 *                                 |  lead
 *      ┌──── tab ────┐            |
 *   ───T             P────────────┘   track, wire's side up; the rough leaves P to the right and comes back to T
 *      lap →│           │← lap        the skims of the tab run from lap to lap
 */
import type { Finding } from "../base/finding.js";
import { placeText } from "../base/numbers.js";
import { pair, type Vec } from "../geometry/vec.js";
import type { Job } from "./job.js";
import type { Cut, Step, Stop, Stroke } from "./plan.js";
import { programmedOutline } from "./programmed-outline.js";
import { standOffDistance } from "./stand-off.js";
import {
  offSpot,
  piecesBetween,
  reversePath,
  type Spot,
  type Track,
} from "./track.js";

/** The places on the outline between which the strokes of a feature run. */
export interface Marks {
  readonly hole: Vec;
  /** P: where the lead-in meets the outline. */
  readonly lead: Spot;
  /** T: where the rough ends and the tab begins. */
  readonly tabEnd: Spot;
  /** From P back to T along the rough's path, mm: the tab and one kerf. */
  readonly tabSpan: number;
  /** Overlap ahead of P and behind T. */
  readonly lapAhead: Spot;
  readonly lapBehind: Spot;
}

export interface FeatureCuts {
  readonly unattended: Cut;
  readonly attended: readonly Step[];
  readonly findings: readonly Finding[];
}

export function cutsOf(track: Track, marks: Marks, job: Job): FeatureCuts {
  const findings: Finding[] = [];
  const { feature, passes } = track;
  const stroke = (
    k: number,
    stretch: Stroke["stretch"],
    start: Spot,
    end: Spot,
    forward: boolean,
  ): Stroke => {
    const made = makeStroke(track, k, stretch, start, end, forward, job);
    if (!made.ok)
      findings.push(noCornerFinding(feature.id, made.stroke.pass, made.at));
    return made.stroke;
  };
  const { lead, tabEnd, lapAhead, lapBehind } = marks;
  const atLead = offSpot(track, lead, standOffDistance(job));
  const cut = (strokes: Stroke[], attended: boolean): Cut => ({
    kind: "cut",
    feature: feature.id,
    attended,
    thread: marks.hole,
    lead:
      strokes[0]?.from === undefined || samePlace(strokes[0].from, atLead)
        ? []
        : [atLead],
    strokes,
  });

  const open = passes.map((_, k) =>
    stroke(k, "open", lead, tabEnd, k % 2 === 0),
  );
  const unattended = cut(open, false);
  if (feature.role === "part") {
    const tab = cut(
      [
        stroke(
          passes.length - 1,
          "tab",
          tabEnd,
          passes.length > 1 ? lapAhead : lead,
          false,
        ),
      ],
      true,
    );
    return {
      unattended,
      attended: [
        stop(feature.id, "secure", "secure the part, it comes loose next"),
        tab,
        stop(feature.id, "remove", "take the part out"),
      ],
      findings,
    };
  }
  const tab = cut([stroke(0, "tab", tabEnd, lead, false)], true);
  const skims = passes
    .slice(1)
    .map((_, i) => stroke(i + 1, "tab", lapBehind, lapAhead, i % 2 === 1));
  return {
    unattended,
    attended: [
      stop(feature.id, "secure", "secure the slug, it comes loose next"),
      tab,
      stop(feature.id, "remove", "take the slug out"),
      ...(skims.length > 0 ? [cut(skims, true)] : []),
    ],
    findings,
  };
}

function samePlace(a: Vec, b: Vec): boolean {
  return a.x === b.x && a.y === b.y;
}

function stop(feature: string, action: Stop["action"], what: string): Stop {
  return { kind: "stop", feature, action, reason: `${feature}: ${what}` };
}

/** `start` to `end` in the track's direction; with `forward` false it is travelled from end to start. */
function makeStroke(
  track: Track,
  k: number,
  stretch: Stroke["stretch"],
  start: Spot,
  end: Spot,
  forward: boolean,
  job: Job,
): { ok: true; stroke: Stroke } | { ok: false; at: Vec; stroke: Stroke } {
  const { pass, loop } = track.passes[k] as Track["passes"][number];
  const pieces = piecesBetween(loop, start, end);
  const path = pieces.map((p) => p.segment);
  const programmed =
    job.program.compensation === "control"
      ? programmedOutline(track.contour, pieces)
      : ({ ok: true, outline: [] } as const);
  const outline = programmed.ok ? programmed.outline : [];
  const standOff = standOffDistance(job);
  const atStart = offSpot(track, start, standOff);
  const atEnd = offSpot(track, end, standOff);
  const clockwise = (track.feature.role === "part") === forward;
  const stroke: Stroke = {
    pass: pass.number,
    stretch,
    direction: clockwise ? "cw" : "ccw",
    side: forward ? "left" : "right",
    from: forward ? atStart : atEnd,
    path: forward ? path : reversePath(path),
    outline: forward ? outline : reversePath(outline),
    to: forward ? atEnd : atStart,
  };
  return programmed.ok
    ? { ok: true, stroke }
    : { ok: false, at: programmed.at, stroke };
}

function noCornerFinding(feature: string, pass: number, at: Vec): Finding {
  return {
    code: "control/no-corner",
    severity: "error",
    message: `${feature}, pass ${pass}: at ${placeText(pair(at))} the outline is tighter than the wire and its neighbours have no meeting point that a control could find by itself; use program.compensation "path"`,
    where: pair(at),
    feature,
  };
}
