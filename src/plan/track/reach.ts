/** Loops for every pass of a feature, or the findings that say why the wire cannot follow it. */
import type { Finding } from "../../base/finding.js";
import { placeText, trimmed } from "../../base/numbers.js";
import { areaMoments, type Contour } from "../../geometry/contour.js";
import { deepestPoint } from "../../geometry/deepest.js";
import type { OffsetLoop } from "../../geometry/offset.js";
import { unreachedStretches } from "../../geometry/reach.js";
import { lerp, pair, type Vec } from "../../geometry/vec.js";
import type { Feature } from "../feature.js";
import type { Pass } from "../job/job.js";
import { cornerChips } from "../slug/corner-chips.js";
import { fitPass, smallerLeave } from "./fit-passes.js";
import { fits, isSlot, type Reached, reachOf } from "./reached.js";
import { type Track, trackContour } from "./track.js";

export interface Tracked {
  readonly track: Track | null;
  readonly findings: readonly Finding[];
}

/** The loops of every pass; a pass that the finish could follow and this one cannot leaves less stock (`fit-passes.ts`). */
export function trackFeature(
  feature: Feature,
  passes: readonly Pass[],
): Tracked {
  const contour = trackContour(feature);
  const done: Reached[] = [];
  const findings: Finding[] = [];
  // The finish tells most: what it cannot pass, no pass can.
  for (const pass of [...passes].reverse()) {
    const wanted = reachOf(feature, contour, pass);
    const next = done[0]?.pass;
    const reached =
      fits(wanted) || !next ? wanted : fitPass(feature, contour, wanted, next);
    if (!fits(reached))
      return {
        track: null,
        findings: [barred(feature, contour, wanted, passes)],
      };
    if (reached !== wanted)
      findings.push(smallerLeave(feature, wanted, reached));
    done.unshift(reached);
  }
  const loops = done.map(({ pass, main }) => ({
    pass,
    loop: main as OffsetLoop,
  }));
  return {
    track: { feature, contour, passes: loops },
    findings: [
      ...findings.reverse(),
      ...cornerChips(feature, done),
      ...tightCorners(feature, done),
    ],
  };
}

function kerfText(pass: Pass, passes: readonly Pass[]): string {
  return `pass ${pass.number} of ${passes.length} needs ${trimmed(2 * pass.offset, 4)} mm (wire, spark gaps and stock left on both sides)`;
}

function whatToDo(pass: Pass, passes: readonly Pass[]): string {
  return pass.number === passes.length
    ? "take a thinner wire or widen it"
    : "the last pass fits, but even without stock left this one does not: take a thinner wire, a smaller gap, or widen it";
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
  { pass, main, others, left }: Reached,
  passes: readonly Pass[],
): Finding {
  if (!main) return tooNarrow(feature, contour, pass, passes);
  const slot = left.find(isSlot);
  const [a, b] = [main, ...others]
    .map((l) => unreachedStretches(contour, [l], pass.offset).find(isSlot))
    .map((u) => u?.wireAt)
    .filter((p): p is Vec => p !== undefined);
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

/** Corners that the finish leaves stock in; what the passes before it leave there is told with it. */
function tightCorners(feature: Feature, passes: readonly Reached[]): Finding[] {
  const finish = passes.at(-1) as Reached;
  const worstFirst = [...finish.left].sort((a, b) => b.left - a.left);
  const worst = worstFirst[0];
  if (!worst) return [];
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
  const before = passes
    .slice(0, -1)
    .map(({ pass, left }) => ({
      pass,
      most: left.reduce((most, u) => Math.max(most, u.left), 0),
    }))
    .map(({ pass, most }) => `${trimmed(most, 4)} mm by pass ${pass.number}`);
  const early =
    before.length > 0 ? ` (at most ${before.join(", ")}, before it)` : "";
  return [
    {
      code: "corner/tighter-than-wire",
      severity: "warning",
      message: `${feature.id}: ${many} tighter than the ${trimmed(finish.pass.offset, 4)} mm the wire can turn in; stock stays: ${places}${more}${early}. Give the corner that radius, relieve it, or take a thinner wire`,
      where: pair(worst.at),
      feature: feature.id,
    },
  ];
}
