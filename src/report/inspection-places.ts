/** The places of an inspection that a person should look at, the most telling first. */
import { messageIn } from "../base/message.js";
import { placeText } from "../base/numbers.js";
import { likelyMeaning } from "../drawing/line-types.js";
import type { Job } from "../plan/job/job.js";
import { type Inspection, isAid, type OpenGap } from "./inspection.js";
import { countText, lengthText } from "./text.js";

type Place = readonly [number, number];

export interface LookAt {
  readonly text: string;
  readonly at: Place;
  /** Drawn from one to the other: across a slot or a web, or over a gap. */
  readonly line?: readonly [Place, Place];
}

/** So many of a kind: a picture full of marks shows none. */
const MOST_OPEN = 8;
const MOST_LEFT = 4;
const MOST_SLOTS = 4;
const MOST_FINDINGS = 6;

export function placesToLookAt(i: Inspection, job: Job): LookAt[] {
  const mm = (value: number): string => lengthText(value, i.shownIn);
  const wire = i.wires.find((w) => w.diameter === job.wire.diameter);
  const others = i.findings.filter(
    (f) => f.where && f.severity !== "note" && f.code !== "outline/not-closed",
  );
  return merged([
    ...openGaps(i)
      .slice(0, MOST_OPEN)
      .map(({ layer, gap }) => ({
        text: `open by ${mm(gap.size)}, layer ${layer}`,
        at: gap.from,
        line: [gap.from, gap.to] as const,
      })),
    ...aids(i),
    ...(i.narrowestSlot
      ? [
          {
            text: `narrowest slot, ${mm(i.narrowestSlot.width)}`,
            at: i.narrowestSlot.at,
            line: i.narrowestSlot.ends,
          },
        ]
      : []),
    ...(i.thinnestWeb
      ? [
          {
            text: `thinnest web, ${mm(i.thinnestWeb.width)}`,
            at: i.thinnestWeb.at,
            line: i.thinnestWeb.ends,
          },
        ]
      : []),
    ...tightest(i).map(({ id, value, at }) => ({
      text:
        value === 0
          ? `sharp inside corner of ${id}`
          : `smallest inside radius, ${mm(value)}, of ${id}`,
      at,
    })),
    ...(wire?.slots ?? []).slice(0, MOST_SLOTS).map(({ feature, at }) => ({
      text: `${feature}: the ${mm(job.wire.diameter)} wire cannot get in here`,
      at,
    })),
    ...(wire?.uncut ?? []).slice(0, MOST_LEFT).map(({ feature, at, left }) => ({
      text: `${feature}: the ${mm(job.wire.diameter)} wire leaves ${mm(left)} in this corner`,
      at,
    })),
    ...others.slice(0, MOST_FINDINGS).map((f) => ({
      text: `${f.severity}: ${messageIn(f.message, i.shownIn)}`,
      at: f.where as Place,
    })),
  ]);
}

/** Every gap of what may be an outline to be cut once, though the chains on both sides of it have it; the smallest first. */
function openGaps({ open }: Inspection) {
  const gaps = new Map<string, { layer: string; gap: OpenGap }>();
  for (const { layer, ignored, slit, gap, otherGap } of open.filter(
    (o) => !isAid(o),
  ))
    for (const g of otherGap ? [gap, otherGap] : [gap]) {
      const key = `${layer} ${[g.from.join(), g.to.join()].sort().join(" ")}`;
      if (!ignored && slit === null && !gaps.has(key))
        gaps.set(key, { layer, gap: g });
    }
  return [...gaps.values()].sort((a, b) => a.gap.size - b.gap.size);
}

/** Centre lines and the like: one mark for all of a layer and line type. */
function aids({ open }: Inspection): LookAt[] {
  const kinds = new Map<string, { count: number; at: Place; what: string }>();
  for (const { layer, lineType = "", ignored, slit, gap } of open) {
    if (ignored || slit !== null || !isAid({ lineType })) continue;
    const what = `line type ${lineType}, layer ${layer}, open: ${likelyMeaning(lineType)}?`;
    const kind = kinds.get(what) ?? { count: 0, at: gap.from, what };
    kinds.set(what, { ...kind, count: kind.count + 1 });
  }
  return [...kinds.values()].map(({ count, at, what }) => ({
    text: `${countText(count, "line")} with ${what}`,
    at,
  }));
}

/** One mark for one place, whatever there is to say of it. */
function merged(places: readonly LookAt[]): LookAt[] {
  const byPlace = new Map<string, LookAt>();
  for (const place of places) {
    const key = placeText(place.at);
    const before = byPlace.get(key);
    byPlace.set(
      key,
      before ? { ...before, text: `${before.text}; ${place.text}` } : place,
    );
  }
  return [...byPlace.values()];
}

/** The tightest of all outlines. */
function tightest({
  contours,
}: Inspection): { id: string; value: number; at: Place }[] {
  const all = contours.flatMap(({ id, feature, minInsideRadius: r }) =>
    r ? [{ id: feature ?? id, value: r.value, at: r.at }] : [],
  );
  const least = all.reduce<(typeof all)[number] | null>(
    (a, b) => (a && a.value <= b.value ? a : b),
    null,
  );
  return least ? [least] : [];
}
