/**
 * How long a block of many openings takes to plan, and the whole way from the plan to its proof. Goal: 400 openings
 * planned in under 3 s, 5,000 in under 40 s. Run: npm run bench -- plan
 */
import { runBundled } from "./run.bundled.js";

for (const [openings, goal] of [
  [400, 3],
  [5000, 40],
] as const)
  runBundled("plan.measure.ts", `${openings}`, `${goal}`);
