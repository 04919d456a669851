/** A gauge in the shape of a spur gear with true involute flanks, cut free of a blank; its bore is cut first. */
import makerjs from "makerjs";
import { dxfText, type Sample, type Spline } from "../sheet.js";

/** mm and degrees. Change a dimension and run `npx tsx samples/draw.ts` again. */
export const DIMENSIONS = {
  module: 2,
  teeth: 20,
  pressureAngle: 20,
  /** ISO 53 profile A: tip at 1 m, root at 1.25 m, fillet 0.38 m. */
  addendum: 1,
  dedendum: 1.25,
  rootFillet: 0.38,
  bore: 12,
  blank: 56,
  thickness: 10,
};

/** Spans of each flank's spline: at eight the spline is within 0.01 µm of the involute. */
const SPANS = 8;

export function draw(d = DIMENSIONS): Sample {
  const pitch = (d.module * d.teeth) / 2;
  const tip = pitch + d.addendum * d.module;
  const root = pitch - d.dedendum * d.module;
  const fillet = d.rootFillet * d.module;
  const alpha = (d.pressureAngle * Math.PI) / 180;
  const base = pitch * Math.cos(alpha);
  const involute = Math.tan(alpha) - alpha;
  // Half a tooth seen from the gear's centre: at the base circle it is wider by the involute of the pressure angle.
  const halfAtBase = Math.PI / (2 * d.teeth) + involute;
  const rollAtTip = Math.sqrt((tip / base) ** 2 - 1);
  const halfAtTip = halfAtBase - (rollAtTip - Math.atan(rollAtTip));
  // Below the base circle there is no involute: a radial line, then the fillet, tangent to it and to the root circle.
  const filletCentre = root + fillet;
  const filletTurn = Math.asin(fillet / filletCentre);
  const radialFrom = Math.sqrt(filletCentre ** 2 - fillet ** 2);
  if (radialFrom > base)
    throw new RangeError("the fillet reaches above the base circle");

  const paths: makerjs.IPath[] = [];
  const splines: Spline[] = [];
  for (let tooth = 0; tooth < d.teeth; tooth++) {
    const middle = (2 * Math.PI * tooth) / d.teeth;
    const gap = middle + Math.PI / d.teeth;
    for (const side of [1, -1] as const) {
      const foot = middle + side * halfAtBase;
      splines.push(flank(foot, side));
      paths.push(
        new makerjs.paths.Line(polar(radialFrom, foot), polar(base, foot)),
        filletArc(foot, side),
      );
    }
    paths.push(
      arc(tip, middle - halfAtTip, middle + halfAtTip),
      arc(
        root,
        middle + halfAtBase + filletTurn,
        2 * gap - (middle + halfAtBase + filletTurn),
      ),
    );
  }
  return {
    dxf: dxfText("mm", {
      BLANK: { paths: [new makerjs.paths.Circle([0, 0], d.blank / 2)] },
      GEAR: { paths, splines },
      BORE: { paths: [new makerjs.paths.Circle([0, 0], d.bore / 2)] },
    }),
    job: {
      units: "mm",
      stock: { material: "tool-steel", thickness: d.thickness },
      wire: { diameter: 0.25, material: "brass" },
      passes: 4,
      roles: {
        layers: { BLANK: "stock", GEAR: "part", BORE: "opening" },
      },
    },
  };

  /** Involute of the base circle from its foot to the tip circle; side +1 bends towards smaller angles. */
  function flank(foot: number, side: 1 | -1): Spline {
    // P(t) = base·(cos t + t sin t, sin t - t cos t), P'(t) = base·t·(cos t, sin t): t is the roll angle.
    const place = (t: number): makerjs.IPoint =>
      turned(
        base * (Math.cos(t) + t * Math.sin(t)),
        base * (Math.sin(t) - t * Math.cos(t)),
      );
    const slope = (t: number): makerjs.IPoint =>
      turned(base * t * Math.cos(t), base * t * Math.sin(t));
    const turned = (x: number, y: number): makerjs.IPoint => {
      const v = -side * y;
      return [
        x * Math.cos(foot) - v * Math.sin(foot),
        x * Math.sin(foot) + v * Math.cos(foot),
      ];
    };
    return hermiteSpline(place, slope, rollAtTip);
  }

  /** From the radial line into the root circle, centre in the tooth space. */
  function filletArc(foot: number, side: 1 | -1): makerjs.IPath {
    const direction = foot + side * filletTurn;
    const centre = polar(filletCentre, direction);
    const degrees = (angle: number): number => (angle * 180) / Math.PI;
    // Towards the line it looks square to it, towards the root straight inward.
    const towardsLine = degrees(foot - (side * Math.PI) / 2);
    const inward = degrees(direction + Math.PI);
    return side === 1
      ? new makerjs.paths.Arc(centre, fillet, inward, towardsLine + 360)
      : new makerjs.paths.Arc(centre, fillet, towardsLine, inward);
  }
}

/** Cubic through places and slopes at even steps of 0 to `end`: knots three deep, so that each span is its own cubic. */
function hermiteSpline(
  place: (t: number) => makerjs.IPoint,
  slope: (t: number) => makerjs.IPoint,
  end: number,
): Spline {
  const points: makerjs.IPoint[] = [place(0)];
  const knots: number[] = [0, 0, 0, 0];
  const step = end / SPANS;
  for (let i = 0; i < SPANS; i++) {
    const [a, b] = [i * step, (i + 1) * step];
    points.push(
      reach(place(a), slope(a), step / 3),
      reach(place(b), slope(b), -step / 3),
      place(b),
    );
    knots.push(...(i === SPANS - 1 ? [b, b, b, b] : [b, b, b]));
  }
  return { knots, points };
}

function reach(
  p: makerjs.IPoint,
  d: makerjs.IPoint,
  k: number,
): makerjs.IPoint {
  return [
    (p[0] as number) + k * (d[0] as number),
    (p[1] as number) + k * (d[1] as number),
  ];
}

function polar(radius: number, angle: number): makerjs.IPoint {
  return [radius * Math.cos(angle), radius * Math.sin(angle)];
}

function arc(radius: number, from: number, to: number): makerjs.IPath {
  const degrees = (angle: number): number => (angle * 180) / Math.PI;
  return new makerjs.paths.Arc([0, 0], radius, degrees(from), degrees(to));
}
