/** Parts of the setup sheet that hold no figures of the job: its looks, a table, the cautions. */

/**
 * Black on white; what colour would say is said by words, weight and rules, so that any printer will do. The page
 * size is the printer's: 186 mm of width fit both A4 and US Letter. Cautions and job nearly fill the first page, the
 * picture the second (255 mm less its heading on Letter): so no page is left half empty before it.
 */
export const SHEET_STYLE = `
@page { margin: 12mm }
body { font: 10pt/1.4 Helvetica, Arial, sans-serif; color: #111; background: #fff; max-width: 186mm; margin: 6mm auto; padding: 0 4mm }
h1 { font-size: 17pt; margin: 0 0 3mm; overflow-wrap: anywhere }
h2 { font-size: 12pt; margin: 7mm 0 2mm; border-bottom: 0.4mm solid #111; break-after: avoid }
table { border-collapse: collapse; width: 100% }
th, td { border-bottom: 0.2mm solid #888; padding: 0.8mm 2mm 0.8mm 0; text-align: left; vertical-align: top }
.free { overflow-wrap: anywhere }
.firm { white-space: nowrap }
thead th { border-bottom: 0.4mm solid #111; vertical-align: bottom }
tbody th { font-weight: normal; white-space: nowrap; padding-right: 5mm }
tr { break-inside: avoid }
thead { display: table-header-group }
.pieces td:is(:first-child, :nth-child(3), :nth-child(7)) { white-space: nowrap }
.figures td { font-variant-numeric: tabular-nums }
.verdict, .warn { border: 0.4mm solid #111; padding: 2mm 3mm; margin: 2mm 0 }
.verdict.bad { border-width: 1.2mm }
.person td, .person th { border-left: 0; font-weight: bold }
.person td:first-child, .person th:first-child { border-left: 1.6mm solid #111; padding-left: 2mm }
.person .detail { font-weight: normal }
.picture svg { display: block; width: 100%; height: auto; max-height: 238mm }
.picture { break-inside: avoid }
.blank td { height: 7mm; border-right: 0.2mm solid #888 }
.sign { margin: 5mm 0 }
.sign span { display: inline-block; width: 55mm; border-bottom: 0.2mm solid #111; margin-right: 6mm }
ul { margin: 0; padding-left: 5mm }
li { margin: 0.8mm 0 }
small { color: #444 }
@media print { body { margin: 0 auto; padding: 0; max-width: none } }
`;

/**
 * A table of cells that are markup already. Without a head the first cell of each row heads it.
 */
export function table(
  head: readonly string[],
  rows: readonly (readonly string[])[],
  kind = "",
): string {
  const top = head.length
    ? `<thead><tr>${head.map((h) => `<th scope="col">${h}</th>`).join("")}</tr></thead>`
    : "";
  const body = rows.map((cells) => {
    const [first = "", ...others] = cells;
    const lead = head.length
      ? `<td>${first}</td>`
      : `<th scope="row">${first}</th>`;
    return `<tr>${lead}${others.map((c) => `<td>${c}</td>`).join("")}</tr>`;
  });
  return `<table${kind ? ` class="${kind}"` : ""}>${top}<tbody>\n${body.join("\n")}\n</tbody></table>`;
}

/** What the trade warns of; it does not stand in for the machine's manual or for training. */
const CAUTIONS = [
  "The gap is live while cutting: touch neither wire, workpiece nor fixture; keep the guards closed.",
  "A slug falls, tilts and jams: cut its last tab only with somebody there, hold it by magnet, clamp or support plate, and keep hands out from between the heads. Its mass is in the table of pieces.",
  "Edges of slugs and parts are sharp, and so are wire ends: gloves and eye protection when taking pieces out and when rethreading; guard the chopper.",
  "Nozzle pressure can lift or tip a small piece: lower the flushing before a tab is cut.",
  "Carbide and graphite tabs break without bending: support the whole piece.",
  "Oil dielectric burns: fire detection on, level kept above the cut, never unattended without a working extinguishing system. Water does not burn, but keep its conductivity in the shop's range.",
  "Aluminium makes hydrogen, carbide leaves cobalt in the water: ventilate, wear gloves, treat filters as waste.",
  "Before cleaning or reaching in: stop the generator, clear the tank, lock out, wait for the discharge.",
  "When start holes are spark-drilled: eye protection, and mind the whipping electrode and the water jet.",
  "The machine's manual, ISO 28881 (safety of electrical discharge machines), the local codes and trained people go before this sheet.",
];

export function cautions(): string {
  return `<ul>${CAUTIONS.map((c) => `<li>${c}</li>`).join("\n")}</ul>`;
}
