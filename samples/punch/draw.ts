/** A punch for a hand's spade: an outline with many radii, cut free of its block. */
import {
  type Corner,
  dxfText,
  rectangle,
  roundedOutline,
  type Sample,
} from "../sheet.js";

/** mm. Change a dimension and run `npx tsx samples/draw.ts` again. */
export const DIMENSIONS = {
  /** Corners of the right half from the foot up, each with its radius. */
  half: [
    [5, 0, 0.5],
    [5, 9, 1.5],
    [2.5, 13, 3],
    [2.5, 19, 2],
    [8, 24, 4],
    [6, 31, 2.5],
  ] as readonly Corner[],
  /** The tip, on the middle line. */
  tip: [0, 38, 0.8] as Corner,
  block: { width: 40, height: 60 },
  thickness: 50,
};

export function draw(d = DIMENSIONS): Sample {
  const { block } = d;
  const mirrored = d.half.map(([x, y, r]): Corner => [-x, y, r]).reverse();
  const below = (block.height - d.tip[1]) / 2;
  return {
    dxf: dxfText("mm", {
      BLOCK: {
        paths: rectangle(
          -block.width / 2,
          -below,
          block.width,
          block.height,
          2,
        ),
      },
      PUNCH: { paths: roundedOutline([...d.half, d.tip, ...mirrored]) },
    }),
    job: {
      units: "mm",
      stock: { material: "tool-steel", thickness: d.thickness },
      wire: { diameter: 0.25, material: "coated-brass" },
      passes: 3,
      roles: { layers: { BLOCK: "stock", PUNCH: "part" } },
    },
  };
}
