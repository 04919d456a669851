/** The inspection as a picture: the outlines in their roles, to scale, with every place that matters marked and told. */
import { trimmed } from "../base/numbers.js";
import type { LengthUnit } from "../base/units.js";
import type { Drawing } from "../drawing/drawing.js";
import { contourBox } from "../geometry/contour.js";
import { type Box, EMPTY_BOX, unionBox } from "../geometry/segment.js";
import type { Job } from "../plan/job/job.js";
import type { LaidOut } from "../plan/layout/layout.js";
import type { Inspection } from "./inspection.js";
import { placesToLookAt } from "./inspection-places.js";
import { wireText } from "./inspection-text.js";
import { outlinesAlone } from "./name-ground.js";
import {
  type Frame,
  figure,
  frameFor,
  pathData,
  SHEET,
  textAt,
} from "./preview-frame.js";
import { leaderLine, on, placedLabels } from "./preview-labels.js";
import {
  type Block,
  findingMark,
  keepsBlock,
  markRoom,
  wrap,
} from "./preview-legend.js";
import { lineWeight, originMark, scaleBar } from "./preview-scale.js";
import { styleSheet, TEXT } from "./preview-style.js";
import { countText, escapeMarkup, lengthText, placeFigures } from "./text.js";

const HEAD = 19;
const ROW = 4.6;
const SAMPLE = 11;
const LINE_LETTERS = 135;
/** …and in bold on the half that the table has. */
const TABLE_LETTERS = 56;

export interface Inspected {
  readonly drawing: Drawing;
  readonly laidOut: LaidOut;
  readonly job: Job;
  readonly inspection: Inspection;
}

/** The viewBox is in mm of the drawing; width and height are those of the paper. */
export function drawInspection(name: string, of: Inspected): string {
  const { drawing, laidOut, job, inspection } = of;
  const box = drawnBox(drawing);
  const frame = frameFor(withAir(box), HEAD);
  const { paper } = frame;
  const places = placesToLookAt(inspection, job);
  const below = frame.bottom + paper(4);
  const top = below + paper(13);
  const left = legend(frame, top);
  const right = wireTable(of, frame, top);
  const listTop = top + Math.max(left.height, right.height) + paper(4);
  const list = placeList(places, inspection.shownIn, frame, listTop);
  const height = listTop + list.height + paper(7);
  const size = (length: number): string =>
    `${trimmed(length * frame.scale, 3)}mm`;
  const facts = [
    `${lengthText(inspection.size[0], inspection.shownIn)} × ${lengthText(inspection.size[1], inspection.shownIn)}`,
    `drawn in ${inspection.units.drawing}`,
    countText(inspection.contours.length, "closed outline"),
    ...(inspection.open.length > 0 ? [`${inspection.open.length} open`] : []),
    `scale ${frame.scaleText} printed at 100 %`,
  ];
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" class="kw-preview" role="img" width="${size(frame.width)}" height="${size(height)}" viewBox="0 0 ${figure(frame.width)} ${figure(height)}">`,
    `<title>${escapeMarkup(name)}: what is in the drawing</title>`,
    `<style>${styleSheet(paper(1), lineWeight(laidOut.features, frame), 0)}</style>`,
    `<rect width="${figure(frame.width)}" height="${figure(height)}" fill="#fff"/>`,
    textAt(
      frame,
      paper(SHEET.margin),
      paper(8),
      `${name}: what is in the drawing`,
      { size: TEXT.title, bold: true },
    ),
    textAt(frame, paper(SHEET.margin), paper(13.5), facts.join("  ·  "), {
      size: TEXT.body,
    }),
    metal(of, frame),
    originMark(box, inspection.shownIn, frame, below),
    labels(
      laidOut,
      frame,
      places.map(({ at }, i) => markRoom(frame, at, String(i + 1), TEXT.small)),
    ),
    ...places.map(({ at, line }, i) => {
      const [x, y] = [frame.x(at[0]), frame.y(at[1])];
      const [a, b] = line ?? [at, at];
      return `<path class="kw-finding-ring" d="M${figure(frame.x(a[0]))} ${figure(frame.y(a[1]))}L${figure(frame.x(b[0]))} ${figure(frame.y(b[1]))}"/>${findingMark(frame, x, y, String(i + 1), TEXT.small)}`;
    }),
    scaleBar(inspection.shownIn, frame, below),
    left.markup,
    right.markup,
    list.markup,
    textAt(
      frame,
      paper(SHEET.margin),
      height - paper(2.5),
      "Gaps are those of the process table, not your machine's: verify with a test cut, by a trained operator.",
      { size: TEXT.small },
    ),
    "</svg>",
    "",
  ]
    .filter((part) => part !== "")
    .join("\n")
    .concat("\n");
}

function drawnBox({ outlines, open, points }: Drawing): Box {
  return [
    ...[...outlines, ...open].map((o) => contourBox(o.contour)),
    ...points.map(({ at }) => ({
      minX: at.x,
      minY: at.y,
      maxX: at.x,
      maxY: at.y,
    })),
  ].reduce(unionBox, EMPTY_BOX);
}

/** Room for the marks and, where no edge of the block is drawn, for some of the metal around. */
function withAir(box: Box): Box {
  if (!Number.isFinite(box.minX))
    return { minX: 0, minY: 0, maxX: 10, maxY: 10 };
  const air = 0.06 * Math.max(box.maxX - box.minX, box.maxY - box.minY, 1e-3);
  return {
    minX: box.minX - air,
    minY: box.minY - air,
    maxX: box.maxX + air,
    maxY: box.maxY + air,
  };
}

/** Kept metal tinted, waste white, what is not cut in grey, what is open dashed. */
function metal({ drawing, laidOut }: Inspected, frame: Frame): string {
  const { features, stock, roles } = laidOut;
  const path = (kind: string, d: string): string =>
    `<path class="${kind}" d="${d}"/>`;
  const parts: string[] = [];
  const kept = keepsBlock(laidOut);
  if (stock) {
    const d = pathData(frame, stock.segments, true);
    parts.push(path(kept ? "kw-kept" : "kw-waste", d), path("kw-edge", d));
  } else if (kept) {
    const { left, right, top, bottom } = frame;
    parts.push(
      `<rect class="kw-kept" x="${figure(left)}" y="${figure(top)}" width="${figure(right - left)}" height="${figure(bottom - top)}"/>`,
    );
  }
  for (const f of [...features].sort((a, b) => a.depth - b.depth)) {
    const d = pathData(frame, f.contour.segments, true);
    parts.push(
      `<g><title>${escapeMarkup(`${f.id} on layer ${f.layer}`)}</title>${path(f.role === "part" ? "kw-kept" : "kw-waste", d)}${path("kw-outline", d)}</g>`,
    );
  }
  drawing.outlines.forEach((o, i) => {
    const role = roles[i];
    if (role === "ignore" || role === "hole" || role === "mark")
      parts.push(
        `<g><title>${escapeMarkup(`${o.id} on layer ${o.layer}: ${role}`)}</title>${path("kw-not-cut", pathData(frame, o.contour.segments, true))}</g>`,
      );
  });
  for (const o of drawing.open)
    parts.push(
      path(
        laidOut.open.includes(o.contour)
          ? "kw-unplanned"
          : laidOut.slits.some((s) => s.contour === o.contour)
            ? "kw-outline"
            : "kw-not-cut",
        pathData(frame, o.contour.segments),
      ),
    );
  return parts.join("\n");
}

/** More would be a blot. */
const MOST_LABELS = 150;

/** `marks`: rooms that are taken already, mm of the drawing. */
function labels(
  { features, stock }: LaidOut,
  frame: Frame,
  marks: readonly Box[],
): string {
  if (features.length > MOST_LABELS) return "";
  const named = features.map(({ id }) => ({
    middle: null,
    wordings: [
      ...[TEXT.body, TEXT.small, TEXT.smaller].map((size) => on(size, [id])),
      { lines: [id], size: TEXT.small, where: "beside" as const },
      ...[1.5, 1, TEXT.least].map((size) => on(size, [id])),
    ],
  }));
  const ground = outlinesAlone(features, stock);
  return placedLabels(frame, ground, named, marks)
    .map(({ wording: { lines, size }, place: { at, leader } }) => {
      const [x, y] = [frame.x(at.x), frame.y(at.y) + frame.paper(size * 0.35)];
      return (
        (leader ? leaderLine(frame, ...leader) : "") +
        textAt(frame, x, y, lines[0] ?? "", { size, anchor: "middle" })
      );
    })
    .join("");
}

function legend(frame: Frame, y: number): Block {
  const { paper } = frame;
  const left = paper(SHEET.margin);
  const right = left + paper(SAMPLE);
  const swatch =
    (kind: string) =>
    (row: number): string =>
      `<rect class="${kind} kw-swatch" x="${figure(left)}" y="${figure(row - paper(1.5))}" width="${figure(paper(SAMPLE))}" height="${figure(paper(3))}"/>`;
  const line =
    (kind: string) =>
    (row: number): string =>
      `<path class="${kind}" d="M${figure(left)} ${figure(row)}H${figure(right)}"/>`;
  const rows: (readonly [(row: number) => string, string])[] = [
    [swatch("kw-kept"), "metal that is kept"],
    [swatch("kw-waste"), "what is cut out or left over"],
    [line("kw-not-cut"), "not cut: ignored, start holes, marks"],
    [line("kw-unplanned"), "open: cannot be cut as it is"],
    [
      (row) =>
        findingMark(
          frame,
          left + paper(SAMPLE / 2),
          row + paper(2.2),
          "1",
          TEXT.small,
        ),
      "a place to look at, told below",
    ],
  ];
  return {
    markup: rows
      .map(([sample, text], i) => {
        const row = y + paper(ROW * (i + 0.5));
        return (
          sample(row) +
          textAt(
            frame,
            right + paper(2.5),
            row + paper(TEXT.body * 0.35),
            text,
            { size: TEXT.body },
          )
        );
      })
      .join("\n"),
    height: paper(ROW * rows.length),
  };
}

/** Which wire leaves what, in the right half of the sheet. */
function wireTable(
  { inspection, job }: Inspected,
  frame: Frame,
  y: number,
): Block {
  const { paper } = frame;
  if (inspection.contours.length === 0) return { markup: "", height: 0 };
  const columns = [0, 22, 46, 68].map((mm) => paper(SHEET.width / 2 + 2 + mm));
  const largest = wrap(`Largest: ${wireText(inspection)}`, TABLE_LETTERS);
  const rows = inspection.wires.map((w) => [
    `${w.diameter === job.wire.diameter ? "▸ " : ""}${lengthText(w.diameter, inspection.shownIn)}`,
    w.uncut.length === 0 ? "none" : String(w.uncut.length),
    w.uncut[0] ? lengthText(w.uncut[0].left, inspection.shownIn) : "–",
    w.slots.length === 0 ? "none" : String(w.slots.length),
  ]);
  const step = paper(TEXT.small * 1.45);
  const row = (texts: readonly string[], i: number, bold: boolean): string =>
    texts
      .map((text, k) =>
        textAt(frame, columns[k] ?? 0, y + step * (i + 1), text, {
          size: TEXT.small,
          bold,
        }),
      )
      .join("");
  return {
    markup: [
      row(
        ["wire", "corners not cut", "worst stock left", "slots too narrow"],
        0,
        true,
      ),
      ...rows.map((texts, i) =>
        row(texts, i + 1, texts[0]?.startsWith("▸") ?? false),
      ),
      ...largest.map((text, k) =>
        textAt(frame, columns[0] ?? 0, y + step * (rows.length + 2 + k), text, {
          size: TEXT.small,
          bold: true,
        }),
      ),
    ].join("\n"),
    height: step * (rows.length + 1.5 + largest.length),
  };
}

function placeList(
  places: ReturnType<typeof placesToLookAt>,
  units: LengthUnit,
  frame: Frame,
  y: number,
): Block {
  const { paper } = frame;
  if (places.length === 0) return { markup: "", height: 0 };
  const step = paper(TEXT.small * 1.4);
  const lines = places.flatMap(({ text, at }, i) =>
    wrap(`${placeFigures(at, units)}  ${text}`, LINE_LETTERS).map(
      (line, k) => ({
        number: k === 0 ? String(i + 1) : "",
        line,
      }),
    ),
  );
  return {
    markup: [
      textAt(
        frame,
        paper(SHEET.margin),
        y + paper(TEXT.body),
        `Places to look at (X, Y in ${units})`,
        { size: TEXT.body, bold: true },
      ),
      ...lines.map(({ number, line }, i) => {
        const row = y + paper(TEXT.body) + step * (i + 1);
        return (
          textAt(frame, paper(SHEET.margin), row, number, {
            size: TEXT.small,
            bold: true,
          }) +
          textAt(frame, paper(SHEET.margin + 5), row, line, {
            size: TEXT.small,
          })
        );
      }),
    ].join("\n"),
    height: paper(TEXT.body) + step * (lines.length + 1),
  };
}
