/** Below the drawing: what each line means, the edge enlarged with every pass at its true offset, and the findings. */
import { messageIn } from "../base/message.js";
import { trimmed } from "../base/numbers.js";
import type { Box } from "../geometry/segment.js";
import type { Feature } from "../plan/feature.js";
import { type Plan, threadPlaces } from "../plan/plan.js";
import { type Frame, figure, SHEET, textAt } from "./preview-frame.js";
import { badge } from "./preview-labels.js";
import { passLook, TEXT } from "./preview-style.js";
import { countText, lengthFigure, lengthText, placeFigures } from "./text.js";

/** Is the metal around the outermost outlines kept, as around a die's openings, or as about slits alone? */
export function keepsBlock({
  features,
  slits,
}: {
  readonly features: readonly Pick<Feature, "depth" | "role">[];
  readonly slits: readonly unknown[];
}): boolean {
  if (features.length === 0) return slits.length > 0;
  const outer = Math.min(...features.map((f) => f.depth));
  return features.some((f) => f.depth === outer && f.role === "opening");
}

/** A block of the sheet and how high it is, drawing mm. */
export interface Block {
  readonly markup: string;
  readonly height: number;
}

const ROW = 4.6;
const SAMPLE = 11;

/** Legend, in the left half of the sheet from `y` down. */
export function legend(plan: Plan, frame: Frame, y: number): Block {
  const { paper } = frame;
  const left = paper(SHEET.margin);
  const mid = left + paper(SAMPLE / 2);
  const right = left + paper(SAMPLE);
  const line = (kind: string, row: number): string =>
    `<path class="${kind}" d="M${figure(left)} ${figure(row)}H${figure(right)}"/>`;
  const swatch = (kind: string, row: number): string =>
    `<rect class="${kind}" x="${figure(left)}" y="${figure(row - paper(1.5))}" width="${figure(paper(SAMPLE))}" height="${figure(paper(3))}"/>`;
  const { units, passes, wire } = plan.job;
  const holes = threadPlaces(plan).filter(({ hole }) => hole.diameter > 0);
  const rough = passes[0];
  const kerf = rough ? wire.diameter + 2 * rough.gap : wire.diameter;

  const rows: (readonly [(row: number) => string, string])[] = [
    [
      (r) => swatch("kw-kept kw-swatch", r),
      plan.stock || !keepsBlock(plan)
        ? "metal that is kept"
        : "metal that is kept; its edge (dashed) is not drawn",
    ],
    [
      (r) => swatch("kw-waste kw-swatch", r),
      "what comes loose (mass inside) or is left over",
    ],
    [
      (r) =>
        `<path class="kw-kerf" stroke-width="${figure(paper(3))}" d="M${figure(left + paper(1.5))} ${figure(r)}H${figure(right - paper(1.5))}"/>`,
      `kerf of the rough, ${lengthText(kerf, units)} wide, to scale`,
    ],
    ...passes.map(
      (p) =>
        [
          (r: number) => line(`kw-pass-${p.number}`, r),
          `pass ${p.number} ${p.kind}: wire centre at ${lengthText(p.offset, units)}`,
        ] as const,
    ),
    ...[false, true]
      .filter((drawn) => holes.some(({ hole }) => hole.drawn === drawn))
      .map(
        (drawn) =>
          [
            (r: number) => holeMark(mid, r, paper(1.3), drawn),
            drawn ? "start hole in the drawing" : "start hole to make",
          ] as const,
      ),
    [
      (r) => line("kw-lead", r),
      holes.length > 0
        ? "lead-in from the start hole"
        : "lead-in from the block's edge",
    ],
    [(r) => line("kw-travel", r), "travel with the wire out"],
    [
      (r) =>
        `<path class="kw-tab" stroke-width="${figure(paper(1.1))}" d="M${figure(left)} ${figure(r)}H${figure(right)}"/>`,
      "tab: left standing until somebody is there",
    ],
    [
      (r) => badge(frame, mid, r, "1", TEXT.small),
      "step of the setup sheet, in cutting order",
    ],
    ...(plan.unplanned.length > 0
      ? [
          [
            (r: number) => line("kw-unplanned", r),
            "not planned, no program: see the findings",
          ] as const,
        ]
      : []),
    ...(plan.findings.some((f) => f.where)
      ? [
          [
            (r: number) =>
              findingMark(frame, mid, r + paper(2.2), "1", TEXT.small),
            "place of a finding",
          ] as const,
        ]
      : []),
  ];
  const markup = rows
    .map(([sample, text], i) => {
      const row = y + paper(ROW * (i + 0.5));
      return (
        sample(row) +
        textAt(frame, right + paper(2.5), row + paper(TEXT.body * 0.35), text, {
          size: TEXT.body,
        })
      );
    })
    .join("\n");
  return { markup, height: paper(ROW * rows.length) };
}

export function holeMark(
  x: number,
  y: number,
  radius: number,
  drawn: boolean,
): string {
  const arm = radius * 1.6;
  const [cx, cy, r, a] = [x, y, radius, arm].map(figure);
  return (
    `<circle class="${drawn ? "kw-drawn-hole" : "kw-hole"}" cx="${cx}" cy="${cy}" r="${r}"/>` +
    `<path class="kw-cross" d="M${figure(x - arm)} ${cy}h${figure(2 * Number(a))}M${cx} ${figure(y - arm)}v${figure(2 * Number(a))}"/>`
  );
}

/** What a mark on a place takes, mm of the drawing: its tip stands there, 2.6 radii of its round head below the top. */
export function markRoom(
  frame: Frame,
  [x, y]: readonly [x: number, y: number],
  text: string,
  size: number,
): Box {
  const r = markRadius(frame, text, size);
  return { minX: x - r, maxX: x + r, minY: y, maxY: y + 2.6 * r };
}

function markRadius(frame: Frame, text: string, size: number): number {
  return frame.paper(size * (0.75 + 0.18 * (text.length - 1)));
}

/** A numbered drop whose tip stands on the place. */
export function findingMark(
  frame: Frame,
  x: number,
  y: number,
  text: string,
  size: number,
): string {
  const r = markRadius(frame, text, size);
  const cy = y - 1.6 * r;
  const d = `M${figure(x)} ${figure(y)}L${figure(x - 0.78 * r)} ${figure(cy + 0.62 * r)}A${figure(r)} ${figure(r)} 0 1 1 ${figure(x + 0.78 * r)} ${figure(cy + 0.62 * r)}Z`;
  return (
    `<path class="kw-finding" d="${d}"/>` +
    textAt(frame, x, cy + frame.paper(size * 0.35), text, {
      size,
      kind: "kw-badge-text",
    })
  );
}

/**
 * The edge enlarged, in the right half of the sheet: each pass's wire at its offset, the spark gap around it and the
 * stock it leaves, all at one scale.
 */
export function edgeDetail(plan: Plan, frame: Frame, y: number): Block {
  const { paper } = frame;
  const { passes, wire, units } = plan.job;
  const left = paper(SHEET.width / 2 + 4);
  const width = paper(SHEET.width / 2 - 4 - SHEET.margin);
  const radius = wire.diameter / 2;
  const reach = Math.max(...passes.map((p) => p.offset + radius + p.gap));
  const cell = width / passes.length;
  const widest = 2 * Math.max(...passes.map((p) => radius + p.gap));
  // Detail mm for one mm of metal, in drawing mm.
  const times = Math.min(paper(26) / reach, (0.86 * cell) / widest);
  const title = paper(TEXT.body * 1.5);
  const edge = y + title + reach * times + paper(1);
  const metal = paper(5);
  const parts = [
    textAt(
      frame,
      left,
      y + paper(TEXT.body),
      `Why the wire runs beside the line (${trimmed(times * frame.scale, 0)}:1)`,
      { size: TEXT.body, bold: true },
    ),
    `<rect class="kw-kept" x="${figure(left)}" y="${figure(edge)}" width="${figure(width)}" height="${figure(metal)}"/>`,
    ...passes.map((p, i) => {
      const cx = left + cell * (i + 0.5);
      const cy = edge - p.offset * times;
      const x0 = figure(left + cell * i);
      const x1 = figure(left + cell * (i + 1));
      const leaveTop = edge - p.leave * times;
      return [
        p.leave > 0
          ? `<rect class="kw-kept" fill-opacity=".55" x="${x0}" y="${figure(leaveTop)}" width="${figure(cell)}" height="${figure(p.leave * times)}"/>`
          : "",
        `<circle class="kw-kerf" style="fill:${passLook(p.number).color};fill-opacity:.16;stroke:none" cx="${figure(cx)}" cy="${figure(cy)}" r="${figure((radius + p.gap) * times)}"/>`,
        `<circle class="kw-wire" cx="${figure(cx)}" cy="${figure(cy)}" r="${figure(radius * times)}"/>`,
        `<circle class="kw-rule" style="stroke:${passLook(p.number).color}" cx="${figure(cx)}" cy="${figure(cy)}" r="${figure(radius * times)}"/>`,
        `<path class="kw-pass-${p.number}" d="M${x0} ${figure(cy)}H${x1}"/>`,
        `<path class="kw-rule" d="M${figure(cx)} ${figure(cy)}V${figure(edge)}"/>`,
      ].join("");
    }),
    `<path class="kw-outline" d="M${figure(left)} ${figure(edge)}h${figure(width)}"/>`,
    textAt(
      frame,
      left + paper(1),
      edge + paper(3.4),
      "outline, metal that is kept below it",
      { size: TEXT.small },
    ),
  ];
  const table = edgeTable(plan, frame, left, cell, edge + metal);
  const foot = [
    `offset = wire radius ${lengthText(radius, units)} + spark gap`,
    "(tinted) + stock left for the passes after it",
  ].map((text, i) =>
    textAt(
      frame,
      left,
      edge + metal + table.height + paper(3.4 * (i + 1)),
      text,
      { size: TEXT.small },
    ),
  );
  return {
    markup: [...parts, table.markup, ...foot].join("\n"),
    height: edge + metal + table.height + paper(3.4 * 2.5) - y,
  };
}

/** Offset, gap and stock left of each pass, under its picture. */
function edgeTable(
  plan: Plan,
  frame: Frame,
  left: number,
  cell: number,
  y: number,
): Block {
  const { passes, units } = plan.job;
  const fits = Math.min(TEXT.small, ((cell * frame.scale) / 13) * 1.7);
  const size = Math.max(TEXT.least, fits);
  const row = frame.paper(size * 1.35);
  const lines = passes.map((p) => [
    `pass ${p.number}`,
    `offset ${lengthFigure(p.offset, units)}`,
    `gap ${lengthFigure(p.gap, units)}`,
    `leave ${lengthFigure(p.leave, units)}`,
  ]);
  return {
    markup: lines
      .flatMap((texts, i) =>
        texts.map((text, k) =>
          textAt(frame, left + cell * (i + 0.5), y + row * (k + 1), text, {
            size,
            anchor: "middle",
            bold: k === 0,
          }),
        ),
      )
      .join("\n"),
    height: row * 4.6,
  };
}

/** More would push the drawing off the page; the sheet lists them all. */
const MAX_LISTED = 10;
const LINE_LETTERS = 140;

/** The findings in words, numbered like their marks. */
export function findingList(plan: Plan, frame: Frame, y: number): Block {
  const { paper } = frame;
  const { units } = plan.job;
  if (plan.findings.length === 0) return { markup: "", height: 0 };
  const lines = plan.findings.slice(0, MAX_LISTED).flatMap((f, i) => {
    const place = f.where ? ` at ${placeFigures(f.where, units)}` : "";
    const wrapped = wrap(
      `${f.severity}${place}: ${messageIn(f.message, units)}`,
      LINE_LETTERS,
    );
    return wrapped.map((text, k) =>
      k === 0 ? `${i + 1}  ${text}` : `    ${text}`,
    );
  });
  const more = plan.findings.length - MAX_LISTED;
  if (more > 0)
    lines.push(`and ${countText(more, "finding")} more, in the setup sheet`);
  const step = paper(TEXT.small * 1.4);
  const markup = [
    textAt(frame, paper(SHEET.margin), y + paper(TEXT.body), "Findings", {
      size: TEXT.body,
      bold: true,
    }),
    ...lines.map((text, i) =>
      textAt(
        frame,
        paper(SHEET.margin + (text.startsWith("    ") ? 4 : 0)),
        y + paper(TEXT.body) + step * (i + 1),
        text.trimStart(),
        { size: TEXT.small },
      ),
    ),
  ];
  return {
    markup: markup.join("\n"),
    height: paper(TEXT.body) + step * (lines.length + 1),
  };
}

export function wrap(text: string, letters: number): string[] {
  const lines: string[] = [];
  let line = "";
  for (const word of text.split(/\s+/)) {
    if (line && line.length + word.length + 1 > letters) {
      lines.push(line);
      line = word;
    } else line = line ? `${line} ${word}` : word;
  }
  return [...lines, line];
}
