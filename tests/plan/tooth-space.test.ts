import { expect, it } from "vitest";
import { polygonContour } from "../../src/geometry/contour.js";
import { vec } from "../../src/geometry/vec.js";
import { feature, layoutOf } from "../helpers/layouts.js";
import { proved } from "../helpers/proved.js";

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
