/** A hub for a striking train: bore with a parallel keyway, to be cut into a turned blank. */
import makerjs from "makerjs";
import { dxfText, type Sample } from "../sheet.js";

/** mm. Change a dimension and run `npx tsx samples/draw.ts` again. */
export const DIMENSIONS = {
  /** Nominal bore; 25 H7 is 0/+0.021 (ISO 286). */
  bore: 25,
  /** DIN 6885-1 for shafts over 22 to 30: key 8 × 7, keyway width b and hub depth t2. */
  keyWidth: 8,
  hubDepth: 3.3,
  /** Radius in the corners of the keyway's floor. */
  floorRadius: 0.25,
  hub: 45,
  thickness: 30,
  startHole: 3,
};

export function draw(d = DIMENSIONS): Sample {
  const r = d.bore / 2;
  const half = d.keyWidth / 2;
  // The keyway's floor lies bore + t2 from the opposite wall; its sides meet the bore at this height.
  const floor = r + d.hubDepth;
  const mouth = Math.sqrt(r * r - half * half);
  const angle = (Math.atan2(mouth, half) * 180) / Math.PI;
  const right = new makerjs.paths.Line([half, mouth], [half, floor]);
  const top = new makerjs.paths.Line([half, floor], [-half, floor]);
  const left = new makerjs.paths.Line([-half, floor], [-half, mouth]);
  const corners = [
    makerjs.path.fillet(right, top, d.floorRadius),
    makerjs.path.fillet(top, left, d.floorRadius),
  ].filter((arc) => arc !== undefined);
  return {
    dxf: dxfText("mm", {
      HUB: { paths: [new makerjs.paths.Circle([0, 0], d.hub / 2)] },
      BORE: {
        paths: [
          new makerjs.paths.Arc([0, 0], r, 180 - angle, angle),
          right,
          top,
          left,
          ...corners,
        ],
      },
      HOLES: { paths: [new makerjs.paths.Circle([0, 0], d.startHole / 2)] },
    }),
    job: {
      units: "mm",
      stock: { material: "tool-steel", thickness: d.thickness },
      wire: { diameter: 0.25, material: "brass" },
      passes: 3,
      roles: { layers: { HUB: "stock", BORE: "opening", HOLES: "ignore" } },
      startHoles: { layer: "HOLES" },
    },
  };
}
