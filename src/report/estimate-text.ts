/** The estimate in three lines, for a terminal. */
import { fixed } from "../base/numbers.js";
import type { Plan } from "../plan/plan.js";
import { estimatePlan } from "./estimate.js";
import { longText, massText, timeText } from "./text.js";

/** Each line says how sure it is. */
export function estimateText(plan: Plan): string[] {
  const e = estimatePlan(plan);
  const [low, high] = e.timeRange;
  const { units } = plan.job;
  const { working, wire } = plan.job.process;
  const time = `burning about ${timeText(e.time)} (${timeText(low)} to ${timeText(high)}, as the area rates turn out), ${timeText(e.unattended)} of it with nobody there`;
  const work = `machine taken up for ${timeText(e.machine)}, somebody's work ${timeText(e.labour)}, with ${fixed(working.setup, 0)} min to set up, ${fixed(working.thread, 1)} a thread, ${fixed(working.stop, 0)} a stop`;
  const spent = `wire ${longText(e.wireLength, units, 0)}, ${massText(e.wireMass)}, ${fixed(e.spools, 2)} of a ${fixed(wire.spool, 1)} kg spool, at ${longText(wire.feed, units, 1)}/min`;
  if (!e.cost) return [time, work, spent];
  const { total, range, currency } = e.cost;
  const unit = currency === "" ? "" : ` ${currency}`;
  return [
    time,
    work,
    spent,
    `cost about ${fixed(total, 2)}${unit} (${fixed(range[0], 2)} to ${fixed(range[1], 2)}), start holes and programming not in it`,
  ];
}
