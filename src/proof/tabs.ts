/**
 * Is the metal that holds a piece until somebody comes enough to hold it? A tab is what the thread that frees the piece
 * cuts away between kerfs that were there before; its width is how far those are apart.
 */
import type { Finding } from "../base/finding.js";
import { fixed, placeText } from "../base/numbers.js";
import { HOLDING_WEB, THINNEST_FIN } from "../base/tolerance.js";
import { contourLength } from "../geometry/contour.js";
import { type Box, segmentBox } from "../geometry/segment.js";
import { distance, lerp, pair, type Vec } from "../geometry/vec.js";
import type { Feature } from "../plan/feature.js";
import type { Job } from "../plan/job/job.js";
import { weight } from "../process/materials.js";
import { firstClosing, type Link, type Touch, touchesOf } from "./closing.js";
import type { Move } from "./follow.js";
import type { Ground } from "./ground.js";
import type { KerfMove } from "./kerf.js";
import { pointTo } from "./measure.js";
import type { Loosening } from "./people.js";

/** What a tab must be at the least, mm. */
interface Needs {
  /** Thinner, it does not hold. */
  readonly weak: number;
  /** Thinner than `OF_WANTED` of this, it may bend in the flushing, or when somebody touches the piece. */
  readonly wanted: number;
}

/** mm, and its middle. */
interface Tab {
  readonly width: number;
  readonly at: Vec;
}

/** Each tab is told once, for all that hangs on it. */
export function checkTabs(
  pieces: readonly Loosening[],
  moves: readonly Move[],
  ground: Ground,
  job: Job,
): Finding[] {
  const needed = (p: Loosening): Needs =>
    needsOf(p, ground.layout.features[p.featureIndex] as Feature, job);
  const hanging: { piece: Loosening; tab: Tab }[] = [];
  for (const piece of [...pieces].sort((a, b) => b.mass - a.mass)) {
    if (piece.crumb || !piece.attended) continue;
    const tab = widestTab(piece, moves, thinOf(needed(piece)));
    if (!tab) continue;
    const same = hanging.find(
      (h) =>
        h.piece.thread === piece.thread &&
        distance(h.tab.at, tab.at) <= tab.width,
    );
    if (!same) hanging.push({ piece, tab });
    else same.piece = { ...same.piece, mass: same.piece.mass + piece.mass };
  }
  return hanging
    .sort((a, b) => a.piece.action - b.piece.action)
    .map(({ piece, tab }) => findingOf(piece, tab, needed(piece)));
}

/** Share of the shortest tab that practice knows for the mass: under it, it is a mistake rather than a choice. */
const OF_PRACTICE = 0.5;

/** A tab is asked along the path, and measured where it is narrowest: in a bend that is less. */
const OF_WANTED = 0.9;

/** No more of a small outline than this share is asked for. */
const LARGEST_SHARE = 1 / 20;

/**
 * By strength the piece's weight, on an arm of half its longer side, bends a beam as wide as the tab and as high as the
 * plate: M / Z with Z = width · height² / 6, at most yield / safety; and shears it (elementary beam theory). "thin" is a
 * matter of practice.
 */
function needsOf(p: Loosening, feature: Feature, job: Job): Needs {
  const { material, tabs } = job.process;
  const { strength } = material;
  const { box } = p.piece;
  const height = job.stock.thickness;
  const arm = Math.max(box.maxX - box.minX, box.maxY - box.minY) / 2;
  const widthFor = (force: number): number =>
    strength === "brittle"
      ? 0
      : tabs.safety *
        Math.max(
          (6 * force * arm) / (strength.yield * height ** 2),
          force / (strength.shear * height),
        );
  const row =
    tabs.rows.find((r) => r.below === null || p.mass < r.below) ?? tabs.rows[0];
  const practice = Math.min(
    OF_PRACTICE * (row?.length ?? 0),
    LARGEST_SHARE * contourLength(feature.contour),
    job.tabs.length === "auto" ? Number.POSITIVE_INFINITY : job.tabs.length,
  );
  // Two or more tabs carry a heavy piece between them: its weight bends none of them.
  const bends = (row?.count ?? 1) > 1 ? 0 : widthFor(weight(p.mass));
  const weak = Math.max(THINNEST_FIN, Math.min(bends, tabs.longest));
  return { weak, wanted: Math.max(weak, practice) };
}

function thinOf({ weak, wanted }: Needs): number {
  return Math.max(weak, OF_WANTED * wanted);
}

/** The widest tab of a piece and its middle; null when it is wider than `most`, or nothing was cut beforehand. */
function widestTab(
  { cluster, piece, thread }: Loosening,
  moves: readonly Move[],
  most: number,
): Tab | null {
  const { links, touches, rest } = cluster;
  const threadOf = (move: number): number =>
    move < 0 ? -1 : (moves[move] as Move).thread;
  const wasThere = links.map((l) => threadOf(l.move) < thread);
  const freeing = cluster.kerf.filter((k) => threadOf(k.move) === thread);
  const tabs = bridges(links, wasThere, freeing, most);
  if (tabs.length === 0) return null;
  const before = touches.filter((t) => wasThere[t.a] && wasThere[t.b]);
  const last = firstClosing(links, [...before, ...tabs], piece.at, rest);
  const tab = tabs.find((t) => t === last);
  return tab ? { width: tab.width, at: tab.at } : null;
}

interface Bridge extends Touch, Tab {}

/** Pairs of earlier kerfs up to `most` apart between which the freeing thread cuts, the nearest first. */
function bridges(
  links: readonly Link[],
  wasThere: readonly boolean[],
  freeing: readonly KerfMove[],
  most: number,
): Bridge[] {
  const isCut = (p: Vec): boolean =>
    freeing.some((k) => pointTo(k.segment, p.x, p.y) <= k.radius);
  const boxes = freeing.map((k) => segmentBox(k.segment));
  const near = links.flatMap((l, index) => {
    if (!wasThere[index]) return [];
    const reach = (k: KerfMove, i: number): boolean => {
      const far = k.radius + l.radius + most;
      return [l.start, l.end].some(
        (p) =>
          isInBox(p, boxes[i] as Box, far) &&
          pointTo(k.segment, p.x, p.y) <= far,
      );
    };
    return freeing.some(reach) ? [{ ...l, joined: false, index }] : [];
  });
  return touchesOf(near, most)
    .flatMap((t): Bridge[] => {
      const [a, b] = [near[t.a], near[t.b]] as [
        Link & { index: number },
        Link & { index: number },
      ];
      const apart = Math.sqrt(
        (t.onA.x - t.onB.x) ** 2 + (t.onA.y - t.onB.y) ** 2,
      );
      const width = apart - a.radius - b.radius;
      if (width <= HOLDING_WEB) return [];
      const at = lerp(t.onA, t.onB, (a.radius + width / 2) / apart);
      return isCut(at) ? [{ ...t, a: a.index, b: b.index, width, at }] : [];
    })
    .sort((a, b) => a.width - b.width);
}

const isInBox = (p: Vec, box: Box, margin: number): boolean =>
  p.x >= box.minX - margin &&
  p.x <= box.maxX + margin &&
  p.y >= box.minY - margin &&
  p.y <= box.maxY + margin;

function findingOf(
  p: Loosening,
  { width, at }: Tab,
  { weak, wanted }: Needs,
): Finding {
  const tooWeak = width < weak;
  const held = `program line ${p.line}: ${p.feature}: until then a tab of ${fixed(width, 3)} mm at ${placeText(pair(at))} holds the piece (${fixed(p.mass * 1000, 1)} g)`;
  return {
    code: tooWeak ? "proof/tab-weak" : "proof/tab-thin",
    severity: tooWeak ? "error" : "warning",
    message: tooWeak
      ? `${held}, which is as good as loose with nobody there: leave ${fixed(weak, 3)} mm or more`
      : `${held}; it may bend in the flushing: leave ${fixed(wanted, 3)} mm or more, or support the piece`,
    where: pair(at),
    feature: p.feature,
  };
}
