/** A stripper plate drawn in inches: a slot, a hexagon, a keyhole, and a stop pin's hole that is cut away whole. */
import makerjs from "makerjs";
import {
  type Corner,
  dxfText,
  rectangle,
  roundedOutline,
  roundSlot,
  type Sample,
} from "../sheet.js";

/** Inches. Change a dimension and run `npx tsx samples/draw.ts` again. */
export const DIMENSIONS = {
  plate: { width: 4, height: 2.5, radius: 0.125 },
  thickness: 0.75,
  slot: { length: 1.25, width: 0.25 },
  hexagon: { acrossFlats: 0.75, corner: 0.015 },
  keyhole: { head: 0.5, neck: 0.1875, length: 0.75, corner: 0.03125 },
  /** Its slug would be 0.0035 in², less than `minSlugArea`. */
  pin: { diameter: 0.1 },
  wire: 0.01,
  minSlugArea: 0.005,
};

export function draw(d = DIMENSIONS): Sample {
  const { plate } = d;
  return {
    dxf: dxfText("in", {
      PLATE: {
        paths: rectangle(0, 0, plate.width, plate.height, plate.radius),
      },
      WINDOWS: {
        paths: [
          ...slot(0.9, 1.8),
          ...hexagon(2.75, 1.6),
          ...keyhole(1.2, 0.75),
          new makerjs.paths.Circle([2.75, 0.7], d.pin.diameter / 2),
        ],
      },
    }),
    job: {
      units: "in",
      stock: { material: "tool-steel", thickness: d.thickness },
      wire: { diameter: d.wire, material: "brass" },
      passes: [
        { kind: "rough", gap: 0.0012, leave: 0.002 },
        { kind: "skim", gap: 0.0005, leave: 0 },
      ],
      roles: { layers: { PLATE: "stock", WINDOWS: "opening" } },
      startHoles: { diameter: 0.04, clearance: 0.02, grid: 0.025 },
      lead: { overlap: 0.02 },
      tabs: { minSlugArea: d.minSlugArea },
    },
  };

  function slot(x: number, y: number): makerjs.IPath[] {
    const half = (d.slot.length - d.slot.width) / 2;
    return roundSlot([x - half, y], [x + half, y], d.slot.width);
  }

  function hexagon(x: number, y: number): makerjs.IPath[] {
    const r = d.hexagon.acrossFlats / Math.sqrt(3);
    return roundedOutline(
      Array.from({ length: 6 }, (_, i): Corner => {
        const a = (i * Math.PI) / 3;
        return [x + r * Math.cos(a), y + r * Math.sin(a), d.hexagon.corner];
      }),
    );
  }

  /** Round head with a straight neck to the right. */
  function keyhole(x: number, y: number): makerjs.IPath[] {
    const { head, neck, length, corner } = d.keyhole;
    const r = head / 2;
    const half = neck / 2;
    const mouth = Math.sqrt(r * r - half * half);
    const angle = (Math.atan2(half, mouth) * 180) / Math.PI;
    const bottom = new makerjs.paths.Line(
      [x + mouth, y - half],
      [x + length, y - half],
    );
    const end = new makerjs.paths.Line(
      [x + length, y - half],
      [x + length, y + half],
    );
    const top = new makerjs.paths.Line(
      [x + length, y + half],
      [x + mouth, y + half],
    );
    const corners = [
      makerjs.path.fillet(bottom, end, corner),
      makerjs.path.fillet(end, top, corner),
    ].filter((arc) => arc !== undefined);
    return [
      new makerjs.paths.Arc([x, y], r, angle, 360 - angle),
      bottom,
      end,
      top,
      ...corners,
    ];
  }
}
