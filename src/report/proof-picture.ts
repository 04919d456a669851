/** What the wire really cut, as a picture to scale, with every fault marked by a number and told below. */
import type { Finding } from "../base/finding.js";
import { messageIn } from "../base/message.js";
import { fixed, trimmed } from "../base/numbers.js";
import { type LengthUnit, mmPer } from "../base/units.js";
import { contourBox } from "../geometry/contour.js";
import {
  type Box,
  EMPTY_BOX,
  type Segment,
  segmentBox,
  unionBox,
} from "../geometry/segment.js";
import type { Layout } from "../plan/feature.js";
import type { Proof, ReplayedMove } from "../proof/proof.js";
import { COLOR, passLook } from "./preview-style.js";
import { escapeMarkup, finestText } from "./text.js";

/** Pixels: the picture's width, its margin, a line of text. */
const WIDTH = 1200;
const MARGIN = 40;
const LINE = 20;
/** Letters that fit on a line below the picture. */
const LETTERS = 140;
/** Faults that are marked; more would only cover each other. */
const MOST_MARKS = 60;

export function drawProof(
  name: string,
  layout: Layout,
  moves: readonly ReplayedMove[],
  proof: Proof,
  units: LengthUnit = "mm",
): string {
  const box = shown(layout, moves);
  const [wide, high] = [box.maxX - box.minX, box.maxY - box.minY];
  const scale = Math.min(
    (WIDTH - 2 * MARGIN) / wide,
    (WIDTH - 2 * MARGIN) / high,
  );
  const top = 3 * LINE + MARGIN;
  const bottom = top + high * scale;
  const marked = proof.findings
    .filter((f) => f.severity !== "note")
    .slice(0, MOST_MARKS);
  const told = [
    ...marked.flatMap((f, k) =>
      wrapped(
        `${k + 1}  ${f.severity}: ${messageIn(f.message, units)} [${f.code}]`,
      ),
    ),
    ...(marked.length === 0 ? ["no errors and no warnings"] : []),
  ];
  const height = bottom + MARGIN + (told.length + 4) * LINE;
  const at = (x: number, y: number): readonly [number, number] => [
    MARGIN + (x - box.minX) * scale,
    bottom - (y - box.minY) * scale,
  ];
  const passes = [...new Set(moves.map((m) => m.pass))].filter(
    (p) => p !== null,
  );
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${WIDTH}" height="${fixed(height, 0)}" viewBox="0 0 ${WIDTH} ${fixed(height, 0)}" font-family="Helvetica,Arial,sans-serif" font-size="14">`,
    `<rect width="100%" height="100%" fill="#fff"/>`,
    text(
      MARGIN,
      34,
      `${name}: ${proof.ok ? "the proof holds" : "THE PROOF FAILS"}`,
      'font-size="22" font-weight="bold"',
    ),
    text(
      MARGIN,
      60,
      `greatest gouge ${finestText(proof.maxGouge, units, 1)}, greatest excess ${finestText(proof.maxExcess, units, 1)}, last pass reached ${trimmed(Math.floor(1e5 * proof.coverage) / 1000, 3)} % of what a wire can reach`,
    ),
    `<g transform="translate(${px(MARGIN - box.minX * scale)} ${px(bottom + box.minY * scale)}) scale(${trimmed(scale, 6)} ${trimmed(-scale, 6)})" fill="none" stroke-linecap="round" stroke-linejoin="round">`,
    ...ground(layout),
    ...moves.map(
      (m) =>
        `<path d="${data([m.segment])}" stroke="${COLOR.kerf}" stroke-opacity=".35" stroke-width="${trimmed(2 * m.kerf, 4)}"/>`,
    ),
    ...layout.features.map(
      (f) =>
        `<path d="${data(f.contour.segments)}Z" stroke="${COLOR.outline}" stroke-width="1.2" vector-effect="non-scaling-stroke"/>`,
    ),
    ...moves.map((m) => {
      const look = m.pass === null ? null : passLook(m.pass);
      return `<path d="${data([m.segment])}" stroke="${look?.color ?? COLOR.ink}" stroke-width="${look ? 1.1 : 0.7}"${look ? "" : ' stroke-dasharray="3 3"'} vector-effect="non-scaling-stroke"/>`;
    }),
    ...proof.unreached.map(
      (u) =>
        `<path d="M${trimmed(u.from[0], 4)} ${trimmed(u.from[1], 4)}L${trimmed(u.at[0], 4)} ${trimmed(u.at[1], 4)}L${trimmed(u.to[0], 4)} ${trimmed(u.to[1], 4)}" stroke="${u.why === "corner" ? COLOR.tab : COLOR.finding}" stroke-width="4" stroke-opacity=".7" vector-effect="non-scaling-stroke"/>`,
    ),
    "</g>",
    ...proof.threadPlaces.map((t) => {
      const [x, y] = at(...t.at);
      return `<circle cx="${px(x)}" cy="${px(y)}" r="4" fill="#fff" stroke="${COLOR.ink}" stroke-width="1.5"/>`;
    }),
    ...marks(marked, at),
    ...scaleBar(scale, units, bottom + MARGIN - 8),
    ...legend(passes, bottom + MARGIN + LINE),
    ...told.map((line, k) =>
      text(MARGIN, bottom + MARGIN + (k + 3) * LINE, line),
    ),
    "</svg>",
    "",
  ].join("\n");
}

/** All outlines, and the wire where it stays anywhere near them. */
function shown(layout: Layout, moves: readonly ReplayedMove[]): Box {
  const outlines = [
    ...(layout.stock ? [layout.stock] : []),
    ...layout.features.map((f) => f.contour),
  ]
    .map(contourBox)
    .reduce(unionBox, EMPTY_BOX);
  const reach = Math.max(
    outlines.maxX - outlines.minX,
    outlines.maxY - outlines.minY,
    1,
  );
  const all = moves
    .map((m) => segmentBox(m.segment))
    .filter(
      (b) =>
        b.minX > outlines.minX - reach &&
        b.maxX < outlines.maxX + reach &&
        b.minY > outlines.minY - reach &&
        b.maxY < outlines.maxY + reach,
    )
    .reduce(unionBox, outlines);
  return Number.isFinite(all.minX)
    ? all
    : { minX: 0, minY: 0, maxX: 1, maxY: 1 };
}

function ground(layout: Layout): string[] {
  const plate =
    layout.stock &&
    `<path d="${data(layout.stock.segments)}Z" fill="${layout.features.some((f) => f.depth === 0 && f.role === "part") ? COLOR.waste : COLOR.kept}" stroke="${COLOR.ink}" stroke-width=".8" stroke-dasharray="6 3" vector-effect="non-scaling-stroke"/>`;
  return [
    ...(plate ? [plate] : []),
    ...[...layout.features]
      .sort((a, b) => a.depth - b.depth)
      .map(
        (f) =>
          `<path d="${data(f.contour.segments)}Z" fill="${f.role === "part" ? COLOR.kept : COLOR.waste}"/>`,
      ),
  ];
}

/** Path data in mm, y up: the group's transform turns it over. */
function data(segments: readonly Segment[]): string {
  const first = segments[0];
  if (!first) return "";
  const p = (v: { x: number; y: number }): string =>
    `${trimmed(v.x, 4)} ${trimmed(v.y, 4)}`;
  return `M${p(first.start)}${segments
    .map((s) =>
      s.kind === "line"
        ? `L${p(s.end)}`
        : `A${trimmed(s.radius, 4)} ${trimmed(s.radius, 4)} 0 ${Math.abs(s.sweep) > Math.PI ? 1 : 0} ${s.sweep > 0 ? 1 : 0} ${p(s.end)}`,
    )
    .join("")}`;
}

const px = (v: number): string => trimmed(v, 2);

const text = (x: number, y: number, what: string, more = ""): string =>
  `<text x="${px(x)}" y="${px(y)}"${more ? ` ${more}` : ""}>${escapeMarkup(what)}</text>`;

function marks(
  findings: readonly Finding[],
  at: (x: number, y: number) => readonly [number, number],
): string[] {
  return findings.flatMap((f, k) => {
    if (!f.where) return [];
    const [x, y] = at(...f.where);
    const color = f.severity === "error" ? COLOR.finding : COLOR.tab;
    // Numbers stand round about, so that faults at one place do not cover each other.
    const angle = (k * 2.4) % (2 * Math.PI);
    const [u, v] = [x + 26 * Math.cos(angle), y + 26 * Math.sin(angle)];
    return [
      `<circle cx="${px(x)}" cy="${px(y)}" r="7" fill="none" stroke="${color}" stroke-width="2"/>`,
      `<path d="M${px(x)} ${px(y)}L${px(u)} ${px(v)}" stroke="${color}" stroke-width="1.2"/>`,
      `<circle cx="${px(u)}" cy="${px(v)}" r="10" fill="${color}"/>`,
      text(
        u,
        v + 4,
        String(k + 1),
        'fill="#fff" font-size="12" font-weight="bold" text-anchor="middle"',
      ),
    ];
  });
}

/** A bar of a round length, about a sixth of the picture. */
function scaleBar(scale: number, units: LengthUnit, y: number): string[] {
  const unit = scale * mmPer(units);
  const most = WIDTH / 6 / unit;
  const power = 10 ** Math.floor(Math.log10(most));
  const long = ([5, 2, 1].find((k) => k * power <= most) ?? 1) * power;
  return [
    `<path d="M${MARGIN} ${px(y - 5)}v10m0 -5h${px(long * unit)}m0 -5v10" fill="none" stroke="${COLOR.ink}" stroke-width="1.5"/>`,
    text(MARGIN + long * unit + 8, y + 5, `${trimmed(long, 6)} ${units}`),
  ];
}

function legend(passes: readonly number[], y: number): string[] {
  const entries = [
    ...[...passes]
      .sort((a, b) => a - b)
      .map((n) => [passLook(n).color, `wire on pass ${n}`]),
    [COLOR.kerf, "kerf"],
    [COLOR.finding, "not reached"],
    [COLOR.tab, "corner that stays"],
  ] as [string, string][];
  return entries.flatMap(([color, label], k) => {
    const x = MARGIN + k * 165;
    return [
      `<path d="M${x} ${px(y - 4)}h24" stroke="${color}" stroke-width="4"/>`,
      text(x + 30, y, label),
    ];
  });
}

/** Words of a line that is too long go on below. */
function wrapped(line: string): string[] {
  const lines: string[] = [];
  let rest = line;
  while (rest.length > LETTERS) {
    const cut = rest.lastIndexOf(" ", LETTERS);
    const end = cut > 20 ? cut : LETTERS;
    lines.push(rest.slice(0, end));
    rest = `    ${rest.slice(end).trim()}`;
  }
  return [...lines, rest];
}
