/**
 * Some thirty shapes of a tool room, and where a toolmaker would put start hole, lead and tab on each. All of it is common
 * practice, no source, as told in the trade: on the longest straight edge, never on a corner or an arc or a face that
 * has to fit, where the piece hangs level, and near its hole. Each row says why in a sentence.
 */
import {
  type Contour,
  circleContour,
  polygonContour,
} from "../../../src/geometry/contour.js";
import { line, type Segment } from "../../../src/geometry/segment.js";
import { type Vec, vec } from "../../../src/geometry/vec.js";
import type { Layout } from "../../../src/plan/feature.js";
import type { JobFile } from "../../../src/plan/job/file.js";
import { feature, layoutOf, rectangle } from "../../helpers/layouts.js";
import { bulged, gear, rounded, star } from "../../helpers/shapes.js";

/** Is a place where it should be? */
export type Region = (p: Vec) => boolean;

export interface Row {
  readonly shape: string;
  readonly layout: Layout;
  readonly job?: JobFile;
  /** Of every tab; the lead ends beside it. */
  readonly tab: Region;
  readonly hole: Region;
  readonly why: string;
}

const box =
  (x0: number, y0: number, x1: number, y1: number): Region =>
  ({ x, y }) =>
    x >= x0 && x <= x1 && y >= y0 && y <= y1;
const ring =
  (r0: number, r1: number, cx = 0, cy = 0): Region =>
  ({ x, y }) => {
    const r = Math.hypot(x - cx, y - cy);
    return r >= r0 && r <= r1;
  };
const either =
  (...regions: Region[]): Region =>
  (p) =>
    regions.some((r) => r(p));
const both =
  (...regions: Region[]): Region =>
  (p) =>
    regions.every((r) => r(p));
const not =
  (r: Region): Region =>
  (p) =>
    !r(p);

const points = (...xy: (readonly [number, number])[]): Vec[] =>
  xy.map(([x, y]) => vec(x, y));
const opening = (c: Contour): Layout =>
  layoutOf(feature("opening-1", "opening", c));
const part = (c: Contour): Layout => layoutOf(feature("part-1", "part", c));

/** Counter-clockwise points in polar coordinates, turned about the origin `count` times. */
const wheel = (
  count: number,
  tooth: readonly (readonly [radius: number, share: number, bulge: number])[],
): Contour =>
  bulged(
    Array.from({ length: count }, (_, i) =>
      tooth.map(([r, share, bulge]) => {
        const a = (2 * Math.PI * (i + share)) / count;
        return [r * Math.cos(a), r * Math.sin(a), bulge] as const;
      }),
    ).flat(),
  );

/** Bulge of an arc about the origin over a share of one of `count` teeth. */
const about = (share: number, count: number): number =>
  Math.tan((2 * Math.PI * share) / count / 4);

/** Bore 25 with a keyway of 8, floor 28.3 from the opposite wall (DIN 6885-1): the flanks stand from y 11.8427 to 15.8. */
const keyed: Contour = (() => {
  const y = Math.sqrt(12.5 ** 2 - 16);
  const a = Math.atan2(4, y);
  return bulged([
    [4, y, 0],
    [4, 15.8, 0],
    [-4, 15.8, 0],
    [-4, y, Math.tan((Math.PI - a) / 4)],
    [0, -12.5, Math.tan((Math.PI - a) / 4)],
  ]);
})();

/** Shaft 25 with the keyway in it: floor at y 8.5, flanks up to the round. */
const shaft: Contour = (() => {
  const y = Math.sqrt(12.5 ** 2 - 16);
  const a = Math.atan2(4, y);
  return bulged([
    [-4, y, Math.tan((Math.PI - a) / 4)],
    [0, -12.5, Math.tan((Math.PI - a) / 4)],
    [4, y, 0],
    [4, 8.5, 0],
    [-4, 8.5, 0],
  ]);
})();

/** Chords of an ellipse bent into arcs through its points: many short faces, no two alike. */
function ellipse(a: number, b: number, n: number): Contour {
  const at = (k: number): Vec =>
    vec(
      a * Math.cos((2 * Math.PI * k) / n),
      b * Math.sin((2 * Math.PI * k) / n),
    );
  return bulged(
    Array.from({ length: n }, (_, k) => {
      const [p, q, m] = [at(k), at(k + 1), at(k + 0.5)] as const;
      const mid = vec((p.x + q.x) / 2, (p.y + q.y) / 2);
      const rise = Math.hypot(m.x - mid.x, m.y - mid.y);
      return [p.x, p.y, (2 * rise) / Math.hypot(q.x - p.x, q.y - p.y)] as const;
    }),
  );
}

const keepOff = (...segments: Segment[]): Pick<Layout, "keepOff"> => ({
  keepOff: segments,
});

export const ROWS: readonly Row[] = [
  {
    shape: "round opening, 20 mm",
    layout: opening(circleContour(vec(0, 0), 10)),
    tab: ring(9.99, 10.01),
    hole: ring(6.5, 9),
    why: "all places on a circle are alike; the hole stands near the edge, for a short lead",
  },
  {
    shape: "square opening, 20 mm",
    layout: opening(rectangle(-10, -10, 20, 20)),
    tab: either(box(-1, -10, 1, 10), box(-10, -1, 10, 1)),
    hole: box(-9, -9, 9, 9),
    why: "in the middle of a side the slug hangs level, and corners are far",
  },
  {
    shape: "slot with round ends, 30 × 8",
    layout: opening(
      bulged([
        [-11, -4, 0],
        [11, -4, 1],
        [11, 4, 0],
        [-11, 4, 1],
      ]),
    ),
    tab: box(-2, -4, 2, 4),
    hole: box(-4, -3, 4, 3),
    why: "on a straight flank abreast of the middle; the round ends are arcs, and far from the centre of mass",
  },
  {
    shape: "hub bore with keyway",
    layout: opening(keyed),
    tab: box(-4, 15.7, 4, 15.9),
    hole: box(-4, 11, 4, 15),
    why: "the bore and the keyway's flanks are fits; its floor has clearance to the key",
  },
  {
    shape: "shaft with keyway",
    layout: part(shaft),
    tab: box(-4, 8.4, 4, 8.6),
    hole: box(-4, 9, 4, 20),
    why: "the journal and the flanks are fits; the keyway's floor has clearance to the key",
  },
  {
    shape: "gear wheel, 20 teeth",
    layout: part(gear(20, 22, 17.5, 0.25)),
    tab: either(ring(21.9, 22.1), ring(17.4, 17.6)),
    hole: ring(18, 30),
    why: "flanks do the work; tip and root have clearance in the mate",
  },
  {
    shape: "ratchet wheel, 12 teeth",
    layout: part(
      wheel(12, [
        [15, 0, 0],
        [20, 0, 0],
      ]),
    ),
    tab: ring(15.5, 19.5),
    hole: ring(16, 30),
    why: "on a tooth's long back; the pawl rests on the short radial face",
  },
  {
    shape: "D-hole, 20 mm, flat at 7",
    layout: opening(
      (() => {
        const y = Math.sqrt(100 - 49);
        const a = Math.atan2(y, 7);
        const b = Math.tan((Math.PI - a) / 4);
        return bulged([
          [7, -y, 0],
          [7, y, b],
          [-10, 0, b],
        ]);
      })(),
    ),
    tab: box(6.9, -5, 7.1, 5),
    hole: box(2, -5, 6.5, 5),
    why: "the flat is the one straight stretch; the round is a fit",
  },
  {
    shape: "L-shaped opening",
    layout: opening(
      polygonContour(
        points([0, 0], [30, 0], [30, 10], [10, 10], [10, 24], [0, 24]),
      ),
    ),
    tab: either(box(6, -0.1, 20, 0.1), box(-0.1, 5, 0.1, 15)),
    hole: box(0.9, 0.9, 22, 20),
    why: "on a long outer side abreast of the centre of mass; near the inside corner the slug would twist least but the corner is near",
  },
  {
    shape: "T-shaped opening",
    layout: opening(
      polygonContour(
        points(
          [-15, 0],
          [15, 0],
          [15, 8],
          [4, 8],
          [4, 24],
          [-4, 24],
          [-4, 8],
          [-15, 8],
        ),
      ),
    ),
    tab: box(-3, -0.1, 3, 0.1),
    hole: box(-5, 0.9, 5, 7),
    why: "in the middle of the bar's long outer side: on the axis, so that nothing twists",
  },
  {
    shape: "star-shaped opening, 5 points",
    layout: opening(polygonContour(star(5, 20, 9))),
    tab: ring(9.5, 17),
    hole: ring(0, 16),
    why: "along a flank, off tips and inner corners",
  },
  {
    shape: "crescent opening",
    layout: opening(
      bulged([
        [0, -12, Math.tan((Math.PI * 1.2) / 8)],
        [14.5, 0, Math.tan((Math.PI * 1.2) / 8)],
        [0, 12, -0.45],
      ]),
    ),
    tab: either(box(3, -5, 16, 5)),
    hole: box(3, -6, 15, 6),
    why: "there is no straight stretch: about the middle of an arc, where the slug is widest and hangs level, off the horns",
  },
  {
    shape: "long thin opening, 80 × 3",
    layout: opening(rectangle(0, 0, 80, 3)),
    tab: either(box(35, -0.1, 45, 0.1), box(35, 2.9, 45, 3.1)),
    hole: box(33, 0.9, 47, 2.1),
    why: "in the middle of a long side: from an end the slug would sag like a springboard",
  },
  {
    shape: "die opening with both long sides functional",
    layout: {
      ...opening(rectangle(0, 0, 30, 12)),
      ...keepOff(line(vec(0, 0), vec(30, 0)), line(vec(0, 12), vec(30, 12))),
    },
    job: { tabs: { keepOffLayer: "FIT" } },
    tab: either(box(-0.1, 3, 0.1, 9), box(29.9, 3, 30.1, 9)),
    hole: either(box(0.9, 2, 5, 10), box(25, 2, 29.1, 10)),
    why: "faces that have to fit stay whole, even if the tab then stands on a short side",
  },
  {
    shape: "opening with a given hole",
    layout: {
      ...opening(rectangle(0, 0, 40, 20)),
      holes: [{ at: vec(8, 14), diameter: 2 }],
    },
    job: { startHoles: { layer: "HOLES" } },
    tab: either(box(2, 19.9, 20, 20.1), box(-0.1, 8, 0.1, 18)),
    hole: box(8, 14, 8, 14),
    why: "the hole is there: a short straight lead to the near long side, with the tab beside it",
  },
  {
    shape: "punch with filleted corners",
    layout: part(rounded(points([0, 0], [24, 0], [24, 16], [0, 16]), 3)),
    tab: either(box(8, -0.1, 16, 0.1), box(8, 15.9, 16, 16.1)),
    hole: either(box(6, -4, 18, -0.9), box(6, 16.9, 18, 20)),
    why: "in the middle of a long straight side, off the fillets: a tab on a fillet cannot be stoned flush by eye",
  },
  {
    shape: "clock hand",
    layout: part(
      bulged([
        [6 * Math.cos(0.5), -6 * Math.sin(0.5), 0],
        [50, -0.6, 1],
        [50, 0.6, 0],
        [6 * Math.cos(0.5), 6 * Math.sin(0.5), Math.tan((Math.PI - 0.5) / 4)],
        [-6, 0, Math.tan((Math.PI - 0.5) / 4)],
      ]),
    ),
    tab: box(6, -3, 28, 3),
    hole: box(2, -8, 32, 8),
    why: "on the straight flank towards the boss, where most of the mass is: from the tip it would bend",
  },
  {
    shape: "escape wheel, 15 teeth",
    layout: part(
      wheel(15, [
        [18, 0, about(0.5, 15)],
        [18, 0.5, 0],
        [24, 0.86, 0],
        [24, 0.92, 0],
      ]),
    ),
    tab: ring(17.9, 18.1),
    hole: ring(18.9, 30),
    why: "on the rim between two teeth: the locking and the impulse faces must not be touched, nor the slender tips",
  },
  {
    shape: "snail cam",
    layout: {
      ...part(
        bulged([
          [20, 0, Math.tan(Math.PI / 8)],
          [0, 17.5, Math.tan(Math.PI / 8)],
          [-15, 0, Math.tan(Math.PI / 8)],
          [0, -12.5, Math.tan(Math.PI / 8)],
          [10, 0, 0],
        ]),
      ),
    },
    tab: box(10.5, -0.1, 19.5, 0.1),
    hole: box(9, -6, 22, -0.9),
    why: "on the straight drop: the follower runs on the snail and falls past the drop",
  },
  {
    shape: "punch in a block that is drawn",
    layout: {
      ...part(rectangle(0, 0, 30, 12)),
      stock: rectangle(-8, -3, 46, 23),
    },
    tab: box(12, 11.9, 18, 12.1),
    hole: box(10, 12.9, 20, 17),
    why: "outside the punch, in the block, on the side where the block has room for a hole and stays stout",
  },
  {
    shape: "punch from the block's edge",
    layout: {
      ...part(rectangle(0, 0, 30, 12)),
      stock: rectangle(-8, -3, 46, 23),
    },
    job: { start: "edge" },
    tab: box(10, -0.1, 20, 0.1),
    hole: box(8, -6, 22, -4),
    why: "the nearest way in: across the 3 mm below the long side",
  },
  {
    shape: "rack: teeth along one side, 24 of them",
    layout: part(
      polygonContour([
        ...points([0, -12], [96, -12]),
        ...Array.from({ length: 24 }, (_, i) => {
          const x = 96 - 4 * i;
          return points(
            [x, 0],
            [x - 1, 0],
            [x - 1.6, 3],
            [x - 2.4, 3],
            [x - 3, 0],
          );
        }).flat(),
        vec(0, 0),
      ]),
    ),
    tab: box(40, -12.1, 56, -11.9),
    hole: box(38, -16, 58, -12.9),
    why: "the back is the long plain side; the teeth are the work",
  },
  {
    shape: "toothed sector",
    layout: part(
      bulged([
        [0, 0, 0],
        ...Array.from({ length: 12 }, (_, i) => {
          const at = (r: number, k: number, b = 0) => {
            const a = (i + k) * 0.1 - 0.6;
            return [r * Math.cos(a), r * Math.sin(a), b] as const;
          };
          return [
            at(28, 0, Math.tan(0.03 / 4)),
            at(28, 0.3),
            at(31, 0.45, Math.tan(0.02 / 4)),
            at(31, 0.65),
            at(28, 0.8),
          ];
        }).flat(),
        [28 * Math.cos(0.6), 28 * Math.sin(0.6), 0],
      ]),
    ),
    tab: both(ring(4, 26), not(box(20, -12, 32, 12))),
    hole: ring(3, 32),
    why: "on one of the two plain sides, away from the teeth",
  },
  {
    shape: "elliptic opening of many arcs, 40 × 20",
    layout: opening(ellipse(20, 10, 48)),
    tab: either(box(-5, 9.5, 5, 10.1), box(-5, -10.1, 5, -9.5)),
    hole: box(-6, -9.2, 6, 9.2),
    why: "where the curve is flattest, which is also where the slug hangs level",
  },
  {
    shape: "toothed ring opening, 30 teeth",
    layout: opening(gear(30, 20, 17, 0.3)),
    tab: either(ring(16.9, 17.1), ring(19.9, 20.1)),
    hole: ring(10, 19),
    why: "on a tip or in a root: the flanks do the work",
  },
  {
    shape: "finely toothed ring opening, 28 teeth",
    layout: opening(gear(28, 13, 11.4, 0.3)),
    tab: either(ring(11.39, 11.41), ring(12.99, 13.01)),
    hole: ring(6, 12.5),
    why: "no tip or root is long enough for a tab of 1 mm, but practice knows shorter ones: rather that than on a flank",
  },
  {
    shape: "gear wheel with spokes",
    layout: (() => {
      const wheel = feature("part-1", "part", gear(24, 24, 21, 0.3));
      const window = (k: number): Contour => {
        const [a, b] = [k * 1.2566 + 0.12, (k + 1) * 1.2566 - 0.12];
        const at = (r: number, t: number, bulge = 0) =>
          [r * Math.cos(t), r * Math.sin(t), bulge] as const;
        return bulged([
          at(8, a + 0.1),
          at(17, a, Math.tan((b - a) / 4)),
          at(17, b),
          at(8, b - 0.1, -Math.tan((b - a - 0.2) / 4)),
        ]);
      };
      const windows = [0, 1, 2, 3, 4].map((k) =>
        feature(`opening-${k + 1}`, "opening", window(k), wheel),
      );
      return layoutOf(wheel, ...windows);
    })(),
    tab: either(ring(8.2, 16.8), ring(20.9, 21.1), ring(23.9, 24.1)),
    hole: either(ring(8.9, 16.1), ring(21.5, 30)),
    why: "in the windows along a spoke, which is straight; on the wheel in a root or on a tip, and it comes free last",
  },
  {
    shape: "comb of 8 prongs",
    layout: part(
      polygonContour([
        ...points([0, 0], [32, 0]),
        ...Array.from({ length: 8 }, (_, i) => {
          const x = 32 - 4 * i;
          const prong = points([x, 20], [x - 2, 20], [x - 2, 6]);
          return i === 7 ? prong : [...prong, vec(x - 4, 6)];
        }).flat(),
        vec(0, 6),
      ]),
    ),
    tab: box(10, -0.1, 22, 0.1),
    hole: box(8, -5, 24, -0.9),
    why: "the back is long and plain, and the prongs hang from it; on a prong the comb would swing",
  },
  {
    shape: "dovetail",
    layout: part(
      polygonContour(
        points(
          [0, 0],
          [40, 0],
          [40, 12],
          [28, 12],
          [32, 22],
          [8, 22],
          [12, 12],
          [0, 12],
        ),
      ),
    ),
    tab: box(14, -0.1, 26, 0.1),
    hole: box(12, -5, 28, -0.9),
    why: "the slanting flanks and the shoulders are the fit; the long back is plain, and abreast of the centre of mass",
  },
  {
    shape: "wedge-shaped opening, 60 long",
    layout: opening(polygonContour(points([0, 0], [60, 0], [60, 1], [0, 8]))),
    tab: either(box(15, -0.1, 27, 0.1), box(15, 4.5, 27, 7)),
    hole: box(12, 0.9, 30, 5.8),
    why: "on a long side abreast of the centre of mass, which is towards the thick end: from the middle it would tip",
  },
  {
    shape: "hexagon opening, 24 across flats",
    layout: opening(
      polygonContour(
        Array.from({ length: 6 }, (_, i) => {
          const a = (i * Math.PI) / 3;
          const r = 12 / Math.cos(Math.PI / 6);
          return vec(r * Math.cos(a), r * Math.sin(a));
        }),
      ),
    ),
    tab: ring(11.9, 12.2),
    hole: ring(5, 11),
    why: "in the middle of a flat, half way between two corners",
  },
  {
    shape: "plate opening of 6 kg",
    layout: opening(rectangle(0, 0, 160, 120)),
    job: { stock: { thickness: 40 } },
    tab: either(box(60, -0.1, 100, 120.1), box(-0.1, 40, 160.1, 80)),
    hole: not(both(box(10, 10, 150, 110))),
    why: "two tabs across from each other carry it level between them, each with a hole of its own",
  },
];
