/** How the preview looks: colours, dashes and line widths, the last in mm on paper. */

export interface PassLook {
  readonly color: string;
  /** Dash pattern, mm on paper; empty for a solid line. */
  readonly dash: string;
  readonly width: number;
}

/**
 * One look for each pass. The colours are told apart by blue against yellow and by lightness, never by red against
 * green, which one man in twelve sees alike; the lightness also tells them apart in a grey print, and the dashes
 * wherever colour fails altogether. Later passes are drawn thinner and on top, so that at a scale where the paths
 * fall together the earlier ones still show at both sides and in the gaps of the dashes.
 */
const PASS_LOOKS: readonly PassLook[] = [
  { color: "#123a6b", dash: "", width: 0.5 },
  { color: "#e8a317", dash: "2.4 1.2", width: 0.36 },
  { color: "#b03a78", dash: "0.9 0.7", width: 0.26 },
  { color: "#4fb3d9", dash: "3 0.8 0.7 0.8", width: 0.22 },
  { color: "#7d6ad0", dash: "1.6 0.5", width: 0.18 },
  { color: "#a8744f", dash: "0.4 0.6", width: 0.16 },
];

/** Looks repeat after six passes, more than any table holds. */
export function passLook(number: number): PassLook {
  return PASS_LOOKS[(number - 1) % PASS_LOOKS.length] as PassLook;
}

export const COLOR = {
  ink: "#1b1b1b",
  kept: "#e3e0d9",
  waste: "#ffffff",
  outline: "#1b1b1b",
  kerf: "#5aa9e0",
  tab: "#7a4a00",
  finding: "#8c1c13",
  notCut: "#6f6f6f",
} as const;

/** mm on paper. */
export const TEXT = {
  title: 5,
  body: 2.9,
  small: 2.4,
  smaller: 2,
  least: 0.7,
} as const;

/**
 * Rules of the preview; every class begins with `kw-` so that an embedding page keeps its own.
 *
 * @param perPaperMm drawing mm for one mm on paper.
 * @param weight factor on line widths and dashes: below 1 where features are small on paper.
 */
export function styleSheet(
  perPaperMm: number,
  weight: number,
  passes: number,
): string {
  const w = (mm: number): string =>
    String(Number((mm * weight * perPaperMm).toPrecision(6)));
  const dashes = (dash: string): string =>
    dash
      .split(" ")
      .map((d) => w(Number(d)))
      .join(" ");
  const pass = (n: number): string => {
    const look = passLook(n);
    const dash = look.dash ? `;stroke-dasharray:${dashes(look.dash)}` : "";
    return `.kw-pass-${n}{fill:none;stroke:${look.color};stroke-width:${w(look.width)}${dash}}`;
  };
  return [
    `.kw-preview{background:#fff;color:${COLOR.ink};font-family:Helvetica,Arial,sans-serif}`,
    `.kw-preview text{fill:${COLOR.ink};paint-order:stroke;stroke:#fff;stroke-width:.18em;stroke-linejoin:round}`,
    ".kw-preview .kw-badge-text{fill:#fff;stroke:none;font-weight:bold;text-anchor:middle}",
    `.kw-kept{fill:${COLOR.kept}}`,
    `.kw-waste{fill:${COLOR.waste}}`,
    `.kw-outline{fill:none;stroke:${COLOR.outline};stroke-width:${w(0.3)}}`,
    `.kw-swatch{stroke:${COLOR.outline};stroke-width:${w(0.3)}}`,
    `.kw-edge{fill:none;stroke:${COLOR.outline};stroke-width:${w(0.3)}}`,
    `.kw-unknown-edge{fill:none;stroke:${COLOR.outline};stroke-width:${w(0.2)};stroke-dasharray:${dashes("3 2")}}`,
    `.kw-not-cut{fill:none;stroke:${COLOR.notCut};stroke-width:${w(0.2)};stroke-dasharray:${dashes("1 1")}}`,
    `.kw-unplanned{fill:none;stroke:${COLOR.finding};stroke-width:${w(0.35)};stroke-dasharray:${dashes("1.6 0.8")}}`,
    `.kw-kerf{fill:none;stroke:${COLOR.kerf};stroke-opacity:.42;stroke-linecap:round;stroke-linejoin:round}`,
    `.kw-lead{fill:none;stroke:${COLOR.ink};stroke-width:${w(0.3)}}`,
    `.kw-travel{fill:none;stroke:${COLOR.ink};stroke-width:${w(0.18)};stroke-dasharray:${dashes("0.3 1.1")};stroke-linecap:round}`,
    `.kw-hole{fill:#fff;stroke:${COLOR.ink};stroke-width:${w(0.3)}}`,
    `.kw-drawn-hole{fill:#fff;stroke:${COLOR.ink};stroke-width:${w(0.6)}}`,
    `.kw-cross{fill:none;stroke:${COLOR.ink};stroke-width:${w(0.15)}}`,
    `.kw-origin{fill:none;stroke:${COLOR.ink};stroke-width:${w(0.5)}}`,
    `.kw-tab{fill:none;stroke:${COLOR.tab}}`,
    `.kw-preview .kw-tab-text{fill:${COLOR.tab}}`,
    `.kw-badge{fill:${COLOR.ink}}`,
    `.kw-finding{fill:${COLOR.finding}}`,
    `.kw-finding-ring{fill:none;stroke:${COLOR.finding};stroke-width:${w(0.35)}}`,
    `.kw-rule{fill:none;stroke:${COLOR.ink};stroke-width:${w(0.2)}}`,
    `.kw-wire{fill:#fff;fill-opacity:.75}`,
    ...Array.from({ length: passes }, (_, i) => pass(i + 1)),
  ].join("\n");
}
