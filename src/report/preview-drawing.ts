/** The layers of the preview that are to scale: metal, kerf, wire paths, leads, tabs, start holes, marks. */
import {
  type Box,
  pointAt,
  type Segment,
  segmentLength,
  tangentAt,
} from "../geometry/segment.js";
import { along, left, type Vec } from "../geometry/vec.js";
import {
  type Cut,
  type Plan,
  type Stroke,
  threadPlaces,
} from "../plan/plan.js";
import type { ProgramText } from "../program/moves.js";
import { type Frame, figure, pathData, polyline } from "./preview-frame.js";
import {
  findingMark,
  holeMark,
  keepsBlock,
  markRoom,
} from "./preview-legend.js";
import { passLook, TEXT } from "./preview-style.js";
import { escapeMarkup, massText, rangesText } from "./text.js";

/** Kept metal tinted, what comes loose white; deeper outlines painted over the ones around them. */
export function metal(plan: Plan, frame: Frame): string {
  const blockIsKept = keepsBlock(plan);
  const parts: string[] = [];
  if (plan.stock)
    parts.push(
      `<path class="${blockIsKept ? "kw-kept" : "kw-waste"}" d="${pathData(frame, plan.stock.segments, true)}"/>`,
      `<path class="kw-edge" d="${pathData(frame, plan.stock.segments, true)}"/>`,
    );
  else if (blockIsKept) {
    const { left, right, top, bottom } = frame;
    const place = `x="${figure(left)}" y="${figure(top)}" width="${figure(right - left)}" height="${figure(bottom - top)}"`;
    parts.push(
      `<rect class="kw-kept" ${place}/>`,
      `<rect class="kw-unknown-edge" ${place}/>`,
    );
  }
  const byDepth = [...plan.features].sort((a, b) => a.depth - b.depth);
  for (const f of byDepth) {
    const d = pathData(frame, f.contour.segments, true);
    const fill = f.role === "part" ? "kw-kept" : "kw-waste";
    parts.push(
      `<g><title>${escapeMarkup(`${f.id} on layer ${f.layer}, ${massText(f.slug.mass)}`)}</title><path class="${fill}" d="${d}"/><path class="kw-outline" d="${d}"/></g>`,
    );
  }
  for (const c of plan.unplanned)
    parts.push(
      `<path class="kw-unplanned" d="${pathData(frame, c.segments, c.closed)}"/>`,
    );
  return parts.join("\n");
}

/** What the rough takes away: one path, so that crossings do not grow darker. */
export function kerf(plan: Plan, frame: Frame): string {
  const rough = plan.job.passes[0];
  if (!rough) return "";
  const width = plan.job.wire.diameter + 2 * rough.gap;
  const d = cutsOf(plan)
    .flatMap((cut) => [
      ...(cut.strokes[0]?.pass === 1
        ? [
            polyline(frame, [
              ...leadPoints(cut),
              ...startOf(cut.strokes[0].path),
            ]),
          ]
        : []),
      ...cut.strokes
        .filter((s) => s.pass === 1)
        .map((s) => pathData(frame, s.path)),
    ])
    .join("");
  return d
    ? `<path class="kw-kerf" stroke-width="${figure(width)}" d="${d}"/>`
    : "";
}

function startOf(path: readonly Segment[]): readonly Vec[] {
  return path[0] ? [path[0].start] : [];
}

/** The wire's centre, pass by pass, with its way on and off, and an arrow in each rough. */
export function paths(plan: Plan, frame: Frame, weight: number): string {
  const strokes = strokesOf(plan);
  return plan.job.passes
    .map((pass) => {
      const own = strokes.filter((s) => s.pass === pass.number);
      if (own.length === 0) return "";
      const d = own
        .map((s) => {
          const last = s.path.at(-1);
          return (
            polyline(frame, [s.from, ...startOf(s.path)]) +
            pathData(frame, s.path) +
            (last ? polyline(frame, [last.end, s.to]) : "")
          );
        })
        .join("");
      const arrows =
        pass.number === 1
          ? `<path fill="${passLook(1).color}" d="${own
              .filter((s) => s.stretch === "open" || s.stretch === "slit")
              .map((s) => arrow(frame, s.path, weight))
              .join("")}"/>`
          : "";
      return `<path class="kw-pass-${pass.number}" d="${d}"/>${arrows}`;
    })
    .join("\n");
}

/** Arrow head at the middle of the longest segment. */
function arrow(frame: Frame, path: readonly Segment[], weight: number): string {
  const first = path[0];
  if (!first) return "";
  const longest = path.reduce((a, b) =>
    segmentLength(b) > segmentLength(a) ? b : a,
  );
  const tip = pointAt(longest, 0.5);
  const way = tangentAt(longest, 0.5);
  const size = Math.min(frame.paper(2.6 * weight), segmentLength(longest) / 2);
  const back = along(tip, way, -size);
  const wing = (k: number): Vec => along(back, left(way), k * size * 0.38);
  return `${polyline(frame, [tip, wing(1), wing(-1)])}Z`;
}

export function leads(plan: Plan, frame: Frame): string {
  const d = [
    ...new Set(cutsOf(plan).map((c) => polyline(frame, leadPoints(c)))),
  ];
  return d.length ? `<path class="kw-lead" d="${d.join("")}"/>` : "";
}

/** Travel with the wire out: the program's rapids where there is one, else from cut to cut. */
export function travel(
  plan: Plan,
  frame: Frame,
  program?: ProgramText,
): string {
  const hops: (readonly Vec[])[] = program
    ? program.actions.flatMap((a) =>
        a.kind === "rapid" ? [[a.from, a.to]] : [],
      )
    : cutsOf(plan).flatMap((cut, i, all) => {
        const before = all[i - 1]?.strokes.at(-1);
        return before ? [[before.to, cut.thread]] : [];
      });
  const lines = [...new Set(hops.map((hop) => polyline(frame, hop)))];
  return lines.length ? `<path class="kw-travel" d="${lines.join("")}"/>` : "";
}

/** The metal left standing: the stretch of kerf that the first tab stroke from each start hole will open. */
export function tabs(plan: Plan, frame: Frame, weight: number): string {
  const rough = plan.job.passes[0];
  const seen = new Set<string>();
  const stretches = cutsOf(plan).flatMap((cut) => {
    const stroke = cut.strokes.find((s) => s.stretch === "tab");
    const key = `${cut.feature} ${cut.thread.x} ${cut.thread.y}`;
    if (!rough || !stroke || seen.has(key)) return [];
    seen.add(key);
    return [pathData(frame, stroke.path)];
  });
  if (!rough || stretches.length === 0) return "";
  const width = Math.max(
    plan.job.wire.diameter + 2 * rough.gap,
    frame.paper(1.1 * weight),
  );
  return `<path class="kw-tab" stroke-width="${figure(width)}" d="${stretches.join("")}"/>`;
}

export function holes(plan: Plan, frame: Frame): string {
  return threadPlaces(plan)
    .filter(({ hole }) => hole.diameter > 0)
    .map(({ hole: h }) =>
      holeMark(frame.x(h.at.x), frame.y(h.at.y), h.diameter / 2, h.drawn),
    )
    .join("\n");
}

/** Numbered marks at the places of findings; the numbers are those of the list. */
export function marks(plan: Plan, frame: Frame): string {
  return marksOf(plan, frame)
    .map(({ x, y, text, size }) => findingMark(frame, x, y, text, size))
    .join("\n");
}

/** Rooms that the marks take, mm of the drawing. */
export function markRooms(plan: Plan, frame: Frame): readonly Box[] {
  return marksOf(plan, frame).map(({ place, text, size }) =>
    markRoom(frame, place, text, size),
  );
}

interface Mark {
  readonly place: readonly [x: number, y: number];
  /** On the sheet. */
  readonly x: number;
  readonly y: number;
  readonly text: string;
  readonly size: number;
}

interface Shared {
  readonly place: readonly [number, number];
  readonly numbers: number[];
}

/** Findings so near to one another that their marks would cover each other share the first one's mark. */
function marksOf(plan: Plan, frame: Frame): readonly Mark[] {
  const placed = plan.findings.flatMap(({ where }, i) =>
    where ? [{ place: where, number: i + 1 }] : [],
  );
  const size =
    placed.length > 60 ? TEXT.least : placed.length > 20 ? 1.6 : TEXT.small;
  const apart = frame.paper(1.5 * size);
  const shared: Shared[] = [];
  // By squares as wide as marks stand apart: what is near enough stands in a square next to it at most.
  const squares = new Map<string, Shared[]>();
  for (const { place, number } of placed) {
    const [i, k] = place.map((v) => Math.floor(v / apart)) as [number, number];
    const near = [-1, 0, 1]
      .flatMap((x) => [-1, 0, 1].map((y) => `${i + x} ${k + y}`))
      .flatMap((square) => squares.get(square) ?? [])
      .filter(
        (m) => Math.hypot(m.place[0] - place[0], m.place[1] - place[1]) < apart,
      )
      .reduce<Shared | null>(
        (a, b) =>
          a && (a.numbers[0] as number) < (b.numbers[0] as number) ? a : b,
        null,
      );
    if (near) near.numbers.push(number);
    else {
      const mark = { place, numbers: [number] };
      shared.push(mark);
      const own = `${i} ${k}`;
      squares.set(own, [...(squares.get(own) ?? []), mark]);
    }
  }
  return shared.map(({ place, numbers }) => ({
    place,
    x: frame.x(place[0]),
    y: frame.y(place[1]),
    text: sharedText(numbers),
    size,
  }));
}

function sharedText(numbers: readonly number[]): string {
  const text = rangesText(numbers);
  return text.length > 6 ? `${numbers[0]}…` : text;
}

function cutsOf(plan: Plan): readonly Cut[] {
  return plan.steps.filter((s) => s.kind === "cut");
}

export function strokesOf(plan: Plan): readonly Stroke[] {
  return cutsOf(plan).flatMap((c) => c.strokes);
}

/** From the start hole to the first stroke's stand-off point. */
function leadPoints(cut: Cut): readonly Vec[] {
  const first = cut.strokes[0];
  return first ? [cut.thread, ...cut.lead, first.from] : [cut.thread];
}
