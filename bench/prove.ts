/**
 * How long the proof takes for programs of about 10,000 blocks: a plate of many openings, and one long outline. Processor time of this process, the text read included.
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
import { feature, layoutOf } from "../tests/helpers/programs.js";
import { largeDrawing } from "./large-drawing.js";
import { gearOutline } from "./offset.gears.js";
import { timed } from "./processor-time.js";

const ROUNDS = 5;

for (const compensation of ["path", "control"] as const) {
  const job = settleJob({
    passes: 3,
    roles: { layers: { PLATE: "stock" } },
    program: { compensation },
  });
  const gear = gearOutline("clean", 2600);
  const layouts: [string, Layout][] = [
    ["plate", layOut(readDxf(largeDrawing(520), {}), job)],
    ["gear", layoutOf([feature("part-1", "part", gear)])],
  ];
  for (const [name, layout] of layouts) {
    const plan = makePlan(layout, job, name);
    const text = writeProgram(plan, NEUTRAL);
    let best = Number.POSITIVE_INFINITY;
    let ok = false;
    let blocks = 0;
    for (let k = 0; k < ROUNDS; k++) {
      const [seconds, proof] = timed(() =>
        prove(readProgram(text, NEUTRAL), layout, plan.job),
      );
      best = Math.min(best, seconds);
      ok = proof.ok;
      blocks = proof.blocks;
    }
    console.log(
      `${`${name}, ${compensation}`.padEnd(26)}${blocks} blocks, ${layout.features.length} outlines: ${best.toFixed(2)} s of one processor, ${((1000 * best) / blocks).toFixed(3)} ms a block${ok ? "" : "; THE PROOF FAILS"}`,
    );
  }
}
