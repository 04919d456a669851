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
 *
 * A threaded wire cannot jump a tab: with several of them each has its own start hole and lead, and each rough runs
 * from its lead point to the next tab.
 */
import type { Finding } from "../../base/finding.js";
import type { OffsetSegment } from "../../geometry/offset.js";
import type { Vec } from "../../geometry/vec.js";
import { standOffDistance } from "../entry/stand-off.js";
import type { Job } from "../job/job.js";
import type { Cut, Step, Stop, Stroke } from "../plan.js";
import {
  offSpot,
  type PassLoop,
  piecesBetween,
  reversePath,
  type Spot,
  type Track,
} from "../track/track.js";
import { noCorner, tooCoarse } from "./control-findings.js";
import { leadArc } from "./lead-arc.js";
import { programmedOutline } from "./programmed-outline.js";

/** The places on the outline between which the strokes of a feature run. */
export interface Marks {
  readonly hole: Vec;
  /** P: where the lead-in meets the outline. */
  readonly lead: Spot;
  /** T: where the rough ends and the tab begins. */
  readonly tabEnd: Spot;
  /** From P back to T along the rough's path, mm: the tab and one kerf. */
  readonly tabSpan: number;
  /** Of each pass, where its strokes begin and end; the rough's are P and T. */
  readonly ends: readonly PassEnds[];
  /** Which of the pieces that come loose the tab holds: 0 unless a neck parts the slug. */
  readonly piece: number;
}

/** Where the strokes of one pass begin and end about a tab. */
export interface PassEnds {
  /** P and T, moved on from the tab where `lead.spread` asks for it. */
  readonly start: Spot;
  readonly end: Spot;
  /** Overlap ahead of the one and behind the other. */
  readonly lapAhead: Spot;
  readonly lapBehind: Spot;
  /** mm, the shorter of the two; 0: the passes meet end to end. */
  readonly overlap: number;
  /** mm moved on from P and T, the shorter of the two. */
  readonly spread: number;
  /** Where no tab stands any more, the wire comes and goes there on an arc. */
  readonly arcs: Arcs;
}

/** Arcs at a stroke's ends, in the track's direction. */
export interface Arcs {
  readonly in: boolean;
  readonly out: boolean;
}

export const NO_ARCS: Arcs = { in: false, out: false };

export interface FeatureCuts {
  readonly unattended: readonly Cut[];
  readonly attended: readonly Step[];
  readonly findings: readonly Finding[];
}

/** `tabs` in the order in which the track meets them. */
export function cutsOf(
  track: Track,
  tabs: readonly Marks[],
  job: Job,
): FeatureCuts {
  const findings: Finding[] = [];
  const { feature, passes } = track;
  const isPart = feature.role === "part";
  const stroke = (
    k: number,
    stretch: Stroke["stretch"],
    start: Spot,
    end: Spot,
    forward: boolean,
    arcs: Arcs = NO_ARCS,
  ): Stroke => {
    const made = makeStroke(
      track,
      { k, stretch, start, end, forward, arcs },
      job,
    );
    findings.push(...made.findings);
    return made.stroke;
  };
  const cut = (at: Marks, strokes: Stroke[], attended: boolean): Cut => {
    const atLead = offSpot(track, at.lead, standOffDistance(job));
    const [first] = strokes;
    return {
      kind: "cut",
      feature: feature.id,
      attended,
      thread: at.hole,
      lead: !first || samePlace(first.from, atLead) ? [] : [atLead],
      strokes,
    };
  };
  const open = tabs.map((at, i) => {
    const next = tabs[(i + 1) % tabs.length] as Marks;
    return cut(
      at,
      passes.map((_, k) =>
        stroke(
          k,
          "open",
          endsOf(at, k).start,
          endsOf(next, k).end,
          k % 2 === 0,
        ),
      ),
      false,
    );
  });
  /** A part is free after this: its tab is cut at the finish offset at once. */
  const tabCut = (at: Marks): Cut =>
    cut(
      at,
      [
        isPart
          ? stroke(
              passes.length - 1,
              "tab",
              at.tabEnd,
              passes.length > 1
                ? endsOf(at, passes.length - 1).lapAhead
                : at.lead,
              false,
            )
          : stroke(0, "tab", at.tabEnd, at.lead, false),
      ],
      true,
    );
  const skims = (at: Marks): Cut =>
    cut(
      at,
      passes.slice(1).map((_, i) => {
        const { lapBehind, lapAhead, arcs } = endsOf(at, i + 1);
        return stroke(i + 1, "tab", lapBehind, lapAhead, i % 2 === 1, arcs);
      }),
      true,
    );
  const pieces = [...new Set(tabs.map((t) => t.piece))].sort((a, b) => a - b);
  return {
    unattended: open,
    attended: [
      ...pieces.flatMap((piece, i) => {
        const held = tabs.filter((t) => t.piece === piece);
        const name = isPart
          ? "the part"
          : pieces.length === 1
            ? "the slug"
            : `slug ${i + 1} of ${pieces.length}`;
        const next =
          held.length === 1
            ? "it comes loose next"
            : `its ${held.length} tabs are cut next, the last one frees it`;
        return [
          stop(feature.id, "secure", `secure ${name}, ${next}`),
          ...held.map(tabCut),
          stop(feature.id, "remove", `take ${name} out`),
        ];
      }),
      ...(isPart || passes.length < 2 ? [] : tabs.map(skims)),
    ],
    findings,
  };
}

function endsOf({ ends }: Marks, k: number): PassEnds {
  return ends[k] as PassEnds;
}

function samePlace(a: Vec, b: Vec): boolean {
  return a.x === b.x && a.y === b.y;
}

function stop(feature: string, action: Stop["action"], what: string): Stop {
  return { kind: "stop", feature, action, reason: `${feature}: ${what}` };
}

/** One trip of one pass along one stretch, on its way to a stroke. */
interface Trip {
  /** Index of the pass. */
  readonly k: number;
  readonly stretch: Stroke["stretch"];
  /** In the track's direction. */
  readonly start: Spot;
  readonly end: Spot;
  /** Travelled from start to end; false: from end to start. */
  readonly forward: boolean;
  readonly arcs: Arcs;
}

/** Once round from `start` and on to `end`; with `forward` false the other way, from `end` round to `start`. */
export function roundStroke(
  track: Track,
  round: Omit<Trip, "stretch">,
  job: Job,
): MadeStroke {
  const { passes } = track;
  const { k, start, end } = round;
  const { loop } = passes[k] as PassLoop;
  const pieces = [
    ...piecesBetween(loop, start, start),
    ...(end === start ? [] : piecesBetween(loop, start, end)),
  ];
  return strokeAlong(track, { ...round, stretch: "open" }, pieces, job);
}

function makeStroke(track: Track, trip: Trip, job: Job): MadeStroke {
  const { loop } = track.passes[trip.k] as PassLoop;
  return strokeAlong(
    track,
    trip,
    piecesBetween(loop, trip.start, trip.end),
    job,
  );
}

interface MadeStroke {
  readonly stroke: Stroke;
  /** Why a control could not offset it by itself. */
  readonly findings: readonly Finding[];
}

function strokeAlong(
  track: Track,
  { k, stretch, start, end, forward, arcs }: Trip,
  pieces: readonly OffsetSegment[],
  job: Job,
): MadeStroke {
  const { pass } = track.passes[k] as PassLoop;
  const along = pieces.map((p) => p.segment);
  const programmed =
    job.program.compensation === "control"
      ? programmedOutline(
          track.contour,
          pieces,
          pass.offset,
          job.program.resolution,
        )
      : ({ ok: true, outline: [] } as const);
  const standOff = standOffDistance(job);
  const first = arcs.in && leadArc(track, start, "in", pass.offset, job);
  const last = arcs.out && leadArc(track, end, "out", pass.offset, job);
  const atStart = first ? first.off : offSpot(track, start, standOff);
  const atEnd = last ? last.off : offSpot(track, end, standOff);
  const path = [
    ...(first ? [first.path] : []),
    ...along,
    ...(last ? [last.path] : []),
  ];
  const outline =
    programmed.ok && programmed.outline.length > 0
      ? [
          ...(first ? [first.outline] : []),
          ...programmed.outline,
          ...(last ? [last.outline] : []),
        ]
      : [];
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
  const { id } = track.feature;
  const coarse = tooCoarse(id, stroke, pass.offset, job);
  return {
    stroke,
    findings: programmed.ok
      ? coarse
        ? [coarse]
        : []
      : [noCorner(id, pass.number, programmed.at)],
  };
}
