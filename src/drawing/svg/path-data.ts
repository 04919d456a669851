/** Path data becomes steps in absolute coordinates, through svg-pathdata: the only file that imports it. */
import { type SVGCommand, SVGPathData } from "svg-pathdata";
import type { Vec } from "../../geometry/vec.js";
import { MAX_POINTS_PER_ENTITY } from "../limits.js";
import type { Step } from "./steps.js";

/** @returns a text that says why, when it is no path data. */
export function pathSteps(d: string): Step[] | string {
  if (d.trim() === "none") return [];
  const commands = absoluteCommands(d);
  if (typeof commands === "string") return commands;
  if (commands.length > MAX_POINTS_PER_ENTITY)
    return `it has more than ${MAX_POINTS_PER_ENTITY} commands`;
  const steps: Step[] = [];
  let at: Vec = { x: 0, y: 0 };
  let start = at;
  for (const command of commands) {
    const step = stepOf(command, at);
    if (step === null) return "it has a command without a meaning";
    steps.push(step);
    if (step.kind === "close") at = start;
    else at = step.kind === "curve" ? (step.points.at(-1) as Vec) : step.to;
    if (step.kind === "move") start = at;
    if (!Number.isFinite(at.x) || !Number.isFinite(at.y))
      return "a coordinate is beyond all measure";
  }
  return steps;
}

/** Absolute, with the control points of smooth joints written out. */
function absoluteCommands(d: string): readonly SVGCommand[] | string {
  try {
    return new SVGPathData(d).toAbs().normalizeST().commands;
  } catch (error) {
    // Whatever stands in the text, the parser has nothing else to complain of.
    return `its path data is wrong (${(error as Error).message.replace(/\.$/, "")})`;
  }
}

function stepOf(c: SVGCommand, at: Vec): Step | null {
  switch (c.type) {
    case SVGPathData.MOVE_TO:
      return { kind: "move", to: { x: c.x, y: c.y } };
    case SVGPathData.LINE_TO:
      return { kind: "line", to: { x: c.x, y: c.y } };
    case SVGPathData.HORIZ_LINE_TO:
      return { kind: "line", to: { x: c.x, y: at.y } };
    case SVGPathData.VERT_LINE_TO:
      return { kind: "line", to: { x: at.x, y: c.y } };
    case SVGPathData.CURVE_TO:
      return {
        kind: "curve",
        points: [
          { x: c.x1, y: c.y1 },
          { x: c.x2, y: c.y2 },
          { x: c.x, y: c.y },
        ],
      };
    case SVGPathData.QUAD_TO:
      return {
        kind: "curve",
        points: [
          { x: c.x1, y: c.y1 },
          { x: c.x, y: c.y },
        ],
      };
    case SVGPathData.ARC:
      return {
        kind: "arc",
        rx: Math.abs(c.rX),
        ry: Math.abs(c.rY),
        rotation: c.xRot,
        large: c.lArcFlag === 1,
        sweep: c.sweepFlag === 1,
        to: { x: c.x, y: c.y },
      };
    case SVGPathData.CLOSE_PATH:
      return { kind: "close" };
    default:
      return null;
  }
}
