/** Step 6: what the program really does, measured from its text; and everything a person must know. */
import {
  countText,
  type Finding,
  fixed,
  type LengthUnit,
  massText,
  messageIn,
  mostText,
  type Proof,
  type Vec,
} from "../../src/index.js";
import type { App, Shown } from "../app.js";
import { h, say, table } from "../dom.js";
import type { Picture } from "../picture/picture.js";
import { refill } from "../refill.js";
import type { Proved } from "../worker/messages.js";
import { bodyOf, type Step } from "./step.js";

const SIGNS = { error: "◆", warning: "▲", note: "●" } as const;
/** Findings shown at once. */
const MOST = 100;
/** Pieces in the table: thousands of rows hold up the page for seconds. */
const MOST_PIECES = 200;
/** mm around a finding's place that are shown when it is jumped to. */
const SPAN = 4;

export function proofStep(app: App, picture: Picture): Step {
  const sentence = h("p", { class: "sentence" });
  const figures = h("div", {});
  const findings = h("div", {});
  bodyOf("proof").append(sentence, findings, figures);
  let drawn: {
    readonly proved: Shown["proved"];
    readonly told: readonly Finding[] | null;
  } = { proved: null, told: null };
  return (shown) => {
    const { proved, unproved } = shown;
    if (!proved) say(sentence, unprovedSentence(shown));
    // Without a proof the plan's findings are told; they are marked in the picture.
    const told = proved?.findings ?? (unproved ? shown.findings : null);
    if (proved !== drawn.proved || told !== drawn.told) {
      drawn = { proved, told };
      if (proved) sentence.textContent = sentenceOf(proved, app.units());
      refill(
        figures,
        ...(proved?.proof
          ? [measured(proved.proof, app.units()), loose(app, proved.proof)]
          : []),
      );
      refill(findings, told && findingList(app, picture, told));
    }
    findings
      .querySelectorAll<HTMLElement>("[data-finding]")
      .forEach((item, i) => {
        item.classList.toggle("chosen", told?.[i] === shown.finding);
      });
  };
}

function unprovedSentence({ fault, unproved, stage }: Shown): string {
  if (unproved && stage === null)
    return `The plan stands, but it is not proved, and without a proof there is no program to download: ${unproved.message}.`;
  return fault
    ? "There is no plan to prove: step 1 says why."
    : "Nothing to prove yet.";
}

/** To 0.1 µm (1 µin), as fine as the proof measures. */
export function tenths(mm: number, units: LengthUnit): string {
  return mostText(mm, units, 1);
}

function sentenceOf({ proof, findings }: Proved, units: LengthUnit): string {
  if (!proof)
    return "No program was written, so there is nothing to prove. What stands in the way:";
  return [
    proof.ok
      ? "The program was read back as a stranger would read it, and it makes the part."
      : "Read back, the program does not make the part: do not cut with it.",
    `It cuts into the finished edge by at most ${tenths(proof.maxGouge, units)} and leaves at most ${tenths(proof.maxExcess, units)} of stock that the wire could have reached.`,
    ...(proof.ok ? [] : causesOf(findings, units)),
    findings.length === 0 ? "" : `${countsText(findings)}:`,
  ].join(" ");
}

/** What is told as a warning but makes the errors: it would be looked for at the end of the list. */
function causesOf(findings: readonly Finding[], units: LengthUnit): string[] {
  return findings
    .filter(({ code }) => code === "proof/coarse-grid")
    .map(
      ({ message }) =>
        `The likely cause: ${messageIn(message, units)} (step 5, under “Words, grid and machine”).`,
    );
}

/** "2 errors, 1 warning, 3 notes" */
function countsText(findings: readonly Finding[]): string {
  return (["error", "warning", "note"] as const)
    .flatMap((severity) => {
      const count = findings.filter((f) => f.severity === severity).length;
      return count === 0 ? [] : [countText(count, severity)];
    })
    .join(", ");
}

function measured(proof: Proof, units: LengthUnit): HTMLElement {
  return table(
    "Measured from the program’s text",
    ["what", "measured"],
    [
      ["cut into the finished edge, at most", tenths(proof.maxGouge, units)],
      ["stock left within reach, at most", tenths(proof.maxExcess, units)],
      [
        "outline reached by the last pass",
        `${fixed(100 * proof.coverage, 2)} %`,
      ],
      ["blocks", String(proof.blocks)],
    ],
  );
}

function loose(app: App, proof: Proof): HTMLElement | null {
  const { loosePieces } = proof;
  if (loosePieces.length === 0) return null;
  // What would fall is told first: it must be among the rows that are shown.
  const rows = [...loosePieces]
    .sort((a, b) => Number(a.attended) - Number(b.attended))
    .slice(0, MOST_PIECES);
  return table(
    `Pieces that come loose${loosePieces.length > rows.length ? ` (the first ${rows.length} of ${loosePieces.length})` : ""}`,
    ["piece", "mass", "freed in line", "somebody there"],
    rows.map((p) => [
      h(
        "button",
        {
          type: "button",
          class: "jump",
          onclick: () => app.choose({ feature: p.feature }),
        },
        p.feature,
      ),
      massText(p.mass),
      p.line,
      p.attended ? "yes" : "NO",
    ]),
  );
}

function findingList(
  app: App,
  picture: Picture,
  findings: readonly Finding[],
): HTMLElement {
  if (findings.length === 0) return h("p", { class: "hint" }, "No findings.");
  const told = (f: Finding): string => messageIn(f.message, app.units());
  return h(
    "ol",
    { class: "findings", "aria-label": "Findings" },
    ...findings.slice(0, MOST).map((f) =>
      h(
        "li",
        { class: `finding ${f.severity}`, "data-finding": f.code },
        h("span", { class: "sign", "aria-hidden": "true" }, SIGNS[f.severity]),
        h(
          "span",
          {},
          h("strong", {}, `${f.severity}: `),
          told(f),
          " ",
          h("code", {}, f.code),
        ),
        placeOf(app, f)
          ? h(
              "button",
              {
                type: "button",
                class: "jump",
                "aria-label": `Show where: ${told(f).slice(0, 60)}`,
                onclick: () => {
                  app.choose({ finding: f, feature: f.feature ?? null });
                  const place = placeOf(app, f);
                  if (place) picture.goTo(place, SPAN);
                },
              },
              "Show",
            )
          : null,
      ),
    ),
    findings.length > MOST
      ? h(
          "li",
          { class: "hint" },
          `and ${findings.length - MOST} more in plan.json`,
        )
      : null,
  );
}

/** Its own place, or else where the wire gets in to the outline it is about. */
function placeOf(app: App, { where, feature }: Finding): Vec | null {
  if (where) return { x: where[0], y: where[1] };
  const about = app.shown().draft?.plan.features.find((f) => f.id === feature);
  return about?.leadPoint ?? null;
}
