/** The drawings the page can begin with: the same files as in `samples/`. */

import clampRing from "../../samples/clamp-ring/clamp-ring.dxf?raw";
import clampRingJob from "../../samples/clamp-ring/job.json?raw";
import diePlate from "../../samples/die-plate/die-plate.dxf?raw";
import diePlateJob from "../../samples/die-plate/job.json?raw";
import faulty from "../../samples/faulty/faulty.dxf?raw";
import faultyJob from "../../samples/faulty/job.json?raw";
import gearGauge from "../../samples/gear-gauge/gear-gauge.dxf?raw";
import gearGaugeJob from "../../samples/gear-gauge/job.json?raw";
import hourHand from "../../samples/hour-hand/hour-hand.svg?raw";
import hourHandJob from "../../samples/hour-hand/job.json?raw";
import hubKeyway from "../../samples/hub-keyway/hub-keyway.dxf?raw";
import hubKeywayJob from "../../samples/hub-keyway/job.json?raw";
import inchPlate from "../../samples/inch-plate/inch-plate.dxf?raw";
import inchPlateJob from "../../samples/inch-plate/job.json?raw";
import punchJob from "../../samples/punch/job.json?raw";
import punch from "../../samples/punch/punch.dxf?raw";
import { type Desk, readJob } from "./desk.js";

interface Sample {
  readonly name: string;
  readonly title: string;
  readonly drawing: string;
  readonly job: string;
}

export const SAMPLES: readonly Sample[] = [
  {
    name: "die-plate",
    title: "Die plate for a carriage clock",
    drawing: diePlate,
    job: diePlateJob,
  },
  {
    name: "hub-keyway",
    title: "Hub of a striking train",
    drawing: hubKeyway,
    job: hubKeywayJob,
  },
  {
    name: "gear-gauge",
    title: "Gear gauge",
    drawing: gearGauge,
    job: gearGaugeJob,
  },
  {
    name: "hour-hand",
    title: "Hour hand, drawn as SVG",
    drawing: hourHand,
    job: hourHandJob,
  },
  {
    name: "punch",
    title: "Punch in 50 mm steel",
    drawing: punch,
    job: punchJob,
  },
  {
    name: "clamp-ring",
    title: "Clamp ring with slits",
    drawing: clampRing,
    job: clampRingJob,
  },
  {
    name: "inch-plate",
    title: "Stripper plate in inches",
    drawing: inchPlate,
    job: inchPlateJob,
  },
  {
    name: "faulty",
    title: "A drawing with faults",
    drawing: faulty,
    job: faultyJob,
  },
];

export function sampleDesk(sample: Sample): Desk {
  return {
    name: sample.name,
    drawing: new TextEncoder().encode(sample.drawing),
    drawingUnit: null,
    beside: {},
    job: readJob(sample.job),
  };
}
