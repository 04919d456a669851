/** Loops for every pass of a feature, or the findings that say why the wire cannot follow it. */
import type { Finding } from "../base/finding.js";
import { placeText, trimmed } from "../base/numbers.js";
import { MAX_GOUGE } from "../base/tolerance.js";
import { areaMoments, type Contour } from "../geometry/contour.js";
import { deepestPoint } from "../geometry/deepest.js";
import type { OffsetLoop } from "../geometry/offset.js";
import { type Unreached, unreachedStretches } from "../geometry/reach.js";
import { lerp, pair, type Vec } from "../geometry/vec.js";
import type { Feature } from "./feature.js";
import type { Pass } from "./job.js";
import { type PassLoop, passLoops, type Track, trackContour } from "./track.js";

/**
 * An outline that turns by less than this between the two places the wire touches opens towards the wire: a
 * corner, where some stock is bound to stay. From here on the walls run alongside each other: a slot that the
 * wire does not enter, and the part is not what was drawn. 175°: five degrees of draft still count as a slot.
 */
export const SLOT_TURN = (175 * Math.PI) / 180;

export interface Tracked {
  readonly track: Track | null;
  readonly findings: readonly Finding[];
}

export function trackFeature(
  feature: Feature,
  passes: readonly Pass[],
): Tracked {
  const contour = trackContour(feature);
  const done: PassLoop[] = [];
  const corners: { pass: Pass; stretches: Unreached[] }[] = [];
  // The finish tells most: what it cannot pass, no pass can.
  for (const pass of [...passes].reverse()) {
    const { main, others } = passLoops(feature, contour, pass.offset);
    if (!main)
      return {
        track: null,
        findings: [tooNarrow(feature, contour, pass, passes)],
      };
    const left = unreachedStretches(contour, [main], pass.offset).filter(
      (u) => u.left > MAX_GOUGE,
    );
    const slot = left.find((u) => u.turn >= SLOT_TURN);
    if (slot || others.length > 0) {
      return {
        track: null,
        findings: [barred(feature, contour, pass, passes, slot, main, others)],
      };
    }
    done.unshift({ pass, loop: main });
    corners.unshift({ pass, stretches: left });
  }
  const finish = corners.at(-1);
  return {
    track: { feature, contour, passes: done },
    findings:
      finish && finish.stretches.length > 0
        ? [tightCorners(feature, finish)]
        : [],
  };
}

function kerfText(pass: Pass, passes: readonly Pass[]): string {
  return `pass ${pass.number} of ${passes.length} needs ${trimmed(2 * pass.offset, 4)} mm (wire, spark gaps and stock left on both sides)`;
}

function whatToDo(pass: Pass, passes: readonly Pass[]): string {
  return pass.number === passes.length
    ? "take a thinner wire or widen it"
    : `the last pass fits: leave less stock on pass ${pass.number}, or take a thinner wire`;
}

function tooNarrow(
  feature: Feature,
  contour: Contour,
  pass: Pass,
  passes: readonly Pass[],
): Finding {
  const widest = deepestPoint(contour);
  const where = pair(widest.at);
  return {
    code: "wire/no-room",
    severity: "error",
    message: `${feature.id} at ${placeText(where)} is at most ${trimmed(2 * widest.distance, 4)} mm wide, too narrow for the wire: ${kerfText(pass, passes)}; ${whatToDo(pass, passes)}`,
    where,
    feature: feature.id,
  };
}

/** A slot or a neck the wire cannot pass: it lies about midway between the places where the wire had to turn. */
function barred(
  feature: Feature,
  contour: Contour,
  pass: Pass,
  passes: readonly Pass[],
  slot: Unreached | undefined,
  main: OffsetLoop,
  others: readonly OffsetLoop[],
): Finding {
  const turned = [main, ...others]
    .map((l) =>
      unreachedStretches(contour, [l], pass.offset).filter(
        (u) => u.turn >= SLOT_TURN,
      ),
    )
    .map((us) => us[0]?.wireAt)
    .filter((p): p is Vec => p !== undefined);
  const [a, b] = turned;
  const at =
    a && b ? lerp(a, b, 0.5) : (a ?? slot?.at ?? areaMoments(contour).centroid);
  const where = pair(at);
  const what = others.length > 0 ? "a neck" : "a slot";
  const consequence =
    others.length > 0
      ? `the wire cannot pass and ${others.length + 1} separate pieces of path remain`
      : `the wire cannot enter, leaving ${trimmed(slot?.left ?? 0, 3)} mm of stock`;
  return {
    code: others.length > 0 ? "wire/neck" : "wire/slot",
    severity: "error",
    message: `${feature.id} has ${what} at ${placeText(where)} that ${consequence}: ${kerfText(pass, passes)}; ${whatToDo(pass, passes)}`,
    where,
    feature: feature.id,
  };
}

/** How many places a message lists before it only counts. */
const LISTED = 6;

function tightCorners(
  feature: Feature,
  finish: { pass: Pass; stretches: Unreached[] },
): Finding {
  const worstFirst = [...finish.stretches].sort((a, b) => b.left - a.left);
  const worst = worstFirst[0] as Unreached;
  const places = worstFirst
    .slice(0, LISTED)
    .map((u) => `${trimmed(u.left, 4)} mm at ${placeText(pair(u.at))}`)
    .join(", ");
  const more =
    worstFirst.length > LISTED ? ` and ${worstFirst.length - LISTED} more` : "";
  const many =
    worstFirst.length === 1
      ? "an inside corner is"
      : `${worstFirst.length} inside corners are`;
  return {
    code: "corner/tighter-than-wire",
    severity: "warning",
    message: `${feature.id}: ${many} tighter than the ${trimmed(finish.pass.offset, 4)} mm the wire can turn in; stock stays: ${places}${more}. Give the corner that radius, relieve it, or take a thinner wire`,
    where: pair(worst.at),
    feature: feature.id,
  };
}
