import { expect, it } from "vitest";
import { type Contour, polygonContour } from "../../../src/geometry/contour.js";
import { vec } from "../../../src/geometry/vec.js";
import { settleJob } from "../../../src/plan/job/job.js";
import { makePlan } from "../../../src/plan/make-plan.js";
import { feature, layoutOf } from "../../helpers/layouts.js";
import { proved } from "../../helpers/proved.js";
import { bulged } from "../../helpers/shapes.js";

/** A toothed opening, 34 short straight flanks, tips and roots, in no relation to the grid. */
const TOOTHED: readonly (readonly [number, number])[] = [
  [-38.211, 29.732],
  [-38.938, 29.444],
  [-38.844, 28.902],
  [-38.063, 28.874],
  [-37.825, 28.232],
  [-38.399, 27.701],
  [-38.116, 27.229],
  [-37.377, 27.486],
  [-36.923, 26.973],
  [-37.266, 26.271],
  [-36.832, 25.933],
  [-36.236, 26.439],
  [-35.627, 26.125],
  [-35.693, 25.347],
  [-35.166, 25.189],
  [-34.793, 25.876],
  [-34.113, 25.803],
  [-33.893, 25.053],
  [-33.345, 25.096],
  [-33.245, 25.871],
  [-32.584, 26.049],
  [-32.108, 25.429],
  [-31.612, 25.668],
  [-31.799, 26.426],
  [-31.247, 26.831],
  [-30.58, 26.425],
  [-30.204, 26.826],
  [-30.652, 27.466],
  [-30.284, 28.043],
  [-29.514, 27.906],
  [-29.308, 28.416],
  [-29.958, 28.851],
  [-29.823, 29.522],
  [-29.056, 29.671],
  [-29.048, 30.221],
  [-29.811, 30.392],
  [-29.927, 31.067],
  [-29.266, 31.483],
  [-29.457, 31.999],
  [-30.23, 31.883],
  [-30.582, 32.47],
  [-30.116, 33.097],
  [-30.481, 33.509],
  [-31.16, 33.121],
  [-31.7, 33.541],
  [-31.492, 34.295],
  [-31.981, 34.547],
  [-32.474, 33.94],
  [-33.13, 34.136],
  [-33.208, 34.914],
  [-33.755, 34.973],
  [-33.995, 34.229],
  [-34.678, 34.175],
  [-35.031, 34.872],
  [-35.563, 34.729],
  [-35.518, 33.949],
  [-36.135, 33.652],
  [-36.717, 34.174],
  [-37.16, 33.849],
  [-36.837, 33.137],
  [-37.305, 32.638],
  [-38.036, 32.915],
  [-38.332, 32.451],
  [-37.774, 31.904],
  [-38.03, 31.269],
  [-38.812, 31.263],
  [-38.92, 30.724],
  [-38.202, 30.416],
];

it("a lead into a tooth space that the wire just enters cuts no chip off with nobody there", () => {
  const outline = polygonContour(TOOTHED.map(([x, y]) => vec(x, y)));
  const { proof } = proved(layoutOf(feature("opening-1", "opening", outline)), {
    stock: { thickness: 20 },
    wire: { diameter: 0.15 },
    passes: [
      { kind: "rough", gap: 0.0355, leave: 0.0596 },
      { kind: "skim", gap: 0.015, leave: 0.012 },
      { kind: "skim", gap: 0.01, leave: 0 },
    ],
    startHoles: { diameter: 0.4, clearance: 0.2135, grid: 0.25 },
    lead: { overlap: 1 },
  });
  expect(proof.loosePieces.length).toBeGreaterThan(0);
  expect(proof.loosePieces.every((p) => p.attended)).toBe(true);
});

/** An opening with 14 tooth spaces that widen outward from 3.72 to 4.95 mm off its middle, over a share of the pitch. */
function spaced(space: number): Contour {
  const pitch = (2 * Math.PI) / 14;
  const land = (1 - space) * pitch;
  return bulged(
    Array.from({ length: 14 }, (_, i) => i * pitch + 0.1).flatMap((a) =>
      (
        [
          [3.718, a, Math.tan(land / 4)],
          [3.718, a + land, 0],
          [4.95, a + land, Math.tan((space * pitch) / 4)],
          [4.95, a + pitch, 0],
        ] as const
      ).map(
        ([r, angle, b]) =>
          [r * Math.cos(angle), r * Math.sin(angle), b] as const,
      ),
    ),
  );
}

const wide = {
  wire: { diameter: 0.3 },
  passes: [
    { gap: 0.033, leave: 0.06 },
    { gap: 0.0165, leave: 0.0055 },
    { gap: 0.011, leave: 0 },
  ],
  startHoles: { diameter: 0.4, clearance: 0.237, grid: 0.25 },
};

it("crumbs that the kerf leaves in tooth spaces want no tab: they pass through the kerf", () => {
  const layout = layoutOf(feature("opening-1", "opening", spaced(0.465)));
  const { plan, proof } = proved(layout, wide);
  expect(plan.features[0]?.further).toEqual([]);
  expect(proof.findings.some((f) => f.code === "proof/crumb")).toBe(true);
});

it("where the kerf leaves slugs in tooth spaces, too small for a tab of their own, the inside is cut away whole", () => {
  const layout = layoutOf(feature("opening-1", "opening", spaced(0.48)));
  const { plan, proof } = proved(layout, wide);
  expect(plan.features[0]?.tab).toBeNull();
  expect(proof.loosePieces).toEqual([]);
});

it("where that would be too much work, it is said which piece would fall, and what to do", () => {
  // A square of 1.1 mm behind a neck of 0.7 mm: of that the kerf, 0.426 mm on every side, leaves a piece no wider than 0.248 mm.
  const xy = [
    [0, 0],
    [40, 0],
    [40, 14.65],
    [41, 14.65],
    [41, 14.45],
    [42.1, 14.45],
    [42.1, 15.55],
    [41, 15.55],
    [41, 15.35],
    [40, 15.35],
    [40, 30],
    [0, 30],
  ] as const;
  const outline = polygonContour(xy.map(([x, y]) => vec(x, y)));
  const layout = layoutOf(feature("opening-1", "opening", outline));
  const errors = makePlan(layout, settleJob(wide), "x").findings.filter(
    (f) => f.severity === "error",
  );
  expect(errors.map((f) => f.code)).toEqual(["slug/parted"]);
  expect(errors[0]?.where?.[0]).toBeGreaterThan(41.3);
  expect(errors[0]?.where?.[0]).toBeLessThan(41.674);
  expect(errors[0]?.where?.[1]).toBeCloseTo(15, 6);
  // The great piece beside it alone has 39.148 × 29.148 = 1141.1 mm².
  expect(errors[0]?.message).toContain("minSlugArea of 1142 mm² or more");
});
