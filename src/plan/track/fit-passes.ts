/** Passes that fit: where the finish can pass a neck or a slot and an earlier pass cannot, that pass leaves less stock. */
import type { Finding } from "../../base/finding.js";
import { placeText, trimmed } from "../../base/numbers.js";
import type { Contour } from "../../geometry/contour.js";
import type { Segment } from "../../geometry/segment.js";
import { pair } from "../../geometry/vec.js";
import type { Feature } from "../feature.js";
import type { Pass } from "../job/job.js";
import { quiet } from "../job/values.js";
import { fits, type Reached, reachOf } from "./reached.js";

/** mm; stock left is set in such steps, and a pass stays at least one of them above the pass that follows it. */
const STEP = 0.001;

/**
 * The pass with the most stock left at which it fits, found by halving; `wanted` itself when it does not fit even
 * with none left, or without coming nearer to the outline than the pass `next` after it.
 */
export function fitPass(
  feature: Feature,
  contour: Contour,
  wanted: Reached,
  next: Pass,
): Reached {
  const { pass } = wanted;
  const bare = pass.offset - pass.leave;
  const least = Math.max(0, Math.ceil((next.offset - bare) / STEP) + 1);
  const at = (steps: number): Reached => {
    const leave = quiet(steps * STEP);
    return reachOf(feature, contour, {
      ...pass,
      leave,
      offset: quiet(bare + leave),
    });
  };
  let low = least;
  let high = Math.ceil(pass.leave / STEP);
  if (low >= high) return wanted;
  let best = at(low);
  if (!fits(best)) return wanted;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    const tried = at(middle);
    if (fits(tried)) [low, best] = [middle, tried];
    else high = middle;
  }
  return best;
}

export function smallerLeave(
  feature: Feature,
  wanted: Reached,
  reached: Reached,
): Finding {
  const { pass } = reached;
  const tight = wanted.left.reduce<Reached["left"][number] | null>(
    (a, u) => (a === null || u.turn > a.turn ? u : a),
    null,
  );
  const where = pair(
    tight?.wireAt ?? (feature.contour.segments[0] as Segment).start,
  );
  return {
    code: "pass/leave-lowered",
    severity: "warning",
    message: `${feature.id}: pass ${pass.number} cannot follow the outline at ${placeText(where)} at its offset of ${trimmed(wanted.pass.offset, 4)} mm, though the last pass can; for this feature it leaves ${trimmed(pass.leave, 4)} mm of stock in place of ${trimmed(wanted.pass.leave, 4)} mm and runs at ${trimmed(pass.offset, 4)} mm. The passes after it take less there: mind the finish`,
    where,
    feature: feature.id,
  };
}
