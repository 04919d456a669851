/** What is told of a drawing's entities in sum: what was left alone though it may be an outline, heights, widths. */
import type { Finding } from "../base/finding.js";
import { nameText } from "../base/message.js";
import { trimmed } from "../base/numbers.js";
import { OUT_OF_PLANE } from "../base/tolerance.js";
import { type Entity, number, numbersOf } from "./dxf/entity.js";

export interface Remarks {
  /** An entity that was read, at its height. */
  read(e: Entity, layer: string, z: number): void;
  /** An entity of a kind that is not read. */
  leftAlone(kind: string, layer: string): void;
  findings(): Finding[];
}

/** Annotation and construction: never an outline, so its count is enough. */
const NEVER_OUTLINES: ReadonlySet<string> = new Set([
  ...["TEXT", "MTEXT", "ATTDEF", "ATTRIB", "RTEXT", "ARCALIGNEDTEXT"],
  ...["DIMENSION", "ARC_DIMENSION", "LARGE_RADIAL_DIMENSION", "TOLERANCE"],
  ...["LEADER", "MULTILEADER", "MLEADER", "ACAD_TABLE", "TABLE", "HATCH"],
  ...["XLINE", "RAY", "VIEWPORT", "IMAGE", "WIPEOUT", "OLEFRAME", "OLE2FRAME"],
  ...["LIGHT", "SUN", "CAMERA", "SECTION", "SEQEND"],
  ...["PDFUNDERLAY", "DWFUNDERLAY", "DGNUNDERLAY", "GEOPOSITIONMARKER"],
]);

/** How an outline in an entity of the kind is got out of it. */
function advice(kind: string): string {
  switch (kind) {
    case "REGION":
    case "3DSOLID":
    case "BODY":
    case "SURFACE":
    case "MLINE":
    case "MPOLYGON":
      return "explode it into lines and arcs";
    case "ACAD_PROXY_ENTITY":
      return "it belongs to another program: explode it there";
    default:
      return "draw it as lines, arcs, circles, polylines, ellipses or splines";
  }
}

export function remarkBook(): Remarks {
  const alone = tally();
  const wide = tally();
  const thick = tally();
  let lowest = Number.POSITIVE_INFINITY;
  let highest = Number.NEGATIVE_INFINITY;
  return {
    read(e, layer, z) {
      if (z < lowest) lowest = z;
      if (z > highest) highest = z;
      if (number(e, 39, 0) !== 0) thick.add(e.type, layer);
      if (hasWidth(e)) wide.add(e.type, layer);
    },
    leftAlone(kind, layer) {
      if (!NEVER_OUTLINES.has(kind)) alone.add(kind, layer);
    },
    findings: () => [
      ...alone.all().map(
        ({ kind, layer, count }): Finding => ({
          code: "drawing/left-alone",
          severity: "warning",
          message: `${count} ${nameText(kind)} on layer ${nameText(layer)} left alone: such an entity is not read. If it is to be cut, ${advice(kind)}.`,
          layers: [layer],
        }),
      ),
      ...wide.all().map(
        ({ kind, layer, count }): Finding => ({
          code: "drawing/width",
          severity: "note",
          message: `${count} ${kind} on layer ${nameText(layer)} drawn with a width: the line in the middle of it was read.`,
          layers: [layer],
        }),
      ),
      ...thick.all().map(
        ({ kind, layer, count }): Finding => ({
          code: "drawing/thickness",
          severity: "note",
          message: `${count} ${kind} on layer ${nameText(layer)} drawn with a thickness: the outline was read as seen from above.`,
          layers: [layer],
        }),
      ),
      ...(highest - lowest > OUT_OF_PLANE ? [heights(lowest, highest)] : []),
    ],
  };
}

function heights(lowest: number, highest: number): Finding {
  return {
    code: "drawing/heights",
    severity: "warning",
    message: `The outlines are drawn at different heights, z from ${trimmed(lowest, 3)} to ${trimmed(highest, 3)} mm; all were read as seen from above. Check that no edge of another level is among them.`,
  };
}

/** Of an LWPOLYLINE (40, 41, 43) or a POLYLINE and its vertices (40, 41). */
function hasWidth(e: Entity): boolean {
  if (e.type !== "LWPOLYLINE" && e.type !== "POLYLINE") return false;
  const codes = e.type === "LWPOLYLINE" ? [40, 41, 43] : [40, 41];
  return [e, ...(e.vertices ?? [])].some((part) =>
    codes.some((code) => numbersOf(part, code).some((width) => width !== 0)),
  );
}

interface Tallied {
  readonly kind: string;
  readonly layer: string;
  readonly count: number;
}

function tally(): {
  add(kind: string, layer: string): void;
  all(): readonly Tallied[];
} {
  const counts = new Map<
    string,
    { kind: string; layer: string; count: number }
  >();
  return {
    add(kind, layer) {
      const key = `${kind}\n${layer}`;
      const seen = counts.get(key);
      if (seen) seen.count++;
      else counts.set(key, { kind, layer, count: 1 });
    },
    all: () => [...counts.values()],
  };
}
