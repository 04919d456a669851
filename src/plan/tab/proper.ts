/** Where on the outline a proper tab stands: one that measures where it is narrowest about what it is long. */

import type { Site } from "../entry/entry.js";
import { roomFor, shortestLead } from "../entry/hole-room.js";
import { tabBehind, tabEnd } from "../entry/lead-clear.js";
import {
  goodPlaces,
  keptPlaces,
  type LeadPlace,
  rankLeadPlaces,
} from "../entry/lead-places.js";
import { holeSizes } from "../job/start-holes.js";
import { offSpot } from "../track/track.js";

/** Where the lead may meet the outline with a proper tab behind it, the best first: all, and those about as good as the best. */
export interface Places {
  readonly ranked: Iterable<LeadPlace>;
  readonly good: Iterable<LeadPlace>;
}

/** `null` where there is none, for then no hole need be looked for; empty where the lead point is fixed. */
export function placesOf(site: Site): Places | null {
  const { leastTab, fixed } = site;
  if (fixed) return { ranked: [], good: [] };
  const ranked = keptPlaces(rankLeadPlaces(site), (at) =>
    leastTab === 0
      ? tabEnd(site, at.spot) !== null
      : squareTab(site, at, leastTab) >= leastTab,
  );
  const [best] = ranked;
  return best ? { ranked, good: goodPlaces(ranked) } : null;
}

/** mm that the tab at a place measures where the lead comes in square from the nearest hole there might be. */
function squareTab(
  site: Site,
  { spot }: LeadPlace,
  enough: number,
  most?: number,
): number {
  const { track, job } = site;
  const smallest = holeSizes(job).at(-1) as number;
  const off = shortestLead(roomFor(smallest, job, 0), job);
  return tabBehind(
    site,
    { hole: offSpot(track, spot, off), lead: spot },
    enough,
    0,
    most,
  );
}

/** mm that a tab can measure at the best of its places: `wanted`, or less where the outline bends at all of them. */
export function widestTab(site: Site, wanted: number): number {
  let widest = 0;
  const places = site.fixed ? [] : rankLeadPlaces(site);
  const [best] = places;
  if (!best || squareTab(site, best, wanted) >= wanted) return wanted;
  for (const place of places) {
    // Of a place that is no better than one before it is not asked how much worse it is.
    widest = Math.max(widest, squareTab(site, place, widest, wanted));
    if (widest >= wanted) return wanted;
  }
  return widest;
}
