/** Draws every sample anew: `npx tsx samples/draw.ts`. */
import { mkdirSync, writeFileSync } from "node:fs";
import { SAMPLES, sampleFiles } from "./all.js";

for (const [name, draw] of Object.entries(SAMPLES)) {
  const folder = new URL(`./${name}/`, import.meta.url);
  mkdirSync(folder, { recursive: true });
  for (const [file, text] of Object.entries(sampleFiles(name, draw())))
    writeFileSync(new URL(file, folder), text);
  process.stdout.write(`samples/${name}\n`);
}
