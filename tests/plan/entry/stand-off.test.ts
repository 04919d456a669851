import { expect, it } from "vitest";
import { HOLDING_WEB } from "../../../src/base/tolerance.js";
import { polygonContour } from "../../../src/geometry/contour.js";
import {
  standOffDistance,
  standsClear,
} from "../../../src/plan/entry/stand-off.js";
import { settleJob } from "../../../src/plan/job/job.js";
import { surroundingsOf } from "../../../src/plan/surroundings.js";
import { trackFeature } from "../../../src/plan/track/reach.js";
import type { Track } from "../../../src/plan/track/track.js";
import { feature, layoutOf } from "../../helpers/layouts.js";

/** Of wire 0.25 mm, gap 0.03, leave 0.055. */
const HALF_KERF = 0.125 + 0.03;
const KERF_DEPTH = 0.055 + 2 * HALF_KERF;
const job = settleJob({
  wire: { diameter: 0.25 },
  passes: [
    { gap: 0.03, leave: 0.055 },
    { gap: 0.01, leave: 0 },
  ],
});

/** A floor from (-10, 0) under a roof that slants by `tilt` down to it, and runs by the stand-off over (0, 0) at `apart`. */
function standsUnder(tilt: number, apart: number): boolean {
  const high = standOffDistance(job) + apart / Math.cos(tilt);
  const rise = Math.tan(tilt);
  const right = Math.min(10, high / rise);
  const end = high - right * rise;
  const outline = polygonContour([
    { x: -10, y: 0 },
    { x: right, y: 0 },
    ...(end > 1e-9 ? [{ x: right, y: end }] : []),
    { x: -10, y: high + 10 * rise },
  ]);
  const layout = layoutOf(feature("opening-1", "opening", outline));
  const [one] = layout.features;
  const { track } = trackFeature(
    one as (typeof layout.features)[0],
    job.passes,
  );
  const t = 10 / (right + 10);
  return standsClear(
    track as Track,
    surroundingsOf(layout),
    { index: 0, t },
    job,
  );
}

it("the wire stands off so that a web stays to the kerf along the wall across, however that slants", () => {
  const least = HALF_KERF + HOLDING_WEB + KERF_DEPTH;
  for (const degrees of [0.001, 1, 3, 7, 15, 30, 44]) {
    const tilt = (degrees * Math.PI) / 180;
    // The distance of the wire from the wall, by construction.
    expect([degrees, standsUnder(tilt, least - 0.0005)]).toEqual([
      degrees,
      false,
    ]);
    expect([degrees, standsUnder(tilt, least + 0.1)]).toEqual([degrees, true]);
  }
});
