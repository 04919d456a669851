/** Step 3 and the sheet weigh what comes loose from the plan, step 6 from the replayed program: a user sees one figure. */
import { readFileSync } from "node:fs";
import { expect, it } from "vitest";
import { massText } from "../../src/report/text.js";
import { planDrawing } from "../../src/run.js";

it.each([
  "die-plate/die-plate.dxf",
  "clamp-ring/clamp-ring.dxf",
  "gear-gauge/gear-gauge.dxf",
  "hour-hand/hour-hand.svg",
  "hub-keyway/hub-keyway.dxf",
  "inch-plate/inch-plate.dxf",
  "punch/punch.dxf",
])("plan and proof of %s say the same of every piece", (file) => {
  const [folder = ""] = file.split("/");
  const read = (name: string) => readFileSync(`samples/${name}`, "utf8");
  const { plan, proof } = planDrawing({
    name: folder,
    drawing: read(file),
    job: read(`${folder}/job.json`),
  });
  const planned = plan.features
    .filter((f) => f.slug.mass > 0)
    .map((f) => `${f.id} ${massText(f.slug.mass)}`);
  const proved = proof?.loosePieces.map(
    (p) => `${p.feature} ${massText(p.mass)}`,
  );
  expect(proved?.sort()).toEqual(planned.sort());
});
