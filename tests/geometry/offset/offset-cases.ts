/** Outlines on which the offset was once wrong, as small as they still failed, each with what went wrong. */
import type { OffsetCase } from "../../fuzz/offset-case.js";

export const OFFSET_CASES: Readonly<Record<string, OffsetCase>> = {
  "a corner given twice: the joint of no length hid that the outline turns there":
    {
      outlines: [
        [
          [0, 0, 0],
          [0, 0, 0],
          [4, 3, 0.1],
        ],
      ],
      d: 0.1,
      outward: true,
    },
  "a corner given twice on a long arc: the loop came or went with where it lay":
    {
      outlines: [
        [
          [0, 0, 0],
          [0, 0, 0],
          [0, -1, 0.04],
        ],
      ],
      d: 0.3,
      outward: true,
    },
  "pieces of no length between collinear ones: the loop did not close": {
    outlines: [
      [
        [0, 0, 0],
        [0.0001, 0, 0],
        [0.0001, 0, 0],
        [0.0002, 0, 0],
        [0.0002, 0, 0],
        [9, 0, 0],
        [9, 3, 0],
        [-1, 3, 0],
      ],
    ],
    d: 4,
    outward: true,
  },
  "edges of 180 km radius beside one of 280 m: pieces ended 1.3 µm before the next":
    {
      outlines: [
        [
          [0, 0, 0],
          [-4, -6, -1e-8],
          [0, -11, -0.01],
        ],
      ],
      d: 0.1,
      outward: false,
    },
  "an edge of 31 km radius: pieces ended 65 nm before the next": {
    outlines: [
      [
        [0, 0, -8e-8],
        [-5, 0, 0.01],
        [-5, -5, 0],
        [0, -5, 0],
      ],
    ],
    d: 2,
    outward: false,
  },
  "a metre of coordinates and micrometres of offset: pieces shorter than what was taken for one place":
    {
      outlines: [
        [
          [1_000_000, -441_725, 85],
          [1_000_000, -441_724, 0],
        ],
      ],
      d: 0.000009,
      outward: false,
    },
  "arcs a kilometre off: ends 0.1 µm apart, as coordinates and not sizes set what is one place":
    {
      outlines: [
        [
          [999_995.3792, -357_083.3977, 0.0715],
          [999_996.104548, -357_084.6221, 0.071521],
          [999_997.14546, -357_085.5926, 0],
        ],
      ],
      d: 5,
      outward: true,
    },
  "arcs that meet in a tip of no angle, rolled round: the loop was lost": {
    outlines: [
      [
        [0, 0, -0.267949],
        [-4.845766, -4.951622, 0],
        [1.865347, -6.6724, -0.267949],
      ],
    ],
    d: 0.01,
    outward: true,
  },
  "two tips of no angle: the corner between two tangent arcs turned the wrong way":
    {
      outlines: [
        [
          [0, 0, 0],
          [6, 5, 0],
          [0.0918, 6.254, -0.628342],
          [-1.46, 3.15, -0.628342],
        ],
      ],
      d: 0.4,
      outward: true,
    },
  "six arcs in a ring, offset by more than their radius: the far sides of their circles were taken for walls":
    {
      outlines: [
        [
          [0, 0, -0.57735027],
          [-2, 3.4641, -0.57735],
          [-6, 3.464102, -0.57735027],
          [-8, 0, -0.57735027],
          [-6, -3.4641, -0.57735],
          [-2, -3.464102, -0.57735027],
        ],
      ],
      d: 12,
      outward: false,
    },
  "an arc whose radius is the offset: what it shrinks to missed its circle": {
    outlines: [
      [
        [0, 0, 0],
        [-7, 3, 0],
        [-4, -4, -0.668],
        [-1.1715728752, -2.828427, -0.668],
      ],
    ],
    d: 1.657,
    outward: false,
  },
  "cells of a grid, offset by their size, one wall askew: the loop beside three touching walls was lost":
    {
      outlines: [
        [
          [0, 0, 0],
          [-0.3, 0, 0],
          [-0.6, 0.3, 0],
          [-0.6, 0, 0],
          [-1, 0, 0],
          [-1, -0.3, 0],
          [0, -1, 0],
        ],
      ],
      d: 0.3,
      outward: false,
    },
  "a tooth of a gear offset by nearly all it has: a crumb of 0.1 µm was lost": {
    outlines: [
      [
        [0, 0, 0],
        [0.72542474, 5.2017235, 0],
        [4, 2, 0],
        [1.37712165, 5.68640671, 0.08779244],
        [1.96811929, 6.51922419, 0],
        [7, 6, 0],
        [2.19907282, 8.315542, 0],
        [7, 11, 0],
        [-8, 11, 0],
      ],
    ],
    d: 2.930427,
    outward: false,
  },
  "two bumps of a nanometre on an edge of half a metre: the loop did not close":
    {
      outlines: [
        [
          [0, 0, -0.4],
          [0.000001, 0, -0.4],
          [0.000002, 0, 0],
          [-310, 333, 0],
        ],
      ],
      d: 0.1,
      outward: true,
    },
  "a fillet whose radius is the offset but for nanometres: a hole of 50 nm was missing":
    {
      outlines: [
        [
          [0, 0, 0],
          [-1.640291, 1.735676, 0],
          [-1.564416349050589, 1.6363378279, -0.4142135624],
          [-1.5761482012458146, 1.5487315287, 0],
          [-1.6754863524, 1.4728570817, 0],
        ],
      ],
      d: 0.0625,
      outward: true,
    },
  "a half circle whose radius is the offset: what it shrinks to swept the wrong way":
    {
      outlines: [
        [
          [0, 0, 0],
          [-0.4292459305, 0.90318765, 0],
          [0.0223478945, 1.1178106153, 1],
          [-0.406898036, 2.0209982653, 0],
          [-1, 2, 0],
        ],
      ],
      d: 0.5,
      outward: true,
    },
  "four quarter circles that all but agree: the middle of their common chord, on neither, was taken for a touch":
    {
      outlines: [
        [
          [4.9723, 1.0346999021969341e-8, 0.4142140012189807],
          [1.0346999021969341e-8, 4.9723, 0.4142135635920745],
          [-4.9723, -1.0346999021969341e-8, 0.4142140012189807],
          [-1.0346999021969341e-8, -4.9723, 0.4142135635920745],
        ],
      ],
      d: 0.0277,
      outward: true,
    },
  "two tips 4 nm apart, moved by a metre: three arcs cross in another order along each, and the loop did not close":
    {
      outlines: [
        [
          [0, 0, -0.4],
          [4e-6, 0, -0.4],
          [1.193e-5, 0, 0],
          [-158, 333, 0],
        ],
      ],
      d: 1176,
      outward: true,
    },
  "the same with an edge square to them: two ways too many, one behind the other":
    {
      outlines: [
        [
          [0, 0, -0.4],
          [1.54e-6, 0, -0.4],
          [4e-6, 0, 0],
          [656, 0, 0],
          [-344, 333, 0],
        ],
      ],
      d: 1864.848,
      outward: true,
    },
  "half a slot's width less a picometre: two arcs of a nanometre were taken for one, and the whole loop was lost":
    {
      outlines: [
        [
          [0, 0, 0],
          [10, 0, 0],
          [7, 4, 0],
          [7, 0.3, 0],
          [5, 1, 0],
          [5, 0.5, 0],
          [4, 0.5, 0],
          [4, 1, 0],
          [2, 1, 0],
          [2, 4, 0],
        ],
      ],
      d: 2.499999999,
      outward: true,
    },
  "an end 0.1 nm rounder than d: it became a point beside the next edge, not on it, and the loop was lost":
    {
      outlines: [
        [
          [0, 0, 0],
          [-4.336, 1.5265, 0],
          [-4, 1, 0],
          [-0.0996, -0.2829, 1],
        ],
      ],
      d: 0.1499604697,
      outward: false,
    },
  "steps of nanometres moved by 57 nm beside edges of a metre: the whole loop was lost":
    {
      outlines: [
        [
          [0, 0, 0],
          [1.457e-5, 2.5e-7, 0],
          [2e-5, 4e-6, 0],
          [2.7e-5, 4.44e-6, 0],
          [3.549e-5, 4.72e-6, 0.4],
          [3.824e-5, 7.29e-6, 0],
          [5.475e-5, 1.9e-6, 0],
          [826, 333, 0],
        ],
      ],
      d: 5.7e-5,
      outward: true,
    },
  "a slot of twice the offset but for 0.1 nm: what is thinner than a node was called a lost loop":
    {
      outlines: [
        [
          [0, 0, 0],
          [1.83095521, 0.0276271284, 0],
          [1.82642905, 0.3275929829, 0],
          [-0.00452616, 0.2999658546, 0],
        ],
      ],
      d: 0.15,
      outward: false,
    },
  "a tip behind which two arcs cross again after 11 nm: a loop about the tip on the wrong side":
    {
      outlines: [
        [
          [1000000, -461036, 0],
          [1000117.8331, -461035.5245, 0.4],
          [1000117.8333086001, -461035.524241, 0.4],
          [1000117.8335, -461035.52443, 0],
          [1001000, -461036, 0.01],
        ],
      ],
      d: 0.001,
      outward: true,
    },
  "arcs moved by all but a nanometre of their radius, nearly tangent: their joint lay on the tangents, 0.1 nm off both":
    {
      outlines: [
        [
          [1000005, -962727, 0.13],
          [1000004.3, -962724, 0],
          [1000003, -962722, 0.1],
          [999997, -962722, 0],
          [999995.7, -962724, 0.13],
          [999995, -962727, 0.13],
          [999995.67, -962729.3, 0.1],
          [999997, -962731, 0.13],
          [1000000, -962731.75879321, 0.1316525],
          [1000002.49999999, -962731.08892, 0.1316525],
          [1000004.3301272, -962729.2587931, 0.13],
        ],
      ],
      d: 4.999999,
      outward: false,
    },
};
