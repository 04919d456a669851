/** Layers that look like part of the sheet, not of the work: what is drawn beside text and dimensions is often a frame. */
import type { Finding } from "../../base/finding.js";
import { nameText } from "../../base/message.js";
import { placeText, trimmed } from "../../base/numbers.js";
import type { Drawing, OpenChain, Outline } from "../../drawing/drawing.js";
import { contourBox } from "../../geometry/contour.js";
import { pair } from "../../geometry/vec.js";
import type { Job } from "../job/job.js";
import type { OutlineRole } from "./drawn-marks.js";
import { sameLayer } from "./layer-choice.js";

/** What people read on a sheet, as the readers of drawings name it. */
const WRITING: ReadonlySet<string> = new Set([
  ...["TEXT", "MTEXT", "ATTDEF", "ATTRIB", "RTEXT", "ARCALIGNEDTEXT", "text"],
  ...["DIMENSION", "ARC_DIMENSION", "LARGE_RADIAL_DIMENSION", "TOLERANCE"],
  ...["LEADER", "MULTILEADER", "MLEADER", "ACAD_TABLE", "TABLE"],
]);

/** So many layers are told of one by one. */
const MOST_TOLD = 10;

/**
 * One finding for each layer with text or dimensions on it that holds outlines to be cut, or open ones, and that nobody
 * has picked or given a role. An error where something on it is open, or encloses what another layer holds: a frame
 * read as an outline turns openings into parts.
 */
export function sheetLayerFindings(
  drawing: Drawing,
  roles: readonly OutlineRole[],
  job: Job,
): Finding[] {
  const { skipped, outlines, open } = drawing;
  const writing = new Map<string, string[]>();
  for (const { kind, layer, count } of skipped)
    if (WRITING.has(kind) && !isSettled(layer, job))
      writing.set(layer, [
        ...(writing.get(layer) ?? []),
        `${count} ${kind.toUpperCase()}`,
      ]);
  const findings = [...writing].flatMap(([layer, texts]) => {
    const closed = outlines.filter(
      (o, i) => o.layer === layer && isToCut(roles[i]),
    );
    const scraps = open.filter((o) => o.layer === layer);
    return closed.length + scraps.length === 0
      ? []
      : [
          isOneLayer(drawing)
            ? mixedFinding(layer, texts, closed)
            : sheetFinding(layer, texts, closed, scraps, outlines),
        ];
  });
  const rest = findings.slice(MOST_TOLD);
  if (rest.length === 0) return findings;
  return [
    ...findings.slice(0, MOST_TOLD),
    {
      code: "role/sheet-layer",
      severity: rest.some((f) => f.severity === "error") ? "error" : "warning",
      message: `${rest.length} more layers hold text or dimensions beside outlines; pick the layers to cut with --only-layer (drawing.only in the job).`,
    },
  ];
}

/** Whether all that may be cut is on one layer. */
export function isOneLayer({ outlines, open }: Drawing): boolean {
  return new Set([...outlines, ...open].map((o) => o.layer)).size <= 1;
}

/** Somebody said what the layer is. */
export function isSettled(layer: string, { drawing, roles }: Job): boolean {
  return [...(drawing.only ?? []), ...Object.keys(roles.layers)].some((named) =>
    sameLayer(layer, named),
  );
}

export function isToCut(role: OutlineRole | undefined): boolean {
  return role === "opening" || role === "part" || role === "stock";
}

function sheetFinding(
  layer: string,
  texts: readonly string[],
  closed: readonly Outline[],
  scraps: readonly OpenChain[],
  all: readonly Outline[],
): Finding {
  const within = layersWithin(layer, closed, all);
  const [nearest] = scraps;
  const facts = [
    ...(closed.length > 0
      ? [
          `${closed.length === 1 ? "1 closed outline that counts" : `${closed.length} closed outlines that count`} as work, the largest ${sizeText(closed)}${within.length > 0 ? ` around what is on layer ${within.map(nameText).join(", ")}` : ""}`,
        ]
      : []),
    ...(nearest
      ? [
          `${scraps.length} open, nearest to closing ${scraps.slice(0, GAPS_TOLD).map(gapText).join(", ")}`,
        ]
      : []),
  ];
  const where =
    nearest?.gap.from ?? closed[0]?.contour.segments[0]?.start ?? null;
  return {
    code: "role/sheet-layer",
    severity: within.length > 0 || nearest ? "error" : "warning",
    message: `Layer ${nameText(layer)} holds ${texts.join(", ")} and, beside that, ${facts.join(" and ")}. If that is a frame, a title block or dimensions, leave it out with --skip-layer or the role ignore; if it is to be cut, pick it with --only-layer or give it a role.`,
    ...(where && { where: pair(where) }),
    layers: [layer],
  };
}

/** All of the work is on the layer, so that leaving it out is no way out. */
function mixedFinding(
  layer: string,
  texts: readonly string[],
  closed: readonly Outline[],
): Finding {
  const work =
    closed.length === 0
      ? ""
      : ` Of the closed outlines on it ${closed.length} ${closed.length === 1 ? "counts" : "count"} as work, the largest ${sizeText(closed)}.`;
  return {
    code: "role/sheet-layer",
    severity: "warning",
    message: `Everything is drawn on layer ${nameText(layer)}, ${texts.join(", ")} too, so the work cannot be told from frame, title block and dimensions by layers.${work} If some are no work, delete them, move them to a layer of their own, give them the role ignore by their ids (features in the job), or leave out their line type with --skip-line-type; if all are, --only-layer ${nameText(layer)} says so.`,
    layers: [layer],
  };
}

/** So many gaps are told of, the smallest first: among scraps there may be an outline that just fails to close. */
const GAPS_TOLD = 3;

function gapText({ gap }: OpenChain): string {
  return `${trimmed(gap.size, 4)} mm at ${placeText(pair(gap.from))}`;
}

function sizeText(outlines: readonly Outline[]): string {
  const boxes = outlines.map((o) => contourBox(o.contour));
  const sizes = boxes.map((b) => [b.maxX - b.minX, b.maxY - b.minY] as const);
  const [w, h] = sizes.reduce((a, b) => (b[0] * b[1] > a[0] * a[1] ? b : a));
  return `${trimmed(w, 2)} × ${trimmed(h, 2)} mm`;
}

/** Other layers with an outline inside one of these. */
function layersWithin(
  layer: string,
  closed: readonly Outline[],
  all: readonly Outline[],
): string[] {
  const around = new Set(closed);
  const found = new Set<string>();
  for (const o of all) {
    if (o.layer === layer) continue;
    for (let p = o.parent; p !== null; p = (all[p] as Outline).parent)
      if (around.has(all[p] as Outline)) found.add(o.layer);
  }
  return [...found].slice(0, MOST_TOLD);
}
