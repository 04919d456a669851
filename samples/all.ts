/** Every sample by the name of its folder. */
import * as clampRing from "./clamp-ring/draw.js";
import * as diePlate from "./die-plate/draw.js";
import * as faulty from "./faulty/draw.js";
import * as gearGauge from "./gear-gauge/draw.js";
import * as hourHand from "./hour-hand/draw.js";
import * as hubKeyway from "./hub-keyway/draw.js";
import * as inchPlate from "./inch-plate/draw.js";
import * as punch from "./punch/draw.js";
import type { Sample } from "./sheet.js";

export const SAMPLES: Readonly<Record<string, () => Sample>> = {
  "hub-keyway": () => hubKeyway.draw(),
  "die-plate": () => diePlate.draw(),
  "gear-gauge": () => gearGauge.draw(),
  punch: () => punch.draw(),
  "inch-plate": () => inchPlate.draw(),
  "hour-hand": () => hourHand.draw(),
  "clamp-ring": () => clampRing.draw(),
  faulty: () => faulty.draw(),
};

/** The two files of a sample, as text, by their names. */
export function sampleFiles(
  name: string,
  sample: Sample,
): Readonly<Record<string, string>> {
  return {
    ...("svg" in sample
      ? { [`${name}.svg`]: sample.svg }
      : { [`${name}.dxf`]: sample.dxf }),
    "job.json": `${JSON.stringify(sample.job, null, 2)}\n`,
  };
}
