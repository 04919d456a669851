/**
 * Families of nasty outlines. Each draws corner lists from random numbers; what comes out may cross itself, so ask
 * `isValid` before judging anything by it.
 */
import { type Contour, contourArea } from "../../src/geometry/contour.js";
import { findConflicts } from "../../src/geometry/crossings.js";
import { intersectSegments } from "../../src/geometry/intersect.js";
import {
  type Arc,
  arcFraction,
  type Segment,
  segmentLength,
} from "../../src/geometry/segment.js";
import { cross, dot, sub, type Vec } from "../../src/geometry/vec.js";
import { gear, rounded, star } from "../helpers/shapes.js";
import { type Corner, cornersOf, outlineOf } from "./offset-case.js";
import { polyomino } from "./polyomino.js";
import { windingByHalving } from "./winding.js";

type Random = () => number;
type Outlines = readonly (readonly Corner[])[];

const between = (rnd: Random, low: number, high: number): number =>
  low + (high - low) * rnd();
const whole = (rnd: Random, low: number, high: number): number =>
  low + Math.floor(rnd() * (high - low + 1));
const oneOf = <T>(rnd: Random, values: readonly T[]): T =>
  values[Math.floor(rnd() * values.length)] as T;
const quarter = Math.tan(Math.PI / 8);

/** Corners round the origin: n of them, each at its radius. */
function round(
  n: number,
  at: (i: number) => readonly [r: number, bulge: number],
): Corner[] {
  return Array.from({ length: n }, (_, i) => {
    const [r, bulge] = at(i);
    const a = (2 * Math.PI * i) / n;
    return [r * Math.cos(a), r * Math.sin(a), bulge];
  });
}

const polygon = (points: readonly Vec[]): Corner[] =>
  points.map(({ x, y }) => [x, y, 0]);
const circle = (x: number, y: number, r: number): Corner[] => [
  [x - r, y, 1],
  [x + r, y, 1],
];
/** The other way round: an island. */
function turnedBack(corners: readonly Corner[]): Corner[] {
  return corners.map((_, i) => {
    const [x, y] = corners.at(-i) as Corner;
    const [, , bulge] = corners.at(-i - 1) as Corner;
    return [x, y, -bulge];
  });
}

export const FAMILIES: Readonly<Record<string, (rnd: Random) => Outlines>> = {
  gear: (rnd) => [
    cornersOf(
      gear(
        whole(rnd, 3, 22),
        between(rnd, 4, 8),
        between(rnd, 2, 3.9),
        between(rnd, 0.15, 0.6),
      ),
    ),
  ],
  fillets: (rnd) => {
    const w = between(rnd, 1, 9);
    const h = between(rnd, 1, 9);
    return [
      cornersOf(
        rounded(
          [
            { x: 0, y: 0 },
            { x: w, y: between(rnd, -0.5, 0.5) },
            { x: w, y: h },
            { x: w / 2, y: h * between(rnd, 0.4, 1) },
            { x: 0, y: h },
          ],
          oneOf(rnd, [0.1, 0.25, between(rnd, 0.01, 0.5)]),
        ),
      ),
    ];
  },
  star: (rnd) => [
    polygon(
      star(whole(rnd, 3, 12), between(rnd, 3, 8), between(rnd, 0.5, 2.9)),
    ),
  ],
  roundedStar: (rnd) => [
    cornersOf(
      rounded(
        star(whole(rnd, 3, 12), between(rnd, 3, 8), between(rnd, 0.5, 2.9)),
        between(rnd, 0.01, 0.8),
      ),
    ),
  ],
  randomArcs: (rnd) => {
    const n = whole(rnd, 3, 34);
    return [
      round(n, () => [
        between(rnd, 2, 6),
        rnd() < 0.4 ? 0 : between(rnd, -0.6, 0.6),
      ]),
    ];
  },
  neck: (rnd) => {
    const w = oneOf(rnd, [0.15, between(rnd, 0.02, 0.8)]);
    const l = between(rnd, 0.2, 3);
    const end = (): number => oneOf(rnd, [1, 1.5, between(rnd, 1.2, 3)]);
    return [
      [
        [-l, -w, 0],
        [l, -w, end()],
        [l, w, 0],
        [-l, w, end()],
      ],
    ];
  },
  /** A row of rooms joined by necks of one width. */
  rooms: (rnd) => {
    const w = oneOf(rnd, [0.125, 0.25, between(rnd, 0.05, 0.5)]);
    const lower: Corner[] = [];
    const upper: Corner[] = [];
    let x = 0;
    for (let k = whole(rnd, 2, 5); k > 0; k--) {
      const a = between(rnd, 0.6, 2);
      const b = between(rnd, 0.6, 2);
      const to = x + between(rnd, 0.5, 3);
      lower.push([x, -w, 0], [x, -a, 0], [to, -a, 0], [to, -w, 0]);
      upper.unshift([to, w, 0], [to, b, 0], [x, b, 0], [x, w, 0]);
      x = to + between(rnd, 0.1, 1);
    }
    return [[...lower, ...upper]];
  },
  comb: (rnd) => {
    const n = whole(rnd, 2, 8);
    const corners: Corner[] = [
      [0, 0, 0],
      [n * 2, 0, 0],
    ];
    const bulge = oneOf(rnd, [0, 0, 1, quarter]);
    for (let i = n - 1; i >= 0; i--) {
      const h = whole(rnd, 1, 4);
      const floor = oneOf(rnd, [0.3, 0.5]);
      corners.push(
        [i * 2 + 2, h, bulge],
        [i * 2 + 1, h, 0],
        [i * 2 + 1, floor, 0],
        [i * 2, floor, 0],
      );
    }
    return [corners];
  },
  spiral: (rnd) => {
    const n = Math.floor(between(rnd, 1, 2.5) * 12);
    const w = between(rnd, 0.1, 0.6);
    const bulge = oneOf(rnd, [0, Math.tan(Math.PI / 24)]);
    const at = (i: number, off: number, b: number): Corner => {
      const a = (i * Math.PI) / 6;
      const r = 1.5 + (i * 1.3) / 12 + off;
      return [r * Math.cos(a), r * Math.sin(a), b];
    };
    return [
      [
        ...Array.from({ length: n }, (_, i) => at(i, w, i < n - 1 ? bulge : 0)),
        ...Array.from({ length: n }, (_, i) =>
          at(n - 1 - i, -w, i < n - 1 ? -bulge : 0),
        ),
      ],
    ];
  },
  /** Arcs of one circle whose ends are pushed off it by 1e-3 to 1e-12 mm. */
  nearlyTangent: (rnd) => {
    const n = whole(rnd, 4, 26);
    const nudge = 10 ** -whole(rnd, 3, 12);
    return [
      round(n, () => [
        5 * (1 + (rnd() - 0.5) * nudge),
        Math.tan(Math.PI / (2 * n)),
      ]),
    ];
  },
  /** Arcs in and out by turns, each tangent to the last but for a hair. */
  waves: (rnd) => {
    const n = 2 * whole(rnd, 3, 14);
    const bend = between(rnd, 0.1, 0.8);
    const nudge = oneOf(rnd, [0, 1e-12, 1e-9, 1e-7, 1e-5, 1e-3]);
    return [
      round(n, (i) => [
        5 + (rnd() - 0.5) * nudge,
        (i % 2 ? bend : -bend) + (rnd() - 0.5) * nudge,
      ]),
    ];
  },
  /** Arcs that meet in points which turn straight back. */
  cusps: (rnd) => {
    const n = whole(rnd, 3, 8);
    // Two arcs of sweep s at an n-gon's corner leave an angle of π − 2π/n − s: none when s is just that.
    const sweep =
      Math.PI * (1 - 2 / n) * oneOf(rnd, [1, 1, 1 - 1e-9, 1 - 1e-6, 0.99]);
    return [round(n, () => [4, -Math.tan(sweep / 4)])];
  },
  /** Round heads of more than a half turn on narrow stems. */
  keyholes: (rnd) => {
    const n = whole(rnd, 1, 4);
    const corners: Corner[] = [
      [0, 0, 0],
      [4 * n, 0, 0],
      [4 * n, 2, 0],
    ];
    for (let i = n - 1; i >= 0; i--) {
      const x = 4 * i + 2;
      const w = oneOf(rnd, [0.15, 0.3, between(rnd, 0.05, 0.5)]);
      const into = rnd() < 0.5 ? -1 : 1;
      const stem = into < 0 ? between(rnd, 0, 0.4) : between(rnd, 0, 2);
      const bulge = between(rnd, 1, into < 0 ? 1.8 : 2.5);
      corners.push(
        [x + w, 2, 0],
        [x + w, 2 + into * stem, into * bulge],
        [x - w, 2 + into * stem, 0],
        [x - w, 2, 0],
      );
    }
    corners.push([0, 2, 0]);
    return [corners];
  },
  /** Slots with round ends, whole circles, and all but whole ones. */
  slots: (rnd) => {
    const r = oneOf(rnd, [0.1, 0.25, 0.5, between(rnd, 0.05, 2)]);
    const l = between(rnd, 0.1, 6);
    return oneOf<Outlines>(rnd, [
      [
        [
          [0, 0, 0],
          [l, 0, 1],
          [l, 2 * r, 0],
          [0, 2 * r, 1],
        ],
      ],
      [circle(1, 2, r)],
      [
        [
          [r, 0, Math.tan((2 * Math.PI - 10 ** -whole(rnd, 1, 6)) / 4)],
          [r * Math.cos(1e-9), r * Math.sin(1e-9), 0],
        ],
      ],
      [
        [
          [r, 0, 2 ** between(rnd, 0, 8)],
          [0, r * between(rnd, 0.01, 1), 0],
        ],
      ],
      [
        [
          [0, 0, 0.5],
          [l, 0, 0],
          [l, 2 * r, 0.3],
          [0, 2 * r, 0],
        ],
      ],
    ]);
  },
  /** The edge of cells of a grid. */
  gridWalk: (rnd) => {
    const cut = oneOf(rnd, [0, 0, quarter, -quarter]);
    return [polyomino(rnd, whole(rnd, 2, 30), oneOf(rnd, [1, 0.3, 0.25]), cut)];
  },
  /** A random walk on a grid, rows of steps there and back. */
  snapped: (rnd) => {
    const grid = oneOf(rnd, [1, 0.5, 0.1]);
    const n = whole(rnd, 5, 40);
    return [
      round(n, () => [
        between(rnd, 2, 6),
        oneOf(rnd, [0, 0, 0, 1, -1, quarter]),
      ]).map(
        ([x, y, b]): Corner => [
          Math.round(x / grid) * grid,
          Math.round(y / grid) * grid,
          b,
        ],
      ),
    ];
  },
  islands: (rnd) => {
    const gap = oneOf(rnd, [0.2, 0.3, 0.5]);
    const n = whole(rnd, 1, 4);
    const m = whole(rnd, 1, 3);
    const size = oneOf(rnd, [1, 0.4, between(rnd, 0.2, 1.5)]);
    const pitch = size + gap;
    const edge: Corner[] = [
      [0, 0, 0],
      [gap + n * pitch, 0, 0],
      [gap + n * pitch, gap + m * pitch, 0],
      [0, gap + m * pitch, 0],
    ];
    const outlines: Corner[][] = [edge];
    for (let i = 0; i < n; i++)
      for (let j = 0; j < m; j++) {
        if (rnd() < 0.2) continue;
        const x = gap + i * pitch;
        const y = gap + j * pitch;
        const kind = rnd();
        const hole: Corner[] =
          kind < 0.4
            ? [
                [x, y, 0],
                [x + size, y, 0],
                [x + size, y + size, 0],
                [x, y + size, 0],
              ]
            : kind < 0.7
              ? circle(x + size / 2, y + size / 2, size / 2)
              : [
                  [x, y, 0],
                  [x + size, y, 0.2],
                  [x + size / 2, y + size, -0.3],
                ];
        outlines.push(turnedBack(hole));
      }
    return outlines;
  },
  /** Islands anywhere in a random plate. */
  plate: (rnd) => {
    const outlines: Corner[][] = [
      round(whole(rnd, 4, 9), () => [
        between(rnd, 6, 9),
        oneOf(rnd, [0, 0.2, -0.2]),
      ]),
    ];
    for (let k = whole(rnd, 1, 6); k > 0; k--) {
      const x = between(rnd, -4, 4);
      const y = between(rnd, -4, 4);
      const r = between(rnd, 0.1, 1.5);
      const shape = round(whole(rnd, 2, 6), () => [
        r * between(rnd, 0.5, 1),
        oneOf(rnd, [0, 0.4, -0.3]),
      ]);
      outlines.push(
        turnedBack(shape.map(([px, py, b]): Corner => [px + x, py + y, b])),
      );
    }
    return outlines;
  },
  /** Steps of a µm and less on an edge of a metre. */
  tinyNextToHuge: (rnd) => {
    const size = oneOf(rnd, [10, 1000]);
    const corners: Corner[] = [[0, 0, 0]];
    let x = between(rnd, 0.1, 0.5) * size;
    const step = 10 ** -between(rnd, 2, 6);
    let y = 0;
    for (let k = whole(rnd, 1, 20); k > 0; k--) {
      corners.push([x, y, oneOf(rnd, [0, 0, 0.4, -0.4])]);
      x += step * between(rnd, 0.5, 2);
      y += oneOf(rnd, [0, 0, 1, -1]) * step * rnd();
    }
    corners.push(
      [x, y, 0],
      [size, 0, oneOf(rnd, [0, 0.01])],
      [size, size / 3, 0],
      [0, size / 3, 0],
    );
    return [corners];
  },
  /** Edges that are arcs of metres and kilometres. */
  almostStraight: (rnd) => {
    const n = whole(rnd, 3, 8);
    return [
      round(n, () => [
        between(rnd, 3, 6),
        oneOf(rnd, [1, -1]) * 10 ** -between(rnd, 2, 8),
      ]),
    ];
  },
  /** Lines and arcs cut into many pieces of themselves, with corners given twice. */
  cutUp: (rnd) => {
    const whole1 = round(whole(rnd, 3, 6), () => [
      between(rnd, 2, 6),
      oneOf(rnd, [0, 0.3, -0.2]),
    ]);
    const { segments } = outlineOf(whole1);
    return [
      segments.flatMap((s, i): Corner[] => {
        const [, , bulge] = whole1[i] as Corner;
        const n = whole(rnd, 1, 12);
        const sweep = 4 * Math.atan(bulge);
        const pieces = Array.from({ length: n }, (_, k): Corner => {
          const p = pieceStart(s.start, s.end, bulge, k / n);
          return [p.x, p.y, Math.tan(sweep / n / 4)];
        });
        const [x, y] = pieces[0] as Corner;
        return rnd() < 0.2 ? [[x, y, 0], ...pieces] : pieces;
      }),
    ];
  },
};

/** Point at share `t` of the arc with this bulge. */
function pieceStart(a: Vec, b: Vec, bulge: number, t: number): Vec {
  const s = outlineOf([
    [a.x, a.y, bulge],
    [b.x, b.y, 0],
  ]).segments[0];
  if (s?.kind !== "arc" || t === 0)
    return { x: a.x + (b.x - a.x) * t, y: a.y + (b.y - a.y) * t };
  const from = Math.atan2(a.y - s.center.y, a.x - s.center.x) + s.sweep * t;
  return {
    x: s.center.x + s.radius * Math.cos(from),
    y: s.center.y + s.radius * Math.sin(from),
  };
}

/** Is this what a drawing may hold: nothing crosses or touches itself or another, every island lies in the plate alone. */
export function isValid(outlines: Outlines): boolean {
  if (outlines.some((corners) => corners.length < 2)) return false;
  const drawn = outlines.map(outlineOf);
  const [plate, ...islands] = drawn as [Contour, ...Contour[]];
  if (!(contourArea(plate) > 0)) return false;
  if (findConflicts(drawn).length > 0 || drawn.some(crossesAtJoint))
    return false;
  return islands.every((island) => {
    const at = (island.segments[0] as Segment).start;
    return (
      contourArea(island) < 0 &&
      windingByHalving(plate, at) === 1 &&
      islands.every((o) => o === island || windingByHalving(o, at) === 0)
    );
  });
}

/** Way (mm) along an outline within which two meetings are one joint to `findConflicts`, with some to spare. */
const ONE_JOINT = 1e-4;

/** Do neighbours meet anywhere but at the joint, be it as near as a drawing lets pass? */
function crossesAtJoint({ segments }: Contour): boolean {
  const drawn = segments.filter((s) => segmentLength(s) > 0);
  const size = Math.max(...drawn.map(segmentLength));
  const tolerance = { touch: 1e-13 * size, snap: 1e-12 * size };
  return drawn.some((a, i) => {
    let way = 0;
    for (let k = 1; k < drawn.length && way <= ONE_JOINT; k++) {
      const b = drawn[(i + k) % drawn.length] as Segment;
      const meetings = intersectSegments(a, b, tolerance);
      const shared = (k === 1 ? 1 : 0) + (k === drawn.length - 1 ? 1 : 0);
      if (meetings.length > shared) return true;
      way += segmentLength(b);
    }
    return false;
  });
}

/**
 * Do neighbours that part at a tip cross once more right behind it? Two circles through one point also meet in its
 * mirror image across the line of their centres, a circle and a line as far behind the foot of the centre: exact to
 * rounding, where computing all crossings anew would blur the two into one.
 */
export function crossesBehindTip({ segments }: Contour): boolean {
  return segments.some((b, i) => {
    const a = segments.at(i - 1) as Segment;
    const other = otherMeeting(a, b);
    return (
      other !== null && a !== b && isInside(a, other) && isInside(b, other)
    );
  });
}

function otherMeeting(a: Segment, b: Segment): Vec | null {
  const p = b.start;
  if (a.kind === "line" && b.kind === "line") return null;
  const [arc, other] = b.kind === "arc" ? [b, a] : ([a, b] as [Arc, Segment]);
  const axis =
    other.kind === "arc"
      ? sub(other.center, arc.center)
      : { x: other.start.y - other.end.y, y: other.end.x - other.start.x };
  const square = dot(axis, axis);
  if (square === 0) return null;
  const off = cross(axis, sub(p, arc.center)) / square;
  return { x: p.x + 2 * off * axis.y, y: p.y - 2 * off * axis.x };
}

/** Inside its ends by more than rounding. */
function isInside(s: Segment, p: Vec): boolean {
  const t =
    s.kind === "arc"
      ? arcFraction(s, p)
      : dot(sub(p, s.start), sub(s.end, s.start)) / segmentLength(s) ** 2;
  const rounding = 1e-9 / segmentLength(s);
  return t > rounding && t < 1 - rounding;
}

/** Turned by `angle`, then moved. */
export function placed(
  outlines: Outlines,
  angle: number,
  dx: number,
  dy: number,
): Corner[][] {
  const c = Math.cos(angle);
  const s = Math.sin(angle);
  return outlines.map((corners) =>
    corners.map(
      ([x, y, b]): Corner => [x * c - y * s + dx, x * s + y * c + dy, b],
    ),
  );
}

/** Coordinates as a drawing with that many digits has them. */
export function snapped(outlines: Outlines, grid: number): Corner[][] {
  return outlines.map((corners) =>
    corners.map(
      ([x, y, b]): Corner => [
        Math.round(x / grid) * grid,
        Math.round(y / grid) * grid,
        b,
      ],
    ),
  );
}

/** Seen in a mirror; the way round stays. */
export function mirrored(outlines: Outlines): Corner[][] {
  return outlines.map((corners) =>
    turnedBack(corners.map(([x, y, b]): Corner => [-x, y, -b])),
  );
}
