/** Length of each tab and the steps at it, written where they cover no line and no other label. */
import { trimmed } from "../base/numbers.js";
import { mmPer } from "../base/units.js";
import { contourBox } from "../geometry/contour.js";
import { nearestOnSegment } from "../geometry/distance.js";
import { type Box, boxesTouch, tangentAt } from "../geometry/segment.js";
import { left, negate, rotate, type Vec } from "../geometry/vec.js";
import {
  entriesOf,
  type Plan,
  type PlannedFeature,
  type Tab,
} from "../plan/plan.js";
import type { Ground } from "./name-ground.js";
import { squaresOver } from "./name-places.js";
import { stepNumbers } from "./of-feature.js";
import { type Frame, textAt } from "./preview-frame.js";
import { leaderLine, textWidth } from "./preview-labels.js";
import { TEXT } from "./preview-style.js";
import { rangesText } from "./text.js";

/** With more features than this, labels stay straight outside their tabs: there is no free ground to look for. */
const MOST_MOVED = 100;

/** Directions against the outward one (degrees) and distances (mm on paper) that are tried, the best first. */
const TURNS = [0, 30, -30, 60, -60, 90, -90, 130, -130, 180];
const DISTANCES = [0, 3, 6, 10, 15];

/** `taken`: rooms of marks and names, mm of the drawing. */
export function tabLabels(
  plan: Plan,
  frame: Frame,
  ground: Ground,
  taken: readonly Box[],
): string {
  const tabbed = plan.features.flatMap((f) =>
    entriesOf(f).flatMap((entry) =>
      entry.tab ? [{ ...f, ...entry, tab: entry.tab }] : [],
    ),
  );
  const rooms = [...taken, ...ground.holes];
  // Paper that one feature has to itself, on average: decides how much is said.
  const share = spread(plan) * frame.scale;
  const size = Math.min(TEXT.small, Math.max(TEXT.least, share * 0.1));
  return tabbed
    .map((f) => {
      const text = tabText(plan, f, share);
      const { box, moved } = tabPlace(plan, f, frame, text, size, {
        ground,
        rooms,
      });
      rooms.push(box);
      const from = {
        x: clamp(f.tab.at.x, box.minX, box.maxX),
        y: clamp(f.tab.at.y, box.minY, box.maxY),
      };
      return (
        (moved ? leaderLine(frame, from, f.tab.at) : "") +
        textAt(
          frame,
          frame.x((box.minX + box.maxX) / 2),
          frame.y(box.minY) - frame.paper(size) * 0.25,
          text,
          { size, anchor: "middle", kind: "kw-tab-text" },
        )
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
  readonly ground: Ground;
  readonly rooms: readonly Box[];
}

/** A thin dotted line under a label does less harm than an outline. */
const TRAVEL = 0.3;

function tabPlace(
  plan: Plan,
  f: Tabbed,
  frame: Frame,
  text: string,
  size: number,
  { ground, rooms }: InTheWay,
): { readonly box: Box; readonly moved: boolean } {
  const width = frame.paper(size * textWidth([text]));
  const height = frame.paper(size * 1.15);
  const kerf = (plan.job.passes[0]?.offset ?? 0) + plan.job.wire.diameter / 2;
  const out = outwardAt(f, f.tab.at);
  const boxAt = (turn: number, far: number): Box => {
    const way = rotate(out, (turn * Math.PI) / 180);
    const reach = kerf + frame.paper(0.6 + far);
    // The label hangs by the point of its edge that looks towards the tab.
    const x = f.tab.at.x + way.x * (reach + width / 2);
    const y = f.tab.at.y + way.y * (reach + height / 2);
    return {
      minX: x - width / 2,
      maxX: x + width / 2,
      minY: y - height / 2,
      maxY: y + height / 2,
    };
  };
  let best = { box: boxAt(0, 0), moved: false };
  if (plan.features.length > MOST_MOVED) return best;
  const { window } = frame;
  let least = Number.POSITIVE_INFINITY;
  for (const far of DISTANCES)
    for (const turn of TURNS) {
      const box = boxAt(turn, far);
      const covered =
        squaresOver(ground.lines, box, height) +
        TRAVEL * squaresOver(ground.faint, box, height) +
        5 * rooms.filter((room) => boxesTouch(room, box)).length +
        (box.minX < window.minX || box.maxX > window.maxX ? 100 : 0);
      if (covered >= least) continue;
      least = covered;
      best = { box, moved: far > 3 };
      if (covered === 0) return best;
    }
  return best;
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
