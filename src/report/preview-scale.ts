/** How a sheet tells its scale: the bar, where X0 Y0 lies, and how heavy lines may be. */
import { trimmed } from "../base/numbers.js";
import { type LengthUnit, mmPer } from "../base/units.js";
import { type Contour, contourBox } from "../geometry/contour.js";
import type { Box } from "../geometry/segment.js";
import { type Frame, figure, SHEET, textAt } from "./preview-frame.js";
import { TEXT } from "./preview-style.js";
import { lengthText } from "./text.js";

/** Length of the arrows at X0 Y0, mm on paper. */
const ORIGIN_ARM = 5;

/** Room of the arrows at X0 Y0 and of their letters, mm of the drawing. */
export function originRooms({ paper }: Frame): readonly Box[] {
  const [arm, wide] = [paper(ORIGIN_ARM + 2.5), paper(1.2)];
  return [
    { minX: -wide, maxX: arm, minY: -wide, maxY: wide },
    { minX: -wide, maxX: wide, minY: -wide, maxY: arm },
  ];
}

/** Lines grow thinner where the usual feature is narrow on paper, so that 400 openings do not run into one blot. */
export function lineWeight(
  features: readonly { readonly contour: Contour }[],
  frame: Frame,
): number {
  const widths = features
    .map((f) => contourBox(f.contour))
    .map((b) => Math.min(b.maxX - b.minX, b.maxY - b.minY))
    .sort((a, b) => a - b);
  const usual = widths[Math.floor(widths.length / 2)] ?? 0;
  return Math.max(0.3, Math.min(1, (usual * frame.scale) / 10));
}

/** Where X0 Y0 lies, and the place of the lower left corner, so that the sheet's coordinates can be found. */
export function originMark(
  box: Box,
  units: LengthUnit,
  frame: Frame,
  y: number,
): string {
  const { paper } = frame;
  if (!Number.isFinite(box.minX)) return "";
  const [x0, y0] = [frame.x(0), frame.y(0)];
  const seen =
    x0 >= frame.left &&
    x0 <= frame.right &&
    y0 >= frame.top &&
    y0 <= frame.bottom;
  const arm = paper(ORIGIN_ARM);
  const corner = `lower left corner: X ${lengthText(box.minX, units)}, Y ${lengthText(box.minY, units)}`;
  return (
    (seen
      ? `<path class="kw-origin" d="M${figure(x0 + arm)} ${figure(y0)}H${figure(x0)}V${figure(y0 - arm)}"/>` +
        textAt(frame, x0 + arm + paper(0.5), y0 + paper(0.7), "X", {
          size: TEXT.small,
        }) +
        textAt(frame, x0, y0 - arm - paper(0.6), "Y", {
          size: TEXT.small,
          anchor: "middle",
        })
      : "") +
    textAt(
      frame,
      paper(SHEET.width - SHEET.margin),
      y + paper(1.9),
      seen ? `X0 Y0 is where the arrows meet; ${corner}` : corner,
      { size: TEXT.small, anchor: "end" },
    )
  );
}

/** A bar of a round length in the job's unit, 25 to 60 mm on paper, and a cross for the axes. */
export function scaleBar(units: LengthUnit, frame: Frame, y: number): string {
  const { paper } = frame;
  const unit = mmPer(units);
  const longest = paper(60) / unit;
  const power = 10 ** Math.floor(Math.log10(longest));
  const length =
    [5, 2, 1].map((s) => s * power).find((l) => l <= longest) ?? power;
  const x = paper(SHEET.margin);
  const end = x + length * unit;
  const quarter = (end - x) / 4;
  const h = paper(1.4);
  const bars = [0, 2].map(
    (k) =>
      `<rect fill="#1b1b1b" x="${figure(x + k * quarter)}" y="${figure(y)}" width="${figure(quarter)}" height="${figure(h)}"/>`,
  );
  return [
    `<rect class="kw-rule" x="${figure(x)}" y="${figure(y)}" width="${figure(end - x)}" height="${figure(h)}"/>`,
    ...bars,
    textAt(frame, x, y + paper(5), "0", { size: TEXT.small, anchor: "middle" }),
    textAt(frame, end, y + paper(5), `${trimmed(length, 6)} ${units}`, {
      size: TEXT.small,
      anchor: "middle",
    }),
  ].join("\n");
}
