/** The setup sheet: one HTML file that holds all the person at the machine needs, printable on A4 and US Letter in black and white. */
import { hasErrors } from "../base/finding.js";
import { messageIn } from "../base/message.js";
import { fixed, trimmed } from "../base/numbers.js";
import { MAX_GOUGE } from "../base/tolerance.js";
import { mmPer, toDegrees } from "../base/units.js";
import { type Job, registersOf } from "../plan/job/job.js";
import { wanderIn } from "../plan/job/start-holes.js";
import {
  entriesOf,
  type Plan,
  type PlannedFeature,
  type Tab,
  threadPlaces,
} from "../plan/plan.js";
import { vdiClass } from "../process/schedules.js";
import type { Proof } from "../proof/proof.js";
import { drawPreview } from "./preview.js";
import { estimateTable } from "./setup-sheet-estimate.js";
import { cautions, SHEET_STYLE, table } from "./setup-sheet-parts.js";
import { stepTable } from "./setup-sheet-steps.js";
import {
  countText,
  escapeMarkup,
  lengthFigure,
  lengthText,
  longText,
  massText,
  mostText,
} from "./text.js";

/**
 * @param proof null when no program was written.
 * @returns a whole HTML document that loads nothing from elsewhere.
 */
export function setupSheet(plan: Plan, proof: Proof | null): string {
  const section = (heading: string, body: string): string =>
    `<section><h2>${heading}</h2>\n${body}\n</section>`;
  const name = escapeMarkup(plan.name);
  return `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Setup sheet: ${name}</title>
<style>${SHEET_STYLE}</style>
</head>
<body>
<h1>Setup sheet: ${name}</h1>
${verdict(plan, proof)}
<p class="warn"><strong>Verify on your machine, with a test cut, by a trained operator.</strong> Gaps, offsets, speeds and times on this sheet are starting points; the machine's manual rules.</p>
${section("Cautions", cautions())}
${section("Job", jobTable(plan))}
<section class="picture"><h2>Picture</h2>
${drawPreview(plan)}</section>
${section("Passes and offsets", passTable(plan))}
${section("Start holes", holeTable(plan))}
${section("Step by step", stepTable(plan))}
${section("Pieces that come loose", pieceTable(plan))}
${section("Findings", findingTable(plan, proof))}
${section("Time and wire", estimateTable(plan))}
${section("Proof", proofTable(proof, plan.job))}
${section("Taken for granted", assumptionList(plan))}
${section("At the machine", signOff(plan))}
</body>
</html>
`;
}

function verdict(plan: Plan, proof: Proof | null): string {
  if (proof?.ok && !hasErrors(plan.findings))
    return `<p class="verdict"><strong>&#10003; The proof holds.</strong> The program was read back and replayed: it cuts into the finished edge by at most ${mostText(proof.maxGouge, plan.job.units, 2)} (allowed ${mostText(MAX_GOUGE, plan.job.units, 2)}), it reaches ${share(proof.coverage)} of what the wire can reach, and ${loose(proof)}.</p>`;
  return `<p class="verdict bad"><strong>&#10007; ${proof ? "The proof does not hold" : "Nothing is proved"}: no program was written.</strong> See the findings.</p>`;
}

function loose(proof: Proof): string {
  const all = proof.loosePieces.length;
  if (all === 0) return "no piece comes loose";
  return proof.loosePieces.every((p) => p.attended)
    ? `${all === 1 ? "the one piece that comes loose does" : `all ${all} pieces that come loose do`} so after a stop that names ${all === 1 ? "it" : "them"}`
    : "a piece comes loose with nobody there";
}

/** Rounded down, so that 100 % means all of it. */
function share(part: number): string {
  return `${fixed(Math.floor(part * 10000) / 100, 2)} %`;
}

function jobTable(plan: Plan): string {
  const { stock, wire, units, order, program, process } = plan.job;
  return table(
    [],
    [
      ["Material", escapeMarkup(process.material.title)],
      ["Thickness", lengthText(stock.thickness, units)],
      [
        "Wire",
        `${lengthText(wire.diameter, units)}, ${escapeMarkup(wire.material)}`,
      ],
      [
        "Flushing",
        `${escapeMarkup(process.flushing.title)}: rough rate × ${trimmed(process.flushing.roughRate, 2)}, rough gap × ${trimmed(process.flushing.roughGap, 2)}`,
      ],
      [
        "Features",
        `${countText(plan.features.length, "feature")}${plan.slits.length > 0 ? `, ${countText(plan.slits.length, "slit")}` : ""}`,
      ],
      [
        "Order",
        plan.job.stressRelief
          ? `all ${plan.job.passes[1]?.kind === "rough" ? "relief cuts" : "roughs"}, then the slugs out, then a rest, then all other passes, in one clamping`
          : order.rule === "unattended-first"
            ? "first all that needs nobody, then all that needs somebody"
            : "feature by feature",
      ],
      ["Leads", leadText(plan.job)],
      [
        "Travel with the wire out",
        `${longText(plan.travel.rapid / 1000, units, 3)}; in the order of the drawing it would be ${longText(plan.travel.asDrawn / 1000, units, 3)}`,
      ],
      [
        "Program",
        program.compensation === "path"
          ? "path of the wire's centre; no offset is set at the control"
          : "outline with G41/G42; the control must hold the D table below",
      ],
      [
        "Coordinates",
        `${units === "in" ? "inch" : "mm"}, zero as in the drawing, X to the right, Y up`,
      ],
    ],
  );
}

function passTable(plan: Plan): string {
  const { wire, units, program, process } = plan.job;
  const { ra, tolerance, source } = process.schedule;
  const control = program.compensation === "control";
  const head = [
    "Pass",
    "Kind",
    "Wire radius",
    "Spark gap",
    "Stock left",
    `Offset (${units})`,
    ...(control ? ["D register"] : []),
  ];
  const rows = registersOf(plan.job).map(({ number, pass: p, feature }) => [
    `${p.number}${feature === null ? "" : `, ${escapeMarkup(feature)} only`}`,
    p.kind,
    lengthFigure(wire.diameter / 2, units),
    lengthFigure(p.gap, units),
    lengthFigure(p.leave, units),
    lengthFigure(p.offset, units),
    ...(control ? [`D${number} = ${lengthFigure(p.offset, units)}`] : []),
  ]);
  return `${table(head, rows, "figures")}<p>Offset = wire radius + spark gap + stock left for the passes after it. ${
    control
      ? "Set each D register to its offset; correct it there after the test cut."
      : "To correct an offset after the test cut, change the gap in the job and plan anew: the offsets are in the program's coordinates."
  }</p><p>Expect Ra ${
    units === "in"
      ? `${rangeText(
          ra.map((r) => (1000 * r) / mmPer(units)),
          0,
        )} µin`
      : `${rangeText(ra, 2)} µm`
  } (VDI 3400 class ${rangeText(ra.map(vdiClass), 0)}) and sizes within ± ${lengthText(tolerance, units)}. Source: ${escapeMarkup(source)}.</p>`;
}

/** "0.6-1" */
function rangeText(range: readonly number[], decimals: number): string {
  return range.map((value) => trimmed(value, decimals)).join("-");
}

function leadText({ lead, units }: Job): string {
  const kind =
    lead.kind === "arc"
      ? `on an arc of ${lengthText(lead.radius, units)} radius where no tab stands beside it, else straight`
      : "straight, square to the outline";
  const spread =
    lead.spread > 0
      ? `; each skim of an opening begins ${lengthText(lead.spread, units)} farther on than the pass before it`
      : "";
  return `${kind}; overlap ${lengthText(lead.overlap, units)}${spread}`;
}

function holeTable(plan: Plan): string {
  const { units, stock, startHoles, process } = plan.job;
  const { drilling } = process;
  const places = threadPlaces(plan);
  const rows = places.map(({ hole: h, serves }) => {
    const names = serves.map(escapeMarkup).join("<br>");
    const place = [lengthFigure(h.at.x, units), lengthFigure(h.at.y, units)];
    if (h.diameter === 0)
      return [
        names,
        ...place,
        "",
        "",
        serves.some((id) => plan.slits.some((s) => s.id === id))
          ? "no hole: in an opening that is cut, or outside the block"
          : "no hole: in the open, outside the block",
      ];
    const ratio = stock.thickness / h.diameter;
    const deep = ratio > drilling.depthRatio ? ", deeper than usual" : "";
    return [
      names,
      ...place,
      lengthText(h.diameter, units),
      `${trimmed(ratio, 0)} : 1`,
      h.drawn
        ? "in the drawing: check it is there"
        : `to make, right through${deep}`,
    ];
  });
  const sizes =
    startHoles.diameter === null
      ? ` Each is the largest that fits of the drills ${startHoles.drills.map((d) => lengthText(d, units)).join(", ")}.`
      : "";
  const head = [
    "For",
    `X (${units})`,
    `Y (${units})`,
    "Diameter",
    "Depth to diameter",
    "",
  ];
  const list = table(head, rows, "figures");
  if (places.length > 0 && places.every(({ hole }) => hole.diameter === 0))
    return `${list}<p>There is nothing to drill: the wire saws its way in from the block's edge.</p>`;
  return `${list}<p>Depth ${lengthText(stock.thickness, units)}.${sizes} Room is left for a hole to wander by ${lengthText(wanderIn(plan.job), units)} on its way through, unless a finding says otherwise. Deburr and wash out each hole; a hole that wanders leaves the wire against its wall.</p>`;
}

function tabsOf(f: PlannedFeature): Tab[] {
  return entriesOf(f).flatMap(({ tab }) => tab ?? []);
}

function pieceTable(plan: Plan): string {
  const { units } = plan.job;
  const away = plan.features.filter((f) => f.role !== "part" && !f.tab);
  const loose = plan.features.filter((f) => !away.includes(f));
  const rows = loose.map((f) => [
    escapeMarkup(f.id),
    f.role === "part" ? "the part itself" : "slug",
    massText(f.slug.mass),
    `${f.slug.size.map((side) => lengthFigure(side, units)).join(" × ")}`,
    leanText(f.slug.lean),
    `${lengthFigure(f.slug.cg.x, units)}, ${lengthFigure(f.slug.cg.y, units)}`,
    tabsOf(f)
      .map(({ length }) => lengthText(length, units))
      .join("<br>"),
    tabsOf(f)
      .map(
        ({ at }) =>
          `${lengthFigure(at.x, units)}, ${lengthFigure(at.y, units)}`,
      )
      .join("<br>"),
  ]);
  const list = `${table(
    [
      "Feature",
      "What",
      "Mass",
      `Size (${units})`,
      "Leans",
      `Centre of mass X, Y (${units})`,
      "Tab",
      `Middle of the tab X, Y (${units})`,
    ],
    rows,
    "figures pieces",
  )}<p>The mass of a slug is that of the metal inside the rough's kerf, of a part that of its outline less the openings in it; the proof weighs what the program leaves, a slug without the kerf of its lead-in, some tenths of a gram less. Leans: how far a loose piece tips in its kerf before its corners wedge between the walls (width · cos a + height · sin a = width + 2 kerfs).</p>`;
  const whole =
    away.length > 0
      ? `<p>Cut away whole, with nothing to come loose: ${away.map((f) => escapeMarkup(f.id)).join(", ")}.</p>`
      : "";
  return `${loose.length > 0 ? list : away.length > 0 ? "" : "<p>Nothing.</p>"}${whole}`;
}

function leanText(lean: number | null): string {
  return lean === null
    ? "turns right over"
    : `${fixed(toDegrees(lean), 1)}&deg;, then jams`;
}

function findingTable(plan: Plan, proof: Proof | null): string {
  const { units } = plan.job;
  const all = [...plan.findings, ...(proof?.findings ?? [])];
  if (all.length === 0) return "<p>None.</p>";
  const rows = all.map((f, i) => [
    String(i + 1),
    `<strong>${f.severity}</strong>`,
    f.where
      ? `<span class="firm">${f.where.map((mm) => fixed(mm / mmPer(units), units === "in" ? 4 : 3)).join(", ")}</span>`
      : "",
    `<span class="firm">${escapeMarkup(f.feature ?? "")}</span>`,
    `<span class="free">${escapeMarkup(messageIn(f.message, units))}</span> <small>${escapeMarkup(f.code)}</small>`,
  ]);
  return table(["No.", "", `X, Y (${units})`, "Feature", "What"], rows);
}

function proofTable(proof: Proof | null, { units }: Job): string {
  if (!proof)
    return "<p>No program was written, so there is none to prove.</p>";
  const words = Object.entries(proof.words)
    .map(([word, n]) => `${escapeMarkup(word)} ×${n}`)
    .join(", ");
  return table(
    [],
    [
      ["Verdict", proof.ok ? "holds" : "<strong>does not hold</strong>"],
      [
        "Cut into the finished edge, at most",
        `${mostText(proof.maxGouge, units, 2)} (allowed ${mostText(MAX_GOUGE, units, 2)})`,
      ],
      [
        "Stock left where the wire can reach, at most",
        mostText(proof.maxExcess, units, 2),
      ],
      [
        "Reached by the last pass, least of all features",
        share(proof.coverage),
      ],
      [
        "Pieces that come loose, as cut",
        proof.loosePieces
          .map(
            (p) =>
              `${escapeMarkup(p.feature)} (${massText(p.mass)}, line ${p.line}, ${p.attended ? "after its stop" : "<strong>nobody there</strong>"})`,
          )
          .join("; ") || "none",
      ],
      ["Blocks", String(proof.blocks)],
      ["Words", words],
    ],
  );
}

function assumptionList(plan: Plan): string {
  const { assumptions, units, wire, process } = plan.job;
  const items = [
    ...assumptions.map((a) => messageIn(a, units)),
    ...process.schedule.steps.map(
      (s) => `figures of the passes ${messageIn(s, units)}`,
    ),
    `${process.material.title}: ${process.material.source}`,
    `${wire.material} wire: ${process.wire.source}`,
    `flushing, ${process.flushing.title}: ${process.flushing.source}`,
    `tabs as long as practice and strength ask: ${process.tabs.source}; elementary beam theory, a cantilever of tab length × height`,
    `drills, their depth and how they wander: ${process.drilling.source}`,
    `times and how sure they are: ${process.working.source}`,
  ];
  return `<ul>${items.map((a) => `<li class="free">${escapeMarkup(a)}</li>`).join("\n")}</ul>`;
}

/** Empty fields to fill in by hand. */
function signOff(plan: Plan): string {
  return table(
    [
      "Pass",
      "Gap measured at the test cut",
      "Offset used",
      "Generator setting",
    ],
    plan.job.passes.map((p) => [String(p.number), "", "", ""]),
    "blank",
  ).concat(
    '<p class="sign">Block clamped and squared <span></span> Zero set and checked <span></span></p><p class="sign">Operator <span></span> Date <span></span></p>',
  );
}
