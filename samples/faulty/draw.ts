/** A drawing as it should not be: it must end in clear findings and no program. */
import makerjs from "makerjs";
import { dxfText, rectangle, roundSlot, type Sample } from "../sheet.js";

/** mm. Change a dimension and run `npx tsx samples/draw.ts` again. */
export const DIMENSIONS = {
  block: { width: 80, height: 50 },
  thickness: 20,
  /** Small enough to be closed, and said: below the 0.01 mm at which ends are joined. */
  smallGap: 0.006,
  /** Too large to be guessed at. */
  largeGap: 0.5,
  /** Narrower than any kerf of a 0.25 mm wire. */
  slotWidth: 0.22,
};

export function draw(d = DIMENSIONS): Sample {
  const { block } = d;
  const healed = boxWithGap(8, 28, 16, 14, d.smallGap);
  return {
    dxf: dxfText("mm", {
      BLOCK: { paths: rectangle(0, 0, block.width, block.height, 2) },
      DIE: {
        paths: [
          ...healed,
          // One side drawn twice, the second time the other way.
          new makerjs.paths.Line([24, 42], [24, 28]),
          // A line from a point to itself.
          new makerjs.paths.Line([40, 12], [40, 12]),
          // An outline that does not close.
          ...boxWithGap(40, 28, 16, 14, d.largeGap),
          // A scrap left over from construction.
          new makerjs.paths.Line([64, 30], [72, 38]),
          // A slot the wire does not fit into.
          ...roundSlot([12, 12], [32, 12], d.slotWidth),
        ],
      },
    }),
    job: {
      units: "mm",
      stock: { material: "tool-steel", thickness: d.thickness },
      wire: { diameter: 0.25, material: "brass" },
      passes: 3,
      roles: { layers: { DIE: "opening", BLOCK: "stock" } },
    },
  };
}

/** A rectangle whose left side ends short of its start. */
function boxWithGap(
  x: number,
  y: number,
  width: number,
  height: number,
  gap: number,
): makerjs.IPath[] {
  const corners: makerjs.IPoint[] = [
    [x, y],
    [x + width, y],
    [x + width, y + height],
    [x, y + height],
    [x, y + gap],
  ];
  return corners
    .slice(1)
    .map((p, i) => new makerjs.paths.Line(corners[i] as makerjs.IPoint, p));
}
