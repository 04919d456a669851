/**
 * How long a block of many openings takes to plan, and the whole way from the plan to its proof. Processor time of this
 * process. Goal: 400 openings planned in under 3 s, 5,000 in under 40 s.
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
import { largeDrawing } from "./large-drawing.js";
import { timed } from "./processor-time.js";

/** Openings, and the seconds in which they should be planned. */
const BLOCKS = [
  [400, 3],
  [5000, 40],
] as const;

const job = settleJob({ passes: 3, roles: { layers: { PLATE: "stock" } } });

for (const [openings, goal] of BLOCKS) {
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
}

function figure(seconds: number): string {
  return `${seconds.toFixed(2)} s`;
}
