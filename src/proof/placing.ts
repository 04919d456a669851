/**
 * Does a program fit the drawing when it is moved, mirrored or turned as a whole? What is straight or round in the
 * wire's way is laid on what should be there, each pair says by how far it would have to move, and the way that most
 * of them agree on is tried. Its corners and circles are enough: no tab, lead or split arc changes them.
 */
import { FOLLOWING, SAME_POINT, SHARP_TURN } from "../base/tolerance.js";
import { type Segment, tangentAt } from "../geometry/segment.js";
import { angleBetween, type Vec } from "../geometry/vec.js";
import type { FeaturePass } from "./coverage.js";
import { crossings } from "./measure.js";
import type { Thread } from "./wire.js";

/** x' = a·x + b·y + x0, y' = c·x + d·y + y0: what brings a program onto the drawing. */
export interface Placing {
  readonly a: number;
  readonly b: number;
  readonly c: number;
  readonly d: number;
  readonly by: Vec;
}

/** How a program may lie, the likely before the odd. */
const TURNS: readonly Omit<Placing, "by">[] = [
  { a: 1, b: 0, c: 0, d: 1 },
  { a: -1, b: 0, c: 0, d: 1 },
  { a: 1, b: 0, c: 0, d: -1 },
  { a: 0, b: -1, c: 1, d: 0 },
  { a: 0, b: 1, c: -1, d: 0 },
  { a: -1, b: 0, c: 0, d: -1 },
  { a: 0, b: 1, c: 1, d: 0 },
  { a: 0, b: -1, c: -1, d: 0 },
];

export const isShift = ({ a, d }: Placing): boolean => a === 1 && d === 1;

/** Something in a path that can be found in another: the middle of a circle, or a corner. */
interface Mark {
  readonly kind: "circle" | "corner";
  readonly at: Vec;
  /** mm, a circle's radius; rad, what a corner turns by, either way. */
  readonly size: number;
  /** rad, where a corner points to, whichever way round it is run; 0 for a circle. */
  readonly points: number;
}

/** Marks of the program that are laid on those of the drawing, and pairs of them. */
const MOST_LAID = 150;
const MOST_PAIRS = 300_000;
const FEWEST_LAID = 12;

/** Share of those that are like any of the drawing's that must agree: leads and tabs have corners, too. */
const ENOUGH = 0.25;
const FEWEST = 2;

/** With more of them than this where they belong, a program lies where it should, and something else is wrong. */
const RESTS = 0.75;

/** Of several ways that so nearly as many marks agree on, the likely one comes before the odd: rounding decides the rest. */
const AS_GOOD = 0.8;

/** mm and rad within which marks are alike: both are rounded. */
const ALIKE = FOLLOWING;

/** Moved by less than this (mm), a program lies where it lies. */
const AT_REST = 0.0003;

/** The ways to lay a program on the drawing that most of its marks agree on, the likely first; where it lies left out. */
export function placings(
  threads: readonly Thread[],
  covered: readonly FeaturePass[],
): Placing[] {
  const ideal = byKey(covered.flatMap(idealMarks));
  const all = evenly(
    threads.flatMap(({ moves }) => pathMarks(moves.map((m) => m.segment))),
    MOST_LAID,
  );
  const still = votesFor(all, ideal, { x: 0, y: 0 });
  const known = all.filter((m) => alikeTo(m, ideal).length > 0).length;
  if (still > RESTS * known) return [];
  const found = TURNS.flatMap((turn) => {
    const cut = all
      .map((m) => turnedMark(m, turn))
      .filter((m) => alikeTo(m, ideal).length > 0);
    const by = mostAgreed(fewPairs(cut, ideal), ideal);
    if (!by) return [];
    const votes = votesFor(cut, ideal, by);
    return votes > still && votes >= Math.max(FEWEST, ENOUGH * cut.length)
      ? [{ placing: { ...turn, by }, votes }]
      : [];
  });
  const most = Math.max(0, ...found.map((f) => f.votes));
  return found.filter((f) => f.votes >= AS_GOOD * most).map((f) => f.placing);
}

/** The threads of a program with every arc run the other way round. */
export function withArcsExchanged(threads: readonly Thread[]): Thread[] {
  const turned = (s: Segment): Segment =>
    s.kind === "arc"
      ? { ...s, sweep: s.sweep - Math.sign(s.sweep) * 2 * Math.PI }
      : s;
  return threads.map((t) => ({
    ...t,
    moves: t.moves.map((m) => ({ ...m, segment: turned(m.segment) })),
  }));
}

/** The threads of a program as they would run there. */
export function placedThreads(
  threads: readonly Thread[],
  placing: Placing,
): Thread[] {
  return threads.map((t) => ({
    ...t,
    at: placed(t.at, placing),
    moves: t.moves.map((m) => ({
      ...m,
      segment: placedSegment(m.segment, placing),
    })),
  }));
}

const placed = ({ x, y }: Vec, { a, b, c, d, by }: Placing): Vec => ({
  x: a * x + b * y + by.x,
  y: c * x + d * y + by.y,
});

function placedSegment(s: Segment, placing: Placing): Segment {
  const ends = { start: placed(s.start, placing), end: placed(s.end, placing) };
  if (s.kind === "line") return { ...s, ...ends };
  const { a, b, c, d } = placing;
  return {
    ...s,
    ...ends,
    center: placed(s.center, placing),
    sweep: a * d - b * c > 0 ? s.sweep : -s.sweep,
  };
}

function turnedMark(m: Mark, turn: Omit<Placing, "by">): Mark {
  const only = { ...turn, by: { x: 0, y: 0 } };
  const at = placed(m.at, only);
  if (m.kind === "circle") return { ...m, at };
  const to = placed({ x: Math.cos(m.points), y: Math.sin(m.points) }, only);
  return { ...m, at, points: Math.atan2(to.y, to.x) };
}

function pathMarks(path: readonly Segment[]): Mark[] {
  return path.flatMap((s, k) => {
    if (s.kind === "arc") return [circleMark(s.center, s.radius)];
    const next = path[k + 1];
    return next?.kind === "line" ? cornerMark(s, next, s.end) : [];
  });
}

/** Where a pass should run: the middles of its circles, and where its straight lines meet, round a corner or not. */
function idealMarks({ pieces }: FeaturePass): Mark[] {
  const edges = pieces.filter((p) => p.ideal.key % 2 === 0);
  return [
    ...pieces.flatMap(({ ideal: { path } }) =>
      path.kind === "arc" ? [circleMark(path.center, path.radius)] : [],
    ),
    ...edges.flatMap(({ ideal: { path } }, k) => {
      const next = edges[(k + 1) % edges.length]?.ideal.path;
      if (path.kind !== "line" || next?.kind !== "line") return [];
      return crossings(path, next).flatMap((at) => cornerMark(path, next, at));
    }),
  ];
}

const circleMark = (at: Vec, radius: number): Mark => ({
  kind: "circle",
  at,
  size: radius,
  points: 0,
});

/** A corner; none where two lines go nearly straight on or back. */
function cornerMark(s: Segment, next: Segment, at: Vec): Mark[] {
  const [u, v] = [tangentAt(s, 1), tangentAt(next, 0)];
  const turn = Math.abs(angleBetween(u, v));
  if (turn < SHARP_TURN || turn > Math.PI - SHARP_TURN) return [];
  const points = Math.atan2(u.y - v.y, u.x - v.x);
  return [{ kind: "corner", at, size: turn, points }];
}

type Marks = ReadonlyMap<string, readonly Mark[]>;

const step = (value: number): number => Math.round(value / ALIKE);

const keyOf = ({ kind, size }: Mark, beside: number): string =>
  `${kind} ${step(size) + beside}`;

function byKey(marks: readonly Mark[]): Marks {
  const all = new Map<string, Mark[]>();
  for (const m of marks) {
    const list = all.get(keyOf(m, 0));
    if (list) list.push(m);
    else all.set(keyOf(m, 0), [m]);
  }
  return all;
}

/** The marks of the drawing that one of the program may be. */
function alikeTo(m: Mark, ideal: Marks): Mark[] {
  return [-1, 0, 1]
    .flatMap((beside) => ideal.get(keyOf(m, beside)) ?? [])
    .filter((n) => {
      const off = Math.abs(n.points - m.points);
      return Math.min(off, 2 * Math.PI - off) <= ALIKE;
    });
}

/** Of all marks those that are like the fewest others: they say the most. */
function fewPairs(cut: readonly Mark[], ideal: Marks): Mark[] {
  const rare = cut
    .map((m) => ({ m, pairs: alikeTo(m, ideal).length }))
    .sort((p, q) => p.pairs - q.pairs);
  let sum = 0;
  return rare
    .filter(({ pairs }, k) => {
      sum += pairs;
      return sum <= MOST_PAIRS || k < FEWEST_LAID;
    })
    .map(({ m }) => m);
}

/** How many marks lie on one like them when all are moved so. */
function votesFor(cut: readonly Mark[], ideal: Marks, by: Vec): number {
  return cut.filter((m) =>
    alikeTo(m, ideal).some(
      (n) =>
        Math.abs(n.at.x - m.at.x - by.x) <= AT_REST &&
        Math.abs(n.at.y - m.at.y - by.y) <= AT_REST,
    ),
  ).length;
}

/** Moves that are looked at more closely: neighbours on the grid share the votes of one. */
const LIKELY = 4;

/** The move that brings the most marks onto one like them; of equal ones the shortest. */
function mostAgreed(cut: readonly Mark[], ideal: Marks): Vec | null {
  const pairs = cut.map((m) => ({ m, to: alikeTo(m, ideal) }));
  const cells = new Map<
    string,
    { votes: number; last: Mark; x: number; y: number }
  >();
  for (const { m, to } of pairs)
    for (const n of to) {
      const [x, y] = [n.at.x - m.at.x, n.at.y - m.at.y];
      const key = `${step(x)} ${step(y)}`;
      const cell = cells.get(key);
      if (!cell) cells.set(key, { votes: 1, last: m, x, y });
      else if (cell.last !== m) {
        cell.votes++;
        cell.last = m;
      }
    }
  const tried = [...cells.values()]
    .sort(
      (p, q) =>
        q.votes - p.votes || Math.hypot(p.x, p.y) - Math.hypot(q.x, q.y),
    )
    .slice(0, LIKELY)
    .map((cell) => {
      // The middle of all moves about one, so that what each mark is rounded by falls out.
      const near = pairs.flatMap(({ m, to }) =>
        to
          .map((n) => ({ x: n.at.x - m.at.x, y: n.at.y - m.at.y }))
          .filter(
            ({ x, y }) =>
              Math.abs(x - cell.x) <= ALIKE && Math.abs(y - cell.y) <= ALIKE,
          ),
      );
      const by = {
        x: median(near.map((v) => v.x)),
        y: median(near.map((v) => v.y)),
      };
      return { by, votes: votesFor(cut, ideal, by) };
    });
  const best = tried.reduce<(typeof tried)[number] | null>(
    (a, b) => (a === null || b.votes > a.votes ? b : a),
    null,
  );
  return best?.by ?? null;
}

function median(values: number[]): number {
  const value =
    values.sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? 0;
  return Math.abs(value) <= SAME_POINT ? 0 : value;
}

/** So many of a list, spread over all of it. */
function evenly<T>(list: readonly T[], most: number): T[] {
  return list.length <= most
    ? [...list]
    : Array.from(
        { length: most },
        (_, k) => list[Math.floor((k * list.length) / most)] as T,
      );
}
