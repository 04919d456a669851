/**
 * Frames round the work: an outline that nobody cuts turns what lies in it inside out, openings into parts. Text tells
 * a frame (`sheet-layers.ts`), but many frames lie on a layer without any.
 */
import type { Finding } from "../../base/finding.js";
import { nameText } from "../../base/message.js";
import { placeText, trimmed } from "../../base/numbers.js";
import { MM_PER_INCH } from "../../base/units.js";
import type { Drawing, Outline } from "../../drawing/drawing.js";
import {
  type Contour,
  contourArea,
  contourBox,
} from "../../geometry/contour.js";
import { pair } from "../../geometry/vec.js";
import type { Job } from "../job/job.js";
import type { OutlineRole } from "./drawn-marks.js";
import { isSettled, isToCut } from "./sheet-layers.js";

/**
 * For each outermost outline on a layer that nobody has picked or given a role: an error where it has the size of a
 * sheet of paper and holds anything, a warning where what it holds would be a plate with holes without it.
 */
export function frameFindings(
  { outlines }: Drawing,
  roles: readonly OutlineRole[],
  job: Job,
): Finding[] {
  const held = heldBy(outlines, roles);
  return outlines.flatMap((frame, i) => {
    if (frame.depth > 0 || !isToCut(roles[i]) || isSettled(frame.layer, job))
      return [];
    const right = held.get(i) ?? [];
    if (right.length === 0) return [];
    const sheet = sheetOf(frame.contour);
    if (sheet !== null) return [sheetFinding(frame, sheet, right.length)];
    const plate = right.find((k) => {
      const { layer } = outlines[k] as Outline;
      return (
        layer !== frame.layer &&
        !isSettled(layer, job) &&
        held.get(k)?.some((n) => (outlines[n] as Outline).layer === layer)
      );
    });
    // Who says that the outermost is the block's edge knows what lies around the work.
    return plate === undefined || job.roles.outer === "stock"
      ? []
      : [aroundFinding(frame, outlines[plate] as Outline, roles[plate])];
  });
}

/** What is to be cut right inside each outline, by its index. */
function heldBy(
  outlines: readonly Outline[],
  roles: readonly OutlineRole[],
): ReadonlyMap<number, readonly number[]> {
  const held = new Map<number, number[]>();
  outlines.forEach(({ parent }, i) => {
    if (parent === null || !isToCut(roles[i])) return;
    const list = held.get(parent) ?? [];
    list.push(i);
    held.set(parent, list);
  });
  return held;
}

/** Sheets of ISO 216 (A0 to A4) and ASME Y14.1 (A to E), mm. */
const SHEETS: readonly (readonly [name: string, w: number, h: number])[] = [
  ["A0", 1189, 841],
  ["A1", 841, 594],
  ["A2", 594, 420],
  ["A3", 420, 297],
  ["A4", 297, 210],
  ["ANSI A", 11 * MM_PER_INCH, 8.5 * MM_PER_INCH],
  ["ANSI B", 17 * MM_PER_INCH, 11 * MM_PER_INCH],
  ["ANSI C", 22 * MM_PER_INCH, 17 * MM_PER_INCH],
  ["ANSI D", 34 * MM_PER_INCH, 22 * MM_PER_INCH],
  ["ANSI E", 44 * MM_PER_INCH, 34 * MM_PER_INCH],
];

/** Scales at which a sheet is drawn round work at 1:1, or work is drawn to fit a sheet. */
const SCALES = [1, 10, 0.1, 2, 5, 0.5, 0.2];

/** Sides of sheets agree with their standard to this share: they are drawn by numbers, not by eye. */
const SHEET_SHARE = 1e-4;

/** The sheet that the rectangle is, in words, or `null`. */
function sheetOf(c: Contour): string | null {
  if (c.segments.length !== 4) return null;
  const { minX, minY, maxX, maxY } = contourBox(c);
  const w = maxX - minX;
  const h = maxY - minY;
  const same = (a: number, b: number): boolean =>
    Math.abs(a - b) <= SHEET_SHARE * b;
  if (!same(contourArea(c), w * h)) return null;
  for (const scale of SCALES)
    for (const [name, long, short] of SHEETS)
      if (
        same(Math.max(w, h), scale * long) &&
        same(Math.min(w, h), scale * short)
      )
        return `${trimmed(w, 2)} × ${trimmed(h, 2)} mm, the size of ${name}${scale === 1 ? "" : ` times ${scale}`}`;
  return null;
}

function sheetFinding(frame: Outline, sheet: string, held: number): Finding {
  const { layer } = frame;
  return {
    code: "role/frame",
    severity: "error",
    message: `${called(frame)} is ${sheet}, around ${held} ${held === 1 ? "outline" : "outlines"}: if it is the edge of a sheet, what is in it would be cut inside out, openings as parts. Leave its layer out with --skip-layer or the role ignore, or delete it; if it is to be cut, or is the block's edge, give layer ${nameText(layer)} its role in roles.layers.`,
    where: someplace(frame),
    layers: [layer],
  };
}

function aroundFinding(
  frame: Outline,
  plate: Outline,
  role: OutlineRole | undefined,
): Finding {
  return {
    code: "role/frame",
    severity: "warning",
    message: `${called(frame)} lies around ${plate.id} on layer ${nameText(plate.layer)}, which therefore is ${role === "part" ? "a part and what lies in it openings" : "an opening and what lies in it parts"}; without it, that would be the other way round. If it is a frame, leave layer ${nameText(frame.layer)} out with --skip-layer or the role ignore; if it is the block's edge, the role stock says so; if it is to be cut as it stands, give it its role in roles.layers.`,
    where: someplace(frame),
    layers: [frame.layer],
  };
}

function called({ id, layer, contour }: Outline): string {
  const { minX, minY } = contourBox(contour);
  return `Outline ${id} on layer ${nameText(layer)}, from ${placeText([minX, minY])},`;
}

function someplace({ contour }: Outline): readonly [number, number] {
  const { minX, minY } = contourBox(contour);
  return pair({ x: minX, y: minY });
}
