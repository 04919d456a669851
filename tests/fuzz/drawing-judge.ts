/** What must hold for every drawing file, however spoilt: an answer in time, typed errors, sound geometry. */
import { hasErrors, InputError } from "../../src/base/finding.js";
import { SAME_DRAWN } from "../../src/base/tolerance.js";
import type { Drawing } from "../../src/drawing/drawing.js";
import { readDxf } from "../../src/drawing/read-dxf.js";
import { type Contour, contourArea } from "../../src/geometry/contour.js";
import { chainFaults, distanceFrom } from "../helpers/nearness.js";
import { tagsOf } from "./drawing-mutate.js";

/**
 * Seconds of processor that a file of some kilobytes may take, and for each entity that its arrays and each line or
 * arc that its curves come to: a digit more in the size of an array's ellipses makes 100,000 arcs of them.
 */
const MOST_SECONDS = 2;
const MOST_PER_ENTITY = 1e-4;
const MOST_PER_SEGMENT = 2e-5;

/** What was wrong with reading the file, `null` when nothing was; and the drawing when it was read. */
export function judge(bytes: Uint8Array): {
  fault: string | null;
  drawing: Drawing | null;
} {
  const before = process.cpuUsage();
  try {
    const drawing = readDxf(bytes);
    const { user } = process.cpuUsage(before);
    const entities = drawing.layers.reduce((sum, l) => sum + l.entities, 0);
    const segments = [...drawing.outlines, ...drawing.open].reduce(
      (sum, { contour }) => sum + contour.segments.length,
      0,
    );
    const most =
      MOST_SECONDS + MOST_PER_ENTITY * entities + MOST_PER_SEGMENT * segments;
    const slow =
      user / 1e6 > most
        ? `took ${user / 1e6} s for ${entities} entities and ${segments} segments`
        : null;
    return { fault: slow ?? unsound(drawing), drawing };
  } catch (error) {
    const { user } = process.cpuUsage(before);
    if (!(error instanceof InputError))
      return { fault: (error as Error).stack ?? String(error), drawing: null };
    if (user / 1e6 > MOST_SECONDS)
      return { fault: `took ${user / 1e6} s to refuse`, drawing: null };
    return { fault: unclear(error.message), drawing: null };
  }
}

/** A message for people: short, without the marks of a programmer's mistake. */
function unclear(message: string): string | null {
  if (
    /undefined|NaN|\[object|Infinity(?!" is not)/.test(
      message.replace(/"[^"]*"/g, ""),
    )
  )
    return `unclear message: ${message}`;
  if (message.length > 600) return `message of ${message.length} characters`;
  return null;
}

function unsound(drawing: Drawing): string | null {
  for (const f of drawing.findings) {
    const fault = unclear(f.message);
    if (fault) return fault;
  }
  const contours = [...drawing.outlines, ...drawing.open].map((o) => o.contour);
  for (const c of contours) {
    const fault = chainFaults(c)[0];
    if (fault !== undefined) return `chain: ${JSON.stringify(fault)}`;
    const numbers = c.segments.flatMap((s) => [
      ...[s.start.x, s.start.y, s.end.x, s.end.y],
      ...(s.kind === "arc" ? [s.center.x, s.center.y, s.radius, s.sweep] : []),
    ]);
    if (!numbers.every(Number.isFinite)) return "a coordinate is no number";
  }
  if (
    !hasErrors(drawing.findings) &&
    drawing.outlines.some((o) => !(contourArea(o.contour) > 0))
  )
    return "an outline runs clockwise or encloses nothing";
  return null;
}

/** Lines and circles of the model space that the drawing does not show, though nothing says why; by the text alone. */
export function missing(text: string, drawing: Drawing): string | null {
  if (drawing.findings.length > 0 || drawing.repairs.length > 0) return null;
  const tags = tagsOf(text);
  const begin = tags.findIndex(
    ([, v], i) => v === "ENTITIES" && tags[i - 1]?.[1] === "SECTION",
  );
  if (begin < 0) return null;
  const shown = [...drawing.outlines, ...drawing.open].map((o) => o.contour);
  const k = drawing.units.toMm;
  for (let i = begin; i < tags.length; i++) {
    const [code, type] = tags[i] ?? ["", ""];
    if (code !== "0" || (type !== "LINE" && type !== "CIRCLE")) continue;
    const length = tags.slice(i + 1).findIndex(([c]) => c === "0");
    const own = tags.slice(i + 1, length < 0 ? undefined : i + 1 + length);
    const first = (c: string): number =>
      Number(own.find(([own]) => own === c)?.[1]);
    if (own.some(([c]) => c === "210" || c === "230")) continue;
    const p =
      type === "LINE"
        ? {
            x: (first("10") + first("11")) / 2,
            y: (first("20") + first("21")) / 2,
          }
        : { x: first("10") + first("40"), y: first("20") };
    const at = { x: p.x * k, y: p.y * k };
    if (!shown.some((c) => isOn(c, at)))
      return `${type} ${i}: (${at.x}, ${at.y}) is on no outline, and nothing says why`;
  }
  return null;
}

function isOn(c: Contour, p: { x: number; y: number }): boolean {
  return c.segments.some((s) => distanceFrom(s, p) < SAME_DRAWN);
}

/** Whether two drawings show the same geometry, layer names aside. */
export function sameGeometry(a: Drawing, b: Drawing): boolean {
  const seen = (d: Drawing): string =>
    JSON.stringify([
      d.units.toMm,
      d.outlines.map((o) => [o.contour, o.depth, o.parent]),
      d.open.map((o) => o.contour),
      d.points.map((p) => p.at),
      d.repairs.map((r) => [r.kind, r.at]),
    ]);
  return seen(a) === seen(b);
}
