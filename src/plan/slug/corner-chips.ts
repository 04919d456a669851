/** Chips in sharp corners: what one pass leaves there and the next one does not take. */
import type { Finding } from "../../base/finding.js";
import { placeText, trimmed } from "../../base/numbers.js";
import { pair } from "../../geometry/vec.js";
import type { Feature } from "../feature.js";
import type { Pass } from "../job/job.js";
import type { Reached } from "../track/reached.js";

/** How far (mm) a pass's kerf reaches beside its path. */
function reachBeside({ offset, leave }: Pass): number {
  return offset - leave;
}

/**
 * A corner of half angle a is turned at o₁ / sin a from its tip by a pass at offset o₁, whose kerf reaches r₁ towards the tip. The
 * next pass, at o₂, takes what lies up to o₂ + r₂ off either wall. Where (o₁ − o₂ − r₂) / sin a is more than r₁ a chip
 * is left between the two, high as the difference (plane geometry). The worst one is told; crumbs are not.
 */
export function cornerChips(
  feature: Feature,
  done: readonly Reached[],
): Finding[] {
  const least = Math.min(...done.map(({ pass }) => reachBeside(pass))) ** 2;
  const chips = done.slice(1).flatMap(({ pass: next }, i) => {
    const { pass, left } = done[i] as Reached;
    const over = pass.offset - next.offset - reachBeside(next);
    return left
      .map(({ at, turn }) => {
        const half = Math.max(0, (Math.PI - turn) / 2);
        const high = over / Math.sin(half) - reachBeside(pass);
        return {
          pass,
          next,
          at,
          area: high > 0 ? high ** 2 * Math.tan(half) : 0,
        };
      })
      .filter(({ area }) => area > least);
  });
  if (chips.length === 0) return [];
  const { pass, next, at, area } = chips.reduce((a, b) =>
    b.area > a.area ? b : a,
  );
  const where = pair(at);
  return [
    {
      code: "pass/corner-chip",
      severity: "error",
      message: `${feature.id}: in the corner at ${placeText(where)} a chip of about ${trimmed(area, 3)} mm² stays between the kerf of pass ${pass.number} and that of pass ${next.number} and would come loose with nobody there: leave at most ${trimmed(next.offset + reachBeside(next) - reachBeside(pass), 3)} mm of stock in pass ${pass.number}, round the corner, or put a pass in between`,
      where,
      feature: feature.id,
    },
  ];
}
