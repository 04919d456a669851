/** Time, wire and money on the setup sheet, each figure with how sure it is. */
import { fixed } from "../base/numbers.js";
import { type LengthUnit, mmPer } from "../base/units.js";
import type { Plan } from "../plan/plan.js";
import { wireMassPerMetre } from "../process/wires.js";
import { type Cost, type Estimate, estimatePlan } from "./estimate.js";
import { table } from "./setup-sheet-parts.js";
import { escapeMarkup, longText, massText, timeText } from "./text.js";

export function estimateTable(plan: Plan): string {
  const e = estimatePlan(plan);
  return `${table(["", "", "How sure"], [...timeRows(plan, e), ...wireRows(plan, e), ...costRows(plan, e.cost)])}<p>Time = length × thickness / area rate. Where the figures are from: see Taken for granted.</p>${byFeature(e, plan.job.units)}`;
}

function timeRows(plan: Plan, e: Estimate): string[][] {
  const { units } = plan.job;
  const { working, schedule } = plan.job.process;
  const range = e.timeRange.map(timeText).join(" to ");
  const percent = working.rateRange.map((r) => fixed(100 * r, 0)).join("-");
  return [
    ...e.passes.map((p) => [
      `Pass ${p.pass} ${p.kind}`,
      `${longText(p.length, units, 3)} at ${feedText(p.feed, units)}: ${timeText(p.time)}`,
      `length exact; ${areaRateText(p.areaRate, units)} may turn out ${percent} % of that${schedule.steps.length > 0 ? ", and is no row of the table" : ""}`,
    ]),
    [
      "Burning in all",
      `${longText(e.cutLength, units, 3)}, <strong>${timeText(e.time)}</strong>`,
      `${range}, as the area rates turn out`,
    ],
    ["Of it with nobody there", timeText(e.unattended), "as the passes"],
    ["Of it with somebody there", timeText(e.attended), "as the passes"],
    ["Threads and stops", `${e.threads} and ${e.stops}`, "exact"],
    [
      "Machine taken up",
      timeText(e.machine),
      `burning, ${fixed(working.setup, 0)} min to set up, ${fixed(working.thread, 1)} a thread, ${fixed(working.stop, 0)} a stop; filling the tank and a broken wire are not in it`,
    ],
    [
      "Somebody's work",
      timeText(e.labour),
      "setting up, stops, and burning that is watched",
    ],
  ];
}

/** mm/min, or in/min. */
function feedText(feed: number, units: LengthUnit): string {
  return `${fixed(feed / mmPer(units), units === "in" ? 2 : 1)} ${units}/min`;
}

/** mm²/min, or in²/h, as shops that work in inches reckon. */
function areaRateText(rate: number, units: LengthUnit): string {
  return units === "in"
    ? `${fixed((60 * rate) / mmPer(units) ** 2, 1)} in²/h`
    : `${fixed(rate, 0)} mm²/min`;
}

function wireRows(plan: Plan, e: Estimate): string[][] {
  const { wire, process, units } = plan.job;
  const { density, feed, spool } = process.wire;
  return [
    [
      "Wire",
      `${longText(e.wireLength, units, 0)}, ${massText(e.wireMass)}, ${fixed(e.spools, 2)} of a spool; all of it is scrap afterwards`,
      `time × ${longText(feed, units, 1)}/min; ${fixed(wireMassPerMetre(wire.diameter, density), 3)} g/m at ${fixed(density, 2)} g/cm³; a spool of ${fixed(spool, 1)} kg`,
    ],
    [
      "Masses",
      "in the table of pieces",
      `area exact; ${fixed(process.material.density, 2)} g/cm³`,
    ],
  ];
}

function costRows(plan: Plan, cost: Cost | null): string[][] {
  const { rates } = plan.job;
  if (!cost || !rates)
    return [["Cost", "not asked for", 'name "rates" in the job']];
  const money = (value: number): string =>
    `${fixed(value, 2)} ${escapeMarkup(cost.currency)}`.trim();
  return [
    ["Machine", money(cost.machine), `${money(rates.machineHour)} an hour`],
    [
      "Labour",
      money(cost.labour),
      `${money(rates.labourHour)} an hour; drawing, programming and start holes are not in it`,
    ],
    ["Wire bought", money(cost.wire), `${money(rates.wireKg)} a kilogram`],
    [
      "Cost in all",
      `<strong>${money(cost.total)}</strong>`,
      `${cost.range.map(money).join(" to ")}, as the area rates turn out`,
    ],
  ];
}

function byFeature(e: Estimate, units: LengthUnit): string {
  return table(
    ["Feature", "Cut", "Burning", "Threads", "Stops"],
    e.features.map((f) => [
      escapeMarkup(f.id),
      longText(f.length, units, 3),
      timeText(f.time),
      String(f.threads),
      String(f.stops),
    ]),
    "figures",
  );
}
