/** A die plate for the parts of a carriage clock: five different openings in one block. */
import makerjs from "makerjs";
import {
  type Corner,
  dxfText,
  rectangle,
  roundedOutline,
  roundSlot,
  type Sample,
} from "../sheet.js";

/** mm. Change a dimension and run `npx tsx samples/draw.ts` again. */
export const DIMENSIONS = {
  block: { width: 120, height: 80, radius: 4 },
  thickness: 25,
  /** 1: the hour hand's slot, with round ends. */
  hand: { length: 24, width: 3 },
  /** 2: the escape wheel's blank, teeth with rounded tips and roots. */
  wheel: { teeth: 12, outside: 13, inside: 9.5, radius: 0.4 },
  /** 3: the back cock, an L with rounded corners. */
  cock: { width: 22, height: 18, arm: 7, radius: 1 },
  /** 4: the click, a D; its lower right corner is left sharp, so that something is reported. */
  click: { radius: 8, flat: 4, corner: 0.3 },
  /** 5: the suspension bridge, an ellipse. */
  bridge: { width: 20, height: 10 },
};

export function draw(d = DIMENSIONS): Sample {
  const { block } = d;
  return {
    dxf: dxfText("mm", {
      BLOCK: {
        paths: rectangle(0, 0, block.width, block.height, block.radius),
      },
      DIE: {
        paths: [
          ...hand([24, 60]),
          ...wheel([60, 56]),
          ...cock([84, 46]),
          ...click([26, 24]),
        ],
        ellipses: [{ center: [78, 22], ...d.bridge }],
      },
      // A scribed line across the block, as drawings have them: not to be cut.
      NOTES: {
        paths: [new makerjs.paths.Line([0, 40], [block.width, 40])],
      },
    }),
    job: {
      units: "mm",
      stock: { material: "tool-steel", thickness: d.thickness },
      wire: { diameter: 0.25, material: "brass" },
      passes: 3,
      roles: { layers: { DIE: "opening", BLOCK: "stock", NOTES: "ignore" } },
    },
  };

  function hand([x, y]: readonly [number, number]): makerjs.IPath[] {
    const half = (d.hand.length - d.hand.width) / 2;
    const a = Math.PI / 6;
    const end = (k: number): readonly [number, number] => [
      x + k * half * Math.cos(a),
      y + k * half * Math.sin(a),
    ];
    return roundSlot(end(-1), end(1), d.hand.width);
  }

  function wheel([x, y]: readonly [number, number]): makerjs.IPath[] {
    const { teeth, outside, inside, radius } = d.wheel;
    const corners = Array.from({ length: 4 * teeth }, (_, i): Corner => {
      // Two corners at the tip, two at the root, a quarter of a pitch apart.
      const a = ((2 * Math.PI) / teeth) * ((i + 0.5) / 4);
      const r = i % 4 < 2 ? outside : inside;
      return [x + r * Math.cos(a), y + r * Math.sin(a), radius];
    });
    return roundedOutline(corners);
  }

  function cock([x, y]: readonly [number, number]): makerjs.IPath[] {
    const { width: w, height: h, arm, radius: r } = d.cock;
    return roundedOutline([
      [x, y, r],
      [x + w, y, r],
      [x + w, y + arm, r],
      [x + arm, y + arm, r],
      [x + arm, y + h, r],
      [x, y + h, r],
    ]);
  }

  function click([x, y]: readonly [number, number]): makerjs.IPath[] {
    const { radius: r, flat, corner } = d.click;
    // The flat cuts the circle this far below its centre.
    const half = Math.sqrt(r * r - flat * flat);
    const angle = (Math.atan2(flat, half) * 180) / Math.PI;
    const line = new makerjs.paths.Line(
      [x - half, y - flat],
      [x + half, y - flat],
    );
    const arc = new makerjs.paths.Arc([x, y], r, 360 - angle, 180 + angle);
    // Only the left end is rounded: seen from the left half of the line, the arc meets it there.
    const left = new makerjs.paths.Arc([x, y], r, 90, 180 + angle);
    const right = new makerjs.paths.Arc([x, y], r, arc.startAngle, 90);
    const rounded = makerjs.path.fillet(line, left, corner);
    if (!rounded) throw new RangeError("no room for the corner's radius");
    return [line, left, right, rounded];
  }
}
