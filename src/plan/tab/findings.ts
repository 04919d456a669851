/** What is to be said of where tabs stand. */
import type { Finding } from "../../base/finding.js";
import { placeText, trimmed } from "../../base/numbers.js";
import { pair } from "../../geometry/vec.js";
import { weakTab } from "../../process/tabs.js";
import type { Placed } from "../entry/entries.js";
import { type OutlineProfile, standsOnFlank } from "../entry/placing-score.js";
import type { Job } from "../job/job.js";
import type { Slug } from "../slug/slug.js";
import { standingTab } from "./tab.js";
import { tabWidth } from "./width.js";

/** Where teeth are too fine for a tab on a tip or in a root, it stands on a flank, which has to run true. */
export function flankFindings(
  profile: OutlineProfile,
  placed: readonly Placed[],
  job: Job,
): Finding[] {
  const { id } = profile.track.feature;
  return placed
    .filter(({ marks }) => standsOnFlank(profile, marks.lead, marks.tabSpan))
    .map(({ marks, entry }) => {
      const { track } = profile;
      const { length, at } = standingTab(track, marks, job);
      const where = pair(at);
      const { diameter } = entry.hole;
      const width = tabWidth(track, { ...marks, diameter }, job);
      const holds =
        width < WIDE_ENOUGH * length
          ? `, and of its ${trimmed(length, 3)} mm, round a bend, only ${trimmed(width, 3)} mm hold where it is narrowest`
          : "";
      return {
        code: "tab/on-flank",
        severity: "warning",
        message: `${id}: the tab at ${placeText(where)} stands on the flank of a tooth, for no tip and no root is long enough for it${holds}; its mark stays on a face that works. Set a shorter tabs.length, put it where it matters least (features.${id}.tab), or dress the flank by hand`,
        where,
        feature: id,
      };
    });
}

/** Of a tab that measures this share of its length where it is narrowest, its width is no matter. Common practice, no source. */
const WIDE_ENOUGH = 0.75;

/** A tab that came out so many times as long as wanted reaches round a corner. */
const MUCH_LONGER = 1.5;

/** A tab beside its start hole that measures less than this share of its length is told. Common practice, no source. */
const OF_USUAL = 0.5;

/** Tabs too narrow to hold their piece until somebody comes, and those that the start hole has made narrower. */
export function weakTabs(
  profile: OutlineProfile,
  placed: readonly Placed[],
  slug: Slug,
  job: Job,
): Finding[] {
  const { track } = profile;
  const { id } = track.feature;
  const { process, stock } = job;
  const least = weakTab(slug, process.material, stock.thickness, process.tabs);
  return placed.flatMap(({ marks, entry, tab: wanted }): Finding[] => {
    const measured = (diameter: number): number =>
      tabWidth(track, { ...marks, diameter }, job);
    const width = measured(entry.hole.diameter);
    const stands = standingTab(track, marks, job);
    const where = pair(stands.at);
    const tab = `${id}: the tab at ${placeText(where)}`;
    const ownWidth = measured(0);
    const longer =
      stands.length > MUCH_LONGER * wanted.length
        ? `Its end had to be moved on to ${trimmed(stands.length, 3)} mm, past corners: set a tabs.length so short that it fits on one stretch`
        : "Set a longer tabs.length";
    const smallerHole = `Make the hole smaller (startHoles.diameter) or put it farther off (features.${id}.startHole)`;
    if (width < least)
      return [
        {
          code: "tab/weak",
          severity: "error",
          message: `${tab} measures ${trimmed(Math.max(0, width), 3)} mm where it is narrowest, too little to hold ${trimmed(slug.mass * 1000, 1)} g with nobody there: ${trimmed(least, 3)} mm is the least. ${ownWidth < least ? `${longer}, or put it on a longer stretch (features.${id}.tab)` : `It is the start hole of ${trimmed(entry.hole.diameter, 3)} mm that is so near. ${smallerHole}`}`,
          where,
          feature: id,
        },
      ];
    const usual = OF_USUAL * stands.length;
    if (width >= usual) return [];
    // On a flank, that is told with it.
    if (ownWidth < usual)
      return standsOnFlank(profile, marks.lead, marks.tabSpan)
        ? []
        : [
            {
              code: "tab/narrow",
              severity: "warning",
              message: `${tab} is ${trimmed(stands.length, 3)} mm long, but the outline bends there: where it is narrowest, only ${trimmed(width, 3)} mm hold. Set a shorter tabs.length, or put it where the outline is straighter (features.${id}.tab)`,
              where,
              feature: id,
            },
          ];
    return [
      {
        code: "tab/beside-hole",
        severity: "warning",
        message: `${tab} is ${trimmed(stands.length, 3)} mm long, but between the wall of the start hole and its end only ${trimmed(width, 3)} mm hold. ${smallerHole}`,
        where,
        feature: id,
      },
    ];
  });
}
