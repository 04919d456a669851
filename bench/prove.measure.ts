/**
 * Measures the proof of one program in this process; `bench/prove.ts` starts one for each. The text read included: the
 * first time by the clock, as a user waits for it, and the processor time of all threads, then and at best.
 */
import {
  layOut,
  makePlan,
  NEUTRAL,
  prove,
  readDxf,
  readProgram,
  settleJob,
  writeProgram,
} from "../src/index.js";
import { feature, layoutOf } from "../tests/helpers/programs.js";
import { gearOutline } from "./offset.gears.js";
import { largeDrawing } from "./plan.large-drawing.js";
import { timed } from "./run.processor-time.js";

const ROUNDS = 6;

const [kind, control] = process.argv.slice(2);
const compensation = control === "control" ? "control" : "path";
const job = settleJob({
  passes: 3,
  roles: { layers: { PLATE: "stock" } },
  program: { compensation },
});
const layout =
  kind === "plate"
    ? layOut(readDxf(largeDrawing(520), {}), job)
    : layoutOf([feature("part-1", "part", gearOutline("clean", 2600))]);
const plan = makePlan(layout, job, "bench");
const text = writeProgram(plan, NEUTRAL);
const round = () =>
  timed(() => prove(readProgram(text, NEUTRAL), layout, plan.job));
const since = performance.now();
const rounds = [round()];
const clock = (performance.now() - since) / 1000;
while (rounds.length < ROUNDS) rounds.push(round());
const [first, ...others] = rounds.map(([seconds]) => seconds) as [
  number,
  ...number[],
];
const proofs = rounds.map(([, proof]) => proof);
console.log(
  `${`${kind}, ${compensation}`.padEnd(16)}${proofs[0]?.blocks} blocks, ${layout.features.length} outlines: ${clock.toFixed(2)} s by the clock at first; processor time ${first.toFixed(2)} s at first, ${Math.min(...others).toFixed(2)} s at best${proofs.every((p) => p.ok) ? "" : "; THE PROOF FAILS"}`,
);
