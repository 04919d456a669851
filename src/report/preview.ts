/** The preview: one SVG, to scale, of the block, what the wire does to it, and what each line means. */
import { trimmed } from "../base/numbers.js";
import { contourBox } from "../geometry/contour.js";
import {
  type Box,
  EMPTY_BOX,
  segmentBox,
  unionBox,
} from "../geometry/segment.js";
import type { Vec } from "../geometry/vec.js";
import { entriesOf, type Plan } from "../plan/plan.js";
import type { ProgramText } from "../program/moves.js";
import { groundOf } from "./name-ground.js";
import {
  holes,
  kerf,
  leads,
  markRooms,
  marks,
  metal,
  paths,
  strokesOf,
  tabs,
  travel,
} from "./preview-drawing.js";
import {
  type Frame,
  figure,
  frameFor,
  SHEET,
  textAt,
} from "./preview-frame.js";
import { featureLabels } from "./preview-labels.js";
import { edgeDetail, findingList, legend } from "./preview-legend.js";
import {
  lineWeight,
  originMark,
  originRooms,
  scaleBar,
} from "./preview-scale.js";
import { styleSheet, TEXT } from "./preview-style.js";
import { tabLabels } from "./preview-tab-labels.js";
import { countText, escapeMarkup, lengthText } from "./text.js";

/** Room for the title above the drawing, mm on paper. */
const HEAD = 19;

/**
 * Draws a plan. The viewBox is in mm of the drawing; width and height are those of the paper.
 *
 * @param program when given, travel with the wire out is drawn as the program says it, and its blocks are counted.
 */
export function drawPreview(plan: Plan, program?: ProgramText): string {
  const frame = frameFor(drawnBox(plan), HEAD);
  const { paper } = frame;
  const weight = lineWeight(plan.features, frame);
  const ground = groundOf(plan);
  const rooms = [...originRooms(frame), ...markRooms(plan, frame)];
  const labels = featureLabels(plan, frame, ground, rooms);
  const below = frame.bottom + paper(4);
  const bar = scaleBar(plan.job.units, frame, below);
  const legendTop = below + paper(13);
  const left = legend(plan, frame, legendTop);
  const right = edgeDetail(plan, frame, legendTop);
  const listTop = legendTop + Math.max(left.height, right.height) + paper(3);
  const list = findingList(plan, frame, listTop);
  const height = listTop + list.height + paper(7);
  const footer = textAt(
    frame,
    paper(SHEET.margin),
    height - paper(2.5),
    "Verify on your machine, with a test cut, by a trained operator.",
    { size: TEXT.small },
  );
  const size = (length: number): string =>
    `${trimmed(length * frame.scale, 3)}mm`;
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" class="kw-preview" role="img" width="${size(frame.width)}" height="${size(height)}" viewBox="0 0 ${figure(frame.width)} ${figure(height)}">`,
    `<title>${escapeMarkup(plan.name)}: wire paths</title>`,
    `<style>${styleSheet(paper(1), weight, plan.job.passes.length)}</style>`,
    `<rect width="${figure(frame.width)}" height="${figure(height)}" fill="#fff"/>`,
    title(plan, frame, program),
    metal(plan, frame),
    kerf(plan, frame),
    paths(plan, frame, weight),
    leads(plan, frame),
    travel(plan, frame, program),
    tabs(plan, frame, weight),
    holes(plan, frame),
    originMark(featuresBox(plan), plan.job.units, frame, below),
    labels.markup,
    tabLabels(plan, frame, ground, [...rooms, ...labels.boxes]),
    marks(plan, frame),
    bar,
    left.markup,
    right.markup,
    list.markup,
    footer,
    "</svg>",
    "",
  ]
    .filter((part) => part !== "")
    .join("\n")
    .concat("\n");
}

/** Box of all that is drawn, with the kerf's half width about the wire's centre. */
function drawnBox(plan: Plan): Box {
  const reach = plan.job.wire.diameter / 2 + (plan.job.passes[0]?.gap ?? 0);
  const around = (p: Vec, r: number): Box => ({
    minX: p.x - r,
    minY: p.y - r,
    maxX: p.x + r,
    maxY: p.y + r,
  });
  const wide = (b: Box): Box => ({
    minX: b.minX - reach,
    minY: b.minY - reach,
    maxX: b.maxX + reach,
    maxY: b.maxY + reach,
  });
  const boxes: Box[] = [
    ...(plan.stock ? [contourBox(plan.stock)] : []),
    ...plan.features.map((f) => contourBox(f.contour)),
    ...plan.unplanned.map(contourBox),
    ...[...plan.features.flatMap(entriesOf), ...plan.slits].map(
      ({ startHole: h }) => around(h.at, h.diameter / 2),
    ),
    ...strokesOf(plan).flatMap((s) =>
      s.path.map((segment) => wide(segmentBox(segment))),
    ),
    ...plan.findings.flatMap((f) =>
      f.where ? [around({ x: f.where[0], y: f.where[1] }, 0)] : [],
    ),
  ];
  const box = boxes.reduce(unionBox, EMPTY_BOX);
  if (!Number.isFinite(box.minX))
    return { minX: 0, minY: 0, maxX: 10, maxY: 10 };
  // Where no edge is drawn, the block goes on: some of it is shown. Elsewhere a little air, for the lines' width.
  const size = Math.max(box.maxX - box.minX, box.maxY - box.minY, 1e-3);
  const air = size * (plan.stock ? 0.015 : 0.12);
  return {
    minX: box.minX - air,
    minY: box.minY - air,
    maxX: box.maxX + air,
    maxY: box.maxY + air,
  };
}

function title(plan: Plan, frame: Frame, program?: ProgramText): string {
  const { paper } = frame;
  const { stock, wire, passes, units, process } = plan.job;
  const facts = [
    `${process.material.title} ${lengthText(stock.thickness, units)}`,
    `wire ${lengthText(wire.diameter, units)} ${wire.material}`,
    countText(passes.length, "pass"),
    countText(plan.features.length, "feature"),
    ...(plan.slits.length > 0 ? [countText(plan.slits.length, "slit")] : []),
    ...(program ? [countText(program.blocks, "block")] : []),
    `scale ${frame.scaleText} printed at 100 %`,
  ];
  return (
    textAt(
      frame,
      paper(SHEET.margin),
      paper(8),
      `${shorten(plan.name, 50)}: wire paths`,
      { size: TEXT.title, bold: true },
    ) +
    textAt(frame, paper(SHEET.margin), paper(13.5), facts.join("  ·  "), {
      size: TEXT.body,
    })
  );
}

function shorten(text: string, letters: number): string {
  return text.length > letters ? `${text.slice(0, letters - 1)}…` : text;
}

/** Box of the block and the features, without what the wire does around them. */
function featuresBox({ stock, features }: Plan): Box {
  return [...(stock ? [stock] : []), ...features.map((f) => f.contour)]
    .map(contourBox)
    .reduce(unionBox, EMPTY_BOX);
}
