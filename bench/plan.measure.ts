/**
 * Measures one block of many openings in this process, the whole way from the plan to its proof, the first time, as a
 * user waits for it; `bench/plan.ts` starts one for each. Processor time.
 */
import {
  type Layout,
  layOut,
  makePlan,
  NEUTRAL,
  prove,
  readDxf,
  readProgram,
  settleJob,
  writeProgram,
} from "../src/index.js";
import { largeDrawing } from "./plan.large-drawing.js";
import { timed } from "./run.processor-time.js";

/** Openings, and the seconds in which they should be planned. */
const [openings, goal] = process.argv.slice(2).map(Number) as [number, number];
const job = settleJob({ passes: 3, roles: { layers: { PLATE: "stock" } } });

const whole = layOut(readDxf(largeDrawing(3 * openings), {}), job);
const layout: Layout = {
  ...whole,
  features: whole.features.slice(0, openings),
};
const [planned, plan] = timed(() => makePlan(layout, job, "block"));
const [written, text] = timed(() => writeProgram(plan, NEUTRAL));
const [proved, proof] = timed(() =>
  prove(readProgram(text, NEUTRAL), layout, plan.job),
);
const again = JSON.stringify(makePlan(layout, job, "block"));
const told = [
  planned > goal ? `OVER ${goal} s` : `goal ${goal} s`,
  ...(proof.ok ? [] : ["THE PROOF FAILS"]),
  ...(again === JSON.stringify(plan) ? [] : ["NOT THE SAME TWICE"]),
];
console.log(
  `${`${layout.features.length} openings`.padEnd(16)}plan ${figure(planned)}, write ${figure(written)}, prove ${figure(proved)}, together ${figure(planned + written + proved)} (${told.join("; ")})`,
);

function figure(seconds: number): string {
  return `${seconds.toFixed(2)} s`;
}
