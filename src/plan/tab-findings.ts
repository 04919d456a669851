/** What is to be said of where tabs stand. */
import type { Finding } from "../base/finding.js";
import { placeText } from "../base/numbers.js";
import { pair } from "../geometry/vec.js";
import type { Placed } from "./entries.js";
import { type OutlineProfile, standsOnFlank } from "./placing-score.js";
import { spotPoint } from "./track.js";

/** Where teeth are too fine for a tab on a tip or in a root, it stands on a flank, which has to run true. */
export function flankFindings(
  profile: OutlineProfile,
  placed: readonly Placed[],
): Finding[] {
  const { id } = profile.track.feature;
  return placed
    .filter(({ marks }) => standsOnFlank(profile, marks.lead, marks.tabSpan))
    .map(({ marks }) => {
      const where = pair(spotPoint(profile.track, marks.lead));
      return {
        code: "tab/on-flank",
        severity: "warning",
        message: `${id}: the tab at ${placeText(where)} stands on the flank of a tooth, for no tip and no root is long enough for it; its mark stays on a face that works. Set a shorter tabs.length, put it where it matters least (features.${id}.tab), or dress the flank by hand`,
        where,
        feature: id,
      };
    });
}
