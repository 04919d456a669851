/** What is told of single entities: which, on what layer, from what line, what to do. */
import type { Finding } from "../base/finding.js";
import { placeText } from "../base/numbers.js";
import type { Contour } from "../geometry/contour.js";
import type { Segment } from "../geometry/segment.js";
import { pair, type Vec } from "../geometry/vec.js";
import { tooLarge } from "./damage.js";
import { MAX_COORDINATE } from "./limits.js";
import type { RawEntity } from "./sections.js";

export function requireNear(p: Vec, e: RawEntity): void {
  if (Math.abs(p.x) <= MAX_COORDINATE && Math.abs(p.y) <= MAX_COORDINATE)
    return;
  throw tooFar(p, e);
}

function tooFar(p: Vec, e: RawEntity): Error {
  return tooLarge(
    `has a ${e.type} (line ${e.line}) at ${placeText(pair(p))} mm, more than ${MAX_COORDINATE / 1e6} km from the origin; check its unit, or move it`,
  );
}

export function fitPointsFinding(
  e: RawEntity,
  layer: string,
  contour: Contour,
): Finding {
  const start = (contour.segments[0] as Segment).start;
  return {
    code: "drawing/fit-points",
    severity: "warning",
    message: `The SPLINE on layer ${layer} (line ${e.line}) at ${placeText(pair(start))} is given by fit points only: what runs between them is each program's own choice. It was read as the cubic through them; to be sure, save it with control points.`,
    where: pair(start),
  };
}

export function notFlatFinding(e: RawEntity, layer: string): Finding {
  return {
    code: "drawing/not-flat",
    severity: "warning",
    message: `${e.type} on layer ${layer} (line ${e.line}, perhaps others) does not lie parallel to the XY plane and was not read; draw outlines flat.`,
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
    message: `${e.type} on layer ${layer} (line ${e.line}) cannot be read: ${why}; draw it again, or delete it.`,
  };
}

export function missingBlockFinding(
  e: RawEntity,
  layer: string,
  name: string,
): Finding {
  return {
    code: "drawing/block-missing",
    severity: "error",
    message: `INSERT on layer ${layer} (line ${e.line}) names the block "${name}", which the file does not hold; bind external references, or explode the block, and save again.`,
  };
}

export function loopFinding(
  e: RawEntity,
  layer: string,
  name: string,
): Finding {
  return {
    code: "drawing/block-loop",
    severity: "error",
    message: `The block "${name}" holds itself (INSERT on layer ${layer}, line ${e.line}); explode it, or delete that insertion.`,
  };
}
