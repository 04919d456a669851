/** Which open lines of the drawing are slits, and what cannot be one. */
import type { Finding } from "../../base/finding.js";
import { nameText } from "../../base/message.js";
import { placeText } from "../../base/numbers.js";
import type { OpenChain, Outline } from "../../drawing/drawing.js";
import type { Segment } from "../../geometry/segment.js";
import { byPlace, pair, type Vec } from "../../geometry/vec.js";
import type { Slit } from "../feature.js";
import { NO_WISH } from "../job/features.js";
import type { Job } from "../job/job.js";
import type { OutlineRole } from "../layout/drawn-marks.js";

export interface DrawnSlits {
  readonly slits: readonly Slit[];
  /** Of every line on such layers, also where the job ignores it. */
  readonly ids: readonly string[];
  readonly findings: readonly Finding[];
}

/** `lines`: what lies open on layers with the role slit; `roles` and `ids` are those of the closed outlines. */
export function drawnSlits(
  lines: readonly OpenChain[],
  outlines: readonly Outline[],
  roles: readonly OutlineRole[],
  outlineIds: readonly (string | null)[],
  job: Job,
): DrawnSlits {
  const all = lines
    .toSorted((a, b) => byPlace(startOf(a), startOf(b)))
    .map(
      ({ layer, contour }, i): Slit => ({
        id: `slit-${i + 1}`,
        layer,
        contour,
      }),
    );
  const roleOf = ({ id }: Slit) => job.features[id]?.role ?? "slit";
  return {
    slits: all.filter((s) => roleOf(s) === "slit"),
    ids: all.map((s) => s.id),
    findings: [
      ...outlines.flatMap((o, i) =>
        roles[i] === "slit" ? [closed(o, outlineIds[i] ?? o.id, job)] : [],
      ),
      ...all.flatMap((s) => [
        ...(["slit", "ignore"].includes(roleOf(s)) ? [] : [open(s)]),
        ...wishesLeft(s, job),
      ]),
    ],
  };
}

function startOf({ contour }: Pick<Slit, "contour">): Vec {
  return (contour.segments[0] as Segment).start;
}

function closed({ layer, contour }: Outline, id: string, job: Job): Finding {
  const where = pair(startOf({ contour }));
  const said =
    job.features[id]?.role === "slit"
      ? `features.${id}.role`
      : `the role of layer ${nameText(layer)}`;
  return {
    code: "slit/closed",
    severity: "error",
    message: `${said} is slit, but the outline at ${placeText(where)} is closed: a cut along it frees what lies inside. A slit is an open line, on a layer with the role slit; a closed outline is an opening or a part`,
    where,
  };
}

function open(s: Slit): Finding {
  const where = pair(startOf(s));
  return {
    code: "slit/open",
    severity: "error",
    message: `${s.id} at ${placeText(where)} is an open line: features.${s.id}.role can only be slit or ignore`,
    where,
    feature: s.id,
  };
}

/** What a job may decide of an outline and not of a slit. */
function wishesLeft(s: Slit, job: Job): Finding[] {
  const wish = job.features[s.id] ?? NO_WISH;
  const said = [
    ...(wish.tabs.length > 0 ? ["tab"] : []),
    ...(wish.lead ? ["lead"] : []),
    ...(wish.keepOff.length > 0 ? ["keepOff"] : []),
    ...(wish.start ? ["start"] : []),
  ];
  if (said.length === 0) return [];
  const where = pair(startOf(s));
  return [
    {
      code: "slit/by-hand",
      severity: "error",
      message: `${s.id} at ${placeText(where)} is a slit, which has neither tab nor lead-in and begins at one of its ends: take ${said.map((key) => `features.${s.id}.${key}`).join(", ")} out`,
      where,
      feature: s.id,
    },
  ];
}
