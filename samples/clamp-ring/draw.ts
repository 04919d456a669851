/** A ring that clamps the arbor of a striking train: slit from its bore to the outside, and half through as a hinge. */
import makerjs from "makerjs";
import { dxfText, type Sample } from "../sheet.js";

/** mm. Change a dimension and run `npx tsx samples/draw.ts` again. */
export const DIMENSIONS = {
  bore: 16,
  outside: 40,
  /** Metal that stays between the end of the hinge's slit and the outside. */
  hinge: 3,
  blank: 60,
  thickness: 12,
};

export function draw(d = DIMENSIONS): Sample {
  const bore = d.bore / 2;
  const outside = d.outside / 2;
  return {
    dxf: dxfText("mm", {
      BLANK: { paths: [new makerjs.paths.Circle([0, 0], d.blank / 2)] },
      RING: { paths: [new makerjs.paths.Circle([0, 0], outside)] },
      BORE: { paths: [new makerjs.paths.Circle([0, 0], bore)] },
      SLIT: {
        paths: [
          new makerjs.paths.Line([bore, 0], [outside, 0]),
          new makerjs.paths.Line([-bore, 0], [d.hinge - outside, 0]),
        ],
      },
    }),
    job: {
      units: "mm",
      stock: { material: "tool-steel", thickness: d.thickness },
      wire: { diameter: 0.25, material: "brass" },
      passes: 3,
      roles: {
        layers: {
          BLANK: "stock",
          RING: "part",
          BORE: "opening",
          SLIT: "slit",
        },
      },
    },
  };
}
