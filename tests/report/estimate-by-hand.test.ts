/**
 * Two jobs reckoned through on paper, every figure from its definition: time = length × height / area rate, wire =
 * time × feed, mass = volume × density. Rates and working times are the built-in table's (common practice, no source).
 */
import { describe, expect, it } from "vitest";
import type { CutRole } from "../../src/plan/feature.js";
import type { JobFile } from "../../src/plan/job/file.js";
import { estimatePlan } from "../../src/report/estimate.js";
import { setupSheet } from "../../src/report/setup-sheet.js";
import { feature, layoutOf, rectangle } from "../helpers/layouts.js";
import { proved } from "../helpers/proved.js";

const { hypot, PI } = Math;

/** A square of 20 mm with its lower left corner at the origin, hole and tab where the sums below want them. */
function square(role: CutRole, hole: [number, number], more: JobFile) {
  const id = `${role}-1`;
  const { plan, proof } = proved(
    layoutOf(feature(id, role, rectangle(0, 0, 20, 20))),
    {
      passes: 3,
      features: { [id]: { startHole: hole, tab: { at: [10, 0], length: 1 } } },
      ...more,
    },
  );
  const sheet = setupSheet(plan, proof)
    .replace(/<style>.*?<\/style>|<svg.*?<\/svg>/gs, "")
    .replace(/<[^>]*>/g, " ")
    .replace(/\s+/g, " ");
  return { plan, e: estimatePlan(plan), sheet };
}

// Steel-3 of the table, wire 0.25: offset = 0.125 + gap + leave.
const d1 = 0.125 + 0.03 + 0.055;
const d2 = 0.125 + 0.015 + 0.005;
const d3 = 0.125 + 0.01 + 0;
/** The rough's kerf: wire and a gap on either side. */
const kerf = 0.25 + 2 * 0.03;
/** A stroke begins and ends this far off the rough's path. */
const off = 0.1;
/** Tab of 1 mm, and half a kerf at either end of it, about x = 10. */
const right = 10 + (1 + kerf) / 2;
const gapLength = 1 + kerf;
const overlap = 0.5;

const rates = {
  machineHour: 60,
  labourHour: 40,
  wireKg: 12,
  currency: "crowns",
};

describe("an opening of 20 × 20 mm, 25 mm high, three passes, the hole in its middle", () => {
  const { plan, e, sheet } = square("opening", [10, 10], {
    stock: { thickness: 25 },
    rates,
  });

  // The height curve goes from 0.85 at 20 mm to 1 at 40 mm; rates are kept in tenths.
  const curve = 0.85 + (0.15 * (25 - 20)) / (40 - 20);
  const rough = Math.round(10 * 150 * curve) / 10;
  const skim = Math.round(10 * 200 * curve) / 10;

  // From the hole to the stand-off point before the end of the tab, then down to the path.
  const ySafe = d1 + off;
  const lead = hypot(right - 10, 10 - ySafe);
  // A square inside the outline, its corners sharp: 4 · (20 − 2d), less the gap of the tab.
  const way = (d: number) => 4 * (20 - 2 * d) - gapLength;
  const ramp = (d: number) => ySafe - d;
  const open1 = lead + ramp(d1) + way(d1) + ramp(d1);
  const open2 = ramp(d2) + way(d2) + ramp(d2);
  const open3 = ramp(d3) + way(d3) + ramp(d3);
  // Then the tab by the rough alone, from the same hole.
  const tab1 = lead + ramp(d1) + gapLength + ramp(d1);
  // Its skims begin an overlap farther on and end an overlap later, one to and one fro.
  const tab2 = lead + overlap + ramp(d2) + gapLength + 2 * overlap + ramp(d2);
  const tab3 = ramp(d3) + gapLength + 2 * overlap + ramp(d3);

  const pass1 = ((open1 + tab1) * 25) / rough;
  const pass2 = ((open2 + tab2) * 25) / skim;
  const pass3 = ((open3 + tab3) * 25) / skim;
  const burning = pass1 + pass2 + pass3;
  const watched = (tab1 * 25) / rough + ((tab2 + tab3) * 25) / skim;

  it("burns as long as length × height / rate, pass by pass", () => {
    expect(e.passes.map((p) => p.areaRate)).toEqual([133.1, 177.5, 177.5]);
    expect(e.passes.map((p) => p.feed)).toEqual([
      133.1 / 25,
      177.5 / 25,
      177.5 / 25,
    ]);
    expect(e.passes[0]?.time).toBeCloseTo(pass1, 9);
    expect(e.passes[1]?.time).toBeCloseTo(pass2, 9);
    expect(e.passes[2]?.time).toBeCloseTo(pass3, 9);
    expect(e.time).toBeCloseTo(burning, 9);
    expect(1000 * e.cutLength).toBeCloseTo(
      open1 + open2 + open3 + tab1 + tab2 + tab3,
      9,
    );
  });

  it("runs alone for the open stretch, watched for the tab", () => {
    expect(e.attended).toBeCloseTo(watched, 9);
    expect(e.unattended).toBeCloseTo(burning - watched, 9);
  });

  it("takes three threads and two stops; 30 min to set up, 1.5 a thread, 5 a stop", () => {
    expect([e.threads, e.stops]).toEqual([3, 2]);
    expect(e.machine).toBeCloseTo(burning + 30 + 3 * 1.5 + 2 * 5, 9);
    expect(e.labour).toBeCloseTo(30 + 2 * 5 + watched, 9);
  });

  it("uses 10 m of wire a minute at π/4 · 0.25² · 8.5 g/m, of spools of 5 kg", () => {
    const metres = 10 * burning;
    const grams = metres * (PI / 4) * 0.25 ** 2 * 8.5;
    expect(e.wireLength).toBeCloseTo(metres, 6);
    expect(1000 * e.wireMass).toBeCloseTo(grams, 6);
    expect(e.spools).toBeCloseTo(grams / 5000, 9);
    expect(sheet).toContain("all of it is scrap afterwards");
  });

  it("costs machine, labour and wire by the job's rates, and a slower burn costs more", () => {
    const kilos = (10 * burning * (PI / 4) * 0.25 ** 2 * 8.5) / 1000;
    const total = (slow: number): number =>
      (60 / 60) * (burning * slow + 30 + 3 * 1.5 + 2 * 5) +
      (40 / 60) * (30 + 2 * 5 + watched * slow) +
      12 * kilos * slow;
    expect(e.cost?.total).toBeCloseTo(total(1), 6);
    // Rates may turn out from 0.67 to 1.67 of the table's.
    expect(e.timeRange[0]).toBeCloseTo(burning / 1.67, 9);
    expect(e.timeRange[1]).toBeCloseTo(burning / 0.67, 9);
    expect(e.cost?.range[0]).toBeCloseTo(total(1 / 1.67), 6);
    expect(e.cost?.range[1]).toBeCloseTo(total(1 / 0.67), 6);
    expect(sheet).toContain(`${total(1).toFixed(2)} crowns`);
    expect(sheet).toContain("may turn out 67-167 % of that");
  });

  it("leaves a slug smaller by the rough's offset and half its kerf all round, less lead and stand-offs, of steel of 7.85 g/cm³", () => {
    const h = kerf / 2;
    const side = 20 - 2 * (d1 + h);
    // A strip from the hole's middle to the slug's edge, slanting by as much as it goes aside, and half a disc behind it.
    const slant = lead / (10 - ySafe);
    const strip = kerf * (10 - d1 - h) * slant + (PI * h * h) / 2;
    // Where the wire stands off before the tab, and at either end of the tab's skims, a disc reaches over the edge.
    const beyond = h - off;
    const cap =
      h * h * Math.acos(beyond / h) - beyond * Math.sqrt(h * h - beyond ** 2);
    const grams = (side ** 2 - strip - 3 * cap) * 25 * 7.85e-3;
    const slug = plan.features[0]?.slug;
    expect(1000 * (slug?.mass ?? 0)).toBeCloseTo(grams, 6);
    expect(slug?.size[0]).toBeCloseTo(side, 9);
    expect(sheet).toContain(`${grams.toFixed(1)} g`);
  });
});

describe("a part of 20 × 20 mm, 60 mm high, three passes, its hole 3 mm below it", () => {
  const { plan, e, sheet } = square("part", [10, -3], {
    stock: { thickness: 60 },
    rates,
  });
  // Between 40 and 80 mm the height curve is level at 1.
  const rough = 150;
  const skim = 200;
  const ySafe = d1 + off;
  const lead = hypot(right - 10, 3 - ySafe);
  // Outside, the wire rolls about each corner: 4 · 20 + 2πd, less the gap of the tab.
  const way = (d: number) => 4 * 20 + 2 * PI * d - gapLength;
  const ramp = (d: number) => ySafe - d;
  const open = [d1, d2, d3].map(
    (d, i) => (i === 0 ? lead : 0) + 2 * ramp(d) + way(d),
  ) as [number, number, number];
  // The tab of a part is cut once, at the finish offset, and frees it: an overlap only where it begins.
  const tab = lead + overlap + 2 * ramp(d3) + gapLength + overlap;

  const alone =
    (open[0] * 60) / rough + (open[1] * 60) / skim + (open[2] * 60) / skim;
  const watched = (tab * 60) / skim;

  it("burns as long as length × height / rate, alone and watched", () => {
    expect(e.passes.map((p) => p.areaRate)).toEqual([150, 200, 200]);
    expect(e.passes[0]?.time).toBeCloseTo((open[0] * 60) / rough, 9);
    expect(e.passes[1]?.time).toBeCloseTo((open[1] * 60) / skim, 9);
    expect(e.unattended).toBeCloseTo(alone, 9);
    expect(e.attended).toBeCloseTo(watched, 9);
    expect(e.time).toBeCloseTo(alone + watched, 9);
  });

  it("takes two threads and two stops, and so much of wire, machine and somebody", () => {
    const metres = 10 * (alone + watched);
    const kilos = (metres * (PI / 4) * 0.25 ** 2 * 8.5) / 1000;
    expect([e.threads, e.stops]).toEqual([2, 2]);
    expect(e.machine).toBeCloseTo(alone + watched + 30 + 2 * 1.5 + 2 * 5, 9);
    expect(e.labour).toBeCloseTo(watched + 30 + 2 * 5, 9);
    expect(e.wireMass).toBeCloseTo(kilos, 9);
    expect(e.cost?.total).toBeCloseTo(
      alone + watched + 43 + (2 / 3) * (watched + 40) + 12 * kilos,
      6,
    );
  });

  it("weighs its whole outline: 20 × 20 × 60 mm at 7.85 g/cm³ are 188.4 g", () => {
    expect(plan.features[0]?.slug.mass).toBeCloseTo(0.1884, 12);
    expect(sheet).toContain("188 g");
  });
});

describe("what changes the figures is told on the sheet", () => {
  const at = (more: JobFile) =>
    square("opening", [10, 10], { stock: { thickness: 40 }, ...more });
  const sealed = at({ flushing: "sealed" });
  const open = at({ flushing: "open" });

  it("cups that touch: the table's own figures at the table's height", () => {
    expect(sealed.plan.job.passes[0]).toMatchObject({
      gap: 0.03,
      areaRate: 150,
    });
    expect(sealed.sheet).toContain(
      "cups touching both faces: rough rate × 1, rough gap × 1",
    );
    expect(sealed.plan.findings.map((f) => f.code)).not.toContain(
      "process/interpolated",
    );
  });

  it("cups that stand off: the rough at 0.6 of the rate with a tenth more gap, the skims as before", () => {
    const [rough, ...skims] = open.plan.job.passes;
    expect(rough).toMatchObject({ gap: 0.033, areaRate: 0.6 * 150 });
    expect(rough?.offset).toBeCloseTo(0.125 + 0.033 + 0.055, 9);
    expect(skims).toEqual(sealed.plan.job.passes.slice(1));
    expect(open.sheet).toContain("rough rate × 0.6, rough gap × 1.1");
    expect(open.sheet).toContain("0.2130");
    expect(open.sheet).toContain("90 mm²/min");
    // The rough burns 1 / 0.6 as long, but for paths longer or shorter by the gap.
    expect(
      (open.e.passes[0]?.time ?? 0) / (sealed.e.passes[0]?.time ?? 1),
    ).toBeCloseTo(1 / 0.6, 2);
  });

  it("a height between rows is told as brought over, a wire beyond its usual sizes as outside the table", () => {
    const between = at({ stock: { thickness: 30 } });
    expect(between.sheet).toMatch(
      /from 40 mm to 30 mm height: rates × 0\.93 \(height curve\).*process\/interpolated/,
    );
    const beyond = at({ wire: { diameter: 0.06 } });
    expect(beyond.sheet).toMatch(
      /brass wire is usual from 0\.1 mm to 0\.36 mm, not at 0\.06 mm.*process\/outside-table/,
    );
  });
});
