/** Reading 100,000 LINEs in drawing chaos: 24,964 squares in a frame, shuffled. Run: npm run bench -- read-dxf */
import { readDxf } from "../src/drawing/read-dxf.js";
import {
  dxfText,
  lwpolylineTags,
  rectangleTags,
  type Tags,
} from "../tests/helpers/dxf.js";

const SIDE = 158;

const entities: Tags[] = [];
for (let i = 0; i < SIDE; i++)
  for (let j = 0; j < SIDE; j++)
    entities.push(...rectangleTags(3 * i, 3 * j, 2, 2));
entities.push(
  lwpolylineTags(
    [
      [-5, -5],
      [500, -5],
      [500, 500],
      [-5, 500],
    ],
    true,
  ),
);
let state = 1;
for (let i = entities.length - 1; i > 0; i--) {
  state = (state * 16_807) % 2_147_483_647;
  const k = state % (i + 1);
  [entities[i], entities[k]] = [entities[k] as Tags, entities[i] as Tags];
}
const bytes = new TextEncoder().encode(dxfText(entities));

for (let run = 0; run < 3; run++) {
  const before = process.cpuUsage();
  const begin = performance.now();
  const { outlines, open } = readDxf(bytes);
  const wall = performance.now() - begin;
  const { user, system } = process.cpuUsage(before);
  console.log(
    `${entities.length} entities, ${(bytes.length / 1e6).toFixed(1)} MB: ${outlines.length} outlines, ${open.length} open; ${wall.toFixed(0)} ms wall, ${((user + system) / 1000).toFixed(0)} ms of processor`,
  );
}
