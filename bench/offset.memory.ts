/** One offset in a process of its own, so that its memory can be told: prints by how much the peak rose, in bytes. */
import { contenders } from "./offset.contenders.js";
import { type Gear, gearOutline } from "./offset.gears.js";

const [name, gear, segments, d] = process.argv.slice(2);
const contender = (await contenders()).find((c) => c.name === name);
const outline = gearOutline(gear as Gear, Number(segments));
const peak = (): number => process.resourceUsage().maxRSS * 1024;
const before = peak();
contender?.inward(outline, Number(d));
console.log(peak() - before);
