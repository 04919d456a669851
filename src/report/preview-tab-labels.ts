/** Length of each tab and the steps at it, written where they cover no line and no other label. */
import { trimmed } from "../base/numbers.js";
import { mmPer } from "../base/units.js";
import { contourBox } from "../geometry/contour.js";
import { nearestOnSegment, type SegmentIndex } from "../geometry/distance.js";
import { tangentAt } from "../geometry/segment.js";
import { left, negate, rotate, type Vec } from "../geometry/vec.js";
import {
  entriesOf,
  type Plan,
  type PlannedFeature,
  type Tab,
} from "../plan/plan.js";
import { type Frame, figure, textAt } from "./preview-frame.js";
import { type LabelBox, textWidth, travelLines } from "./preview-labels.js";
import { TEXT } from "./preview-style.js";
import { rangesText, stepNumbers } from "./text.js";

/** With more features than this, labels stay straight outside their tabs: there is no free ground to look for. */
const MOST_MOVED = 100;

/** Directions against the outward one (degrees) and distances (mm on paper) that are tried, the best first. */
const TURNS = [0, 30, -30, 60, -60, 90, -90, 130, -130, 180];
const DISTANCES = [0, 3, 6, 10, 15];

export function tabLabels(
  plan: Plan,
  frame: Frame,
  lines: SegmentIndex,
  taken: readonly LabelBox[],
): string {
  const tabbed = plan.features.flatMap((f) =>
    entriesOf(f).flatMap((entry) =>
      entry.tab ? [{ ...f, ...entry, tab: entry.tab }] : [],
    ),
  );
  const travel = travelLines(plan);
  const boxes = [
    ...taken,
    ...tabbed.map((f) => holeBox(f, frame)),
    ...plan.findings.flatMap((f) => (f.where ? [markBox(f.where, frame)] : [])),
  ];
  // Paper that one feature has to itself, on average: decides how much is said.
  const share = spread(plan) * frame.scale;
  const size = Math.min(TEXT.small, Math.max(TEXT.least, share * 0.1));
  return tabbed
    .map((f) => {
      const text = tabText(plan, f, share);
      const place = tabPlace(plan, f, frame, text, size, {
        lines,
        travel,
        boxes,
      });
      boxes.push(place.box);
      const { x, y, width, height } = place.box;
      const leader = place.moved
        ? `<path class="kw-rule" d="M${frame.at(f.tab.at)}L${figure(clamp(frame.x(f.tab.at.x), x, x + width))} ${figure(clamp(frame.y(f.tab.at.y), y, y + height))}"/>`
        : "";
      return (
        leader +
        textAt(frame, x + width / 2, y + height * 0.78, text, {
          size,
          anchor: "middle",
          kind: "kw-tab-text",
        })
      );
    })
    .join("\n");
}

/** A feature as one of its tabs sees it. */
type Tabbed = PlannedFeature & { readonly tab: Tab };

function tabText(plan: Plan, f: Tabbed, share: number): string {
  const unit = plan.job.units;
  const length = trimmed(f.tab.length / mmPer(unit), unit === "in" ? 3 : 2);
  const steps = rangesText(
    stepNumbers(plan, f.id, (s) => s.kind === "stop" || s.attended),
  );
  if (share > 30)
    return `tab ${length} ${unit}${steps ? `, steps ${steps}` : ""}`;
  return share > 14 ? `tab ${length}` : length;
}

/** What a label should not cover. */
interface InTheWay {
  readonly lines: SegmentIndex;
  readonly travel: SegmentIndex;
  readonly boxes: readonly LabelBox[];
}

/** A thin dotted line under a label does less harm than an outline. */
const TRAVEL = 0.3;

function tabPlace(
  plan: Plan,
  f: Tabbed,
  frame: Frame,
  text: string,
  size: number,
  { lines, travel, boxes }: InTheWay,
): { readonly box: LabelBox; readonly moved: boolean } {
  const width = frame.paper(size * textWidth([text]));
  const height = frame.paper(size * 1.15);
  const kerf = (plan.job.passes[0]?.offset ?? 0) + plan.job.wire.diameter / 2;
  const out = outwardAt(f, f.tab.at);
  const boxAt = (turn: number, far: number): LabelBox => {
    const way = rotate(out, (turn * Math.PI) / 180);
    const reach = kerf + frame.paper(0.6 + far);
    // The label hangs by the point of its edge that looks towards the tab.
    const x = frame.x(f.tab.at.x + way.x * reach) + (way.x * width) / 2;
    const y = frame.y(f.tab.at.y + way.y * reach) - (way.y * height) / 2;
    return { x: x - width / 2, y: y - height / 2, width, height };
  };
  let best = { box: boxAt(0, 0), moved: false };
  if (plan.features.length > MOST_MOVED) return best;
  let least = Number.POSITIVE_INFINITY;
  for (const far of DISTANCES)
    for (const turn of TURNS) {
      const box = boxAt(turn, far);
      const covered =
        linesUnder(box, frame, lines) +
        TRAVEL * linesUnder(box, frame, travel) +
        5 * boxes.filter((b) => overlap(b, box)).length +
        (box.x < 0 || box.x + box.width > frame.width ? 100 : 0);
      if (covered >= least) continue;
      least = covered;
      best = { box, moved: far > 3 };
      if (covered === 0) return best;
    }
  return best;
}

/** How many places along the label's middle have a line within half its height. */
function linesUnder(box: LabelBox, frame: Frame, lines: SegmentIndex): number {
  const reach = box.height * 0.6;
  const count = Math.max(2, Math.ceil(box.width / reach));
  const y = frame.y(0) - (box.y + box.height / 2);
  let hits = 0;
  for (let i = 0; i <= count; i++) {
    const x = box.x + (box.width * i) / count - frame.x(0);
    if (lines.anyNearer(x, y, reach)) hits++;
  }
  return hits;
}

function overlap(a: LabelBox, b: LabelBox): boolean {
  return (
    a.x < b.x + b.width &&
    b.x < a.x + a.width &&
    a.y < b.y + b.height &&
    b.y < a.y + a.height
  );
}

function holeBox({ startHole: h }: PlannedFeature, frame: Frame): LabelBox {
  const r = h.diameter * 0.8;
  return {
    x: frame.x(h.at.x) - r,
    y: frame.y(h.at.y) - r,
    width: 2 * r,
    height: 2 * r,
  };
}

/** Room of a finding's mark, which stands on its place. */
function markBox(
  where: readonly [x: number, y: number],
  frame: Frame,
): LabelBox {
  const size = frame.paper(TEXT.small * 1.6);
  return {
    x: frame.x(where[0]) - size / 2,
    y: frame.y(where[1]) - 1.2 * size,
    width: size,
    height: 1.2 * size,
  };
}

function clamp(value: number, low: number, high: number): number {
  return Math.min(high, Math.max(low, value));
}

/** Unit vector square to the outline at a point of it, away from the inside. */
function outwardAt(f: PlannedFeature, p: Vec): Vec {
  let best = Number.POSITIVE_INFINITY;
  let out: Vec = { x: 0, y: -1 };
  for (const s of f.contour.segments) {
    const near = nearestOnSegment(s, p);
    if (near.distance < best) {
      best = near.distance;
      // Counter-clockwise: the inside lies left of travel.
      out = negate(left(tangentAt(s, s.kind === "line" ? 0 : 0.5)));
    }
  }
  return out;
}

/** Side of the square that each feature would have if they shared their box evenly, mm. */
function spread(plan: Plan): number {
  const boxes = plan.features.map((f) => contourBox(f.contour));
  const w =
    Math.max(...boxes.map((b) => b.maxX)) -
    Math.min(...boxes.map((b) => b.minX));
  const h =
    Math.max(...boxes.map((b) => b.maxY)) -
    Math.min(...boxes.map((b) => b.minY));
  return Math.sqrt((w * h) / Math.max(1, plan.features.length));
}
