/** What is told of single entities: which, on what layer, from what line, what to do. */
import type { Finding } from "../../base/finding.js";
import { nameText } from "../../base/message.js";
import { placeText, trimmed } from "../../base/numbers.js";
import type { Contour } from "../../geometry/contour.js";
import type { Segment } from "../../geometry/segment.js";
import { pair, type Vec } from "../../geometry/vec.js";
import { tooLarge } from "../damage.js";
import { MAX_COORDINATE } from "../limits.js";
import type { FitPoints } from "../shape.js";
import type { RawEntity } from "./sections.js";

export function requireNear(p: Vec, e: RawEntity): void {
  if (Math.abs(p.x) <= MAX_COORDINATE && Math.abs(p.y) <= MAX_COORDINATE)
    return;
  throw tooLarge(
    `has a ${e.type} (line ${e.line}) more than ${MAX_COORDINATE / 1e6} km from the origin; check its unit, or move it`,
  );
}

export function fitPointsFinding(
  e: RawEntity,
  layer: string,
  contour: Contour,
  { course, doubt }: FitPoints,
): Finding {
  const where = pair((contour.segments[0] as Segment).start);
  return {
    code: "drawing/fit-points",
    severity: "warning",
    message: `The SPLINE on layer ${nameText(layer)} (line ${e.line}) at ${placeText(where)} is given by fit points only: what runs between them is each program's own choice. It was read as ${course}; another usual course runs up to ${trimmed(doubt, 4)} mm from it. To be sure, save it with control points.`,
    where,
    layers: [layer],
  };
}

export function notFlatFinding(e: RawEntity, layer: string): Finding {
  return {
    code: "drawing/not-flat",
    severity: "warning",
    message: `${e.type} on layer ${nameText(layer)} (line ${e.line}, perhaps others) does not lie parallel to the XY plane and was not read; draw outlines flat.`,
    layers: [layer],
  };
}

export function faultyFinding(
  e: RawEntity,
  layer: string,
  why: string,
): Finding {
  return {
    code: "drawing/bad-entity",
    severity: "error",
    message: `${e.type} on layer ${nameText(layer)} (line ${e.line}) cannot be read: ${why}; draw it again, or delete it.`,
    layers: [layer],
  };
}

export function blockFinding(
  e: RawEntity,
  layer: string,
  code: "drawing/block-missing" | "drawing/block-loop" | "drawing/block-twice",
  message: string,
): Finding {
  return {
    code,
    severity: "error",
    message: `INSERT on layer ${nameText(layer)} (line ${e.line}) ${message}`,
    layers: [layer],
  };
}
