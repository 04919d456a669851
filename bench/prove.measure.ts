/**
 * Measures the proof of one program in this process; `bench/prove.ts` starts one for each. Processor time, the text
 * read included: the first time, as a user waits for it, and the best of the others.
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
const rounds = Array.from({ length: ROUNDS }, () =>
  timed(() => prove(readProgram(text, NEUTRAL), layout, plan.job)),
);
const [first, ...others] = rounds.map(([seconds]) => seconds) as [
  number,
  ...number[],
];
const proofs = rounds.map(([, proof]) => proof);
console.log(
  `${`${kind}, ${compensation}`.padEnd(16)}${proofs[0]?.blocks} blocks, ${layout.features.length} outlines: ${first.toFixed(2)} s of one processor at first, ${Math.min(...others).toFixed(2)} s at best${proofs.every((p) => p.ok) ? "" : "; THE PROOF FAILS"}`,
);
