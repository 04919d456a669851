/// <reference lib="dom" />
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { gzipSync } from "node:zlib";
import axe from "axe-core";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { planDrawing } from "../../src/index.js";
import { dxfText, rectangleTags } from "../helpers/dxf.js";
import {
  type BuiltPage,
  buildPage,
  choose,
  download,
  load,
  set,
  settled,
  verdict,
} from "./open-page.js";

const SAMPLE = (file: string): string =>
  join(import.meta.dirname, "../../samples", file);

describe("the page, opened from a folder without a network", () => {
  let built: BuiltPage;
  /** One page for most tests: each begins by taking the first sample again. */
  let page: Page;
  beforeAll(async () => {
    built = await buildPage();
    page = await built.open();
  });
  afterAll(() => built?.close());
  const begin = async (): Promise<void> => {
    await page.getByLabel("Or a sample").selectOption("die-plate");
    await settled(page);
    await page.click("#fit");
  };

  it("is never empty: it begins with a sample, planned and proved", async () => {
    await begin();
    expect(await verdict(page)).toContain("The proof holds");
    expect(await page.locator(".world path").count()).toBeGreaterThan(10);
    expect(built.troubles).toEqual([]);
  });

  it("is under 300 kB compressed", () => {
    const files = readdirSync(built.folder, {
      recursive: true,
      withFileTypes: true,
    });
    const size = files
      .filter((f) => f.isFile())
      .reduce(
        (sum, f) =>
          sum + gzipSync(readFileSync(join(f.parentPath, f.name))).length,
        0,
      );
    expect(size).toBeLessThan(300_000);
  });

  it("plans anew as something changes; undo and redo by keys", async () => {
    await begin();
    const offset = () =>
      page
        .getByRole("table", { name: /^Passes/ })
        .locator("tbody tr")
        .last()
        .locator("td")
        .last()
        .textContent();
    const before = await offset();
    await set(page, "Wire diameter", "0.2");
    // half the wire and the gap: 0.05 mm of diameter are 0.025 mm of offset (geometry), with the table's own gap.
    const after = await offset();
    expect(Number(after)).toBeLessThan(Number(before));
    await page.locator("#picture").focus();
    await page.keyboard.press("Control+z");
    await settled(page);
    expect(await offset()).toBe(before);
    await page.keyboard.press("Control+Shift+Z");
    await settled(page);
    expect(await offset()).toBe(after);
  });

  it("says everything in inches once told so", async () => {
    await begin();
    await page.click("#units");
    await settled(page);
    expect(await page.textContent("#s-wire .sentence")).toContain(" in");
    expect(await page.textContent("#s-wire .sentence")).not.toContain(" mm");
    expect(
      await page.getByLabel("Wire diameter", { exact: true }).inputValue(),
    ).toMatch(/^0\.00984/);
    expect(await page.textContent("#s-program .sentence")).toContain(
      "in inches",
    );
  });

  it("makes the program that the command line makes of the same job, changes by hand included", async () => {
    await begin();
    const drawing = readFileSync(SAMPLE("die-plate/die-plate.dxf"), "utf8");
    await page.locator('[data-row="opening-3"]').click();
    const slider = page.getByLabel("Tab: place along the outline");
    await slider.focus();
    const before = await slider.inputValue();
    for (let i = 0; i < 3; i++) await page.keyboard.press("PageUp");
    await slider.blur();
    await page.waitForFunction(() =>
      document.querySelector('[data-key="free-tab"]'),
    );
    await settled(page);
    expect(
      await page.getByLabel("Tab: place along the outline").inputValue(),
    ).not.toBe(before);
    const job = await download(page, "Job file");
    expect(JSON.parse(job).features["opening-3"].tab.at).toHaveLength(2);
    const program = await download(page, "Program");
    expect(program).toBe(
      planDrawing({ name: "die-plate", drawing, job }).program,
    );
  });

  it("adds tabs, takes them away and forbids edges, by keys and by the pointer, undone like all else; the command line makes the same program", async () => {
    await begin();
    const drawing = readFileSync(SAMPLE("die-plate/die-plate.dxf"), "utf8");
    const wishes = async () => {
      const job = await download(page, "Job file");
      return { job, wish: JSON.parse(job).features?.["opening-3"] };
    };
    const press = async (key: string): Promise<void> => {
      await page.locator(`[data-key="${key}"]`).focus();
      await page.keyboard.press("Enter");
    };
    await page.locator('[data-row="opening-3"]').click();
    await press("add-tab");
    await page.locator('[data-key="away-tab 2"]').waitFor();
    await settled(page);
    await press("forbid-tab 1");
    await page.locator('[data-key="allow-0"]').waitFor();
    await settled(page);
    expect(await verdict(page)).toContain("The proof holds");
    const { job, wish } = await wishes();
    // Of the two tabs, the one on the edge that was forbidden went.
    expect(wish.tab.at).toHaveLength(2);
    expect(wish.keepOff).toHaveLength(1);
    expect(await download(page, "Program")).toBe(
      planDrawing({ name: "die-plate", drawing, job }).program,
    );
    await page.click("#undo");
    await page.locator('[data-key="away-tab 2"]').waitFor();
    await settled(page);

    // The same at a handle, by the pointer.
    const handle = page.locator('[data-grip="tab 2"] rect');
    await page.waitForTimeout(300);
    await handle.click({ force: true });
    const menu = page.getByRole("group", { name: "What can be done here" });
    await menu.getByRole("button", { name: "Take this tab away" }).click();
    await page
      .locator('[data-key="away-tab 2"]')
      .waitFor({ state: "detached" });
    await settled(page);
    expect((await wishes()).wish.tab.at).toHaveLength(2);

    // At the outline's edge, and by keys at the cross in the middle of the picture.
    await page.click("#gap");
    await page.waitForTimeout(300);
    await page.locator("#picture").focus();
    await page.keyboard.press("Enter");
    await menu.getByRole("button", { name: "Add a tab here" }).waitFor();
    await page.keyboard.press("Escape");
    expect(await menu.isVisible()).toBe(false);
    expect(await page.evaluate(() => document.activeElement?.id)).toBe(
      "picture",
    );
  });

  it("says at the field and in the head what is wrong with a value", async () => {
    await begin();
    await set(page, "Wire diameter", "9");
    const field = page.getByLabel("Wire diameter", { exact: true });
    expect(await field.getAttribute("aria-invalid")).toBe("true");
    const told = page.locator(
      `#${await field.getAttribute("aria-describedby")}`,
    );
    expect(await told.textContent()).toBe(
      "must be from 0.02 mm to 0.36 mm, not 9",
    );
    expect(await verdict(page)).toContain("wire.diameter must be");
    await set(page, "Wire diameter", "0.2");
    expect(await field.getAttribute("aria-invalid")).toBe("false");
    expect(await told.textContent()).toBe("");
    expect(await verdict(page)).toContain("The proof holds");
  });

  it("refuses a start hole where it may not stand, says why, and leaves the plan as it was", async () => {
    await begin();
    await page.locator('[data-row="opening-3"]').click();
    const x = page.getByLabel("Start hole X, mm");
    const before = await x.inputValue();
    await x.fill("5000");
    await x.press("Enter");
    await page.waitForSelector("#notice:not([hidden])");
    expect(await page.textContent("#notice")).toMatch(
      /That cannot be: .*opening-3/,
    );
    expect(await page.getByLabel("Start hole X, mm").inputValue()).toBe(before);
    expect(await verdict(page)).toContain("The proof holds");
  });

  it("lets the start hole be dragged", async () => {
    await begin();
    await page.locator('[data-row="opening-3"]').click();
    const grip = page.locator('[data-grip="hole"]');
    await grip.waitFor();
    // The handles are drawn anew until the eye rests.
    await page.waitForTimeout(300);
    const box = await grip.boundingBox();
    if (!box) throw new Error("there is no grip");
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x - 30, y - 12, { steps: 4 });
    await page.mouse.up();
    await page.waitForSelector(
      '[data-key="free-startHole"], #notice:not([hidden])',
    );
    expect(await page.locator('[data-key="free-startHole"]').count()).toBe(1);
  });

  it("gives an outline another role by hand, and takes it back", async () => {
    await begin();
    await page.locator('[data-row="opening-5"]').click();
    await page.getByLabel("Role of opening-5").selectOption("ignore");
    await page.getByRole("button", { name: "Cut it again" }).waitFor();
    await settled(page);
    expect(await page.locator("#s-slugs [data-row]").count()).toBe(4);
    await page.getByRole("button", { name: "Cut it again" }).click();
    await page.locator('[data-row="opening-5"]').waitFor();
  });

  it("lets the order be changed by keys, and writes it into the job", async () => {
    await begin();
    const first = page.locator(".order-list li").first();
    const before = await first.getAttribute("data-feature");
    await first.getByRole("button", { name: /later/ }).click();
    await page.locator('[data-key="free-order"]').waitFor();
    await settled(page);
    const names = page.locator(".order-list li");
    expect(await names.nth(1).getAttribute("data-feature")).toBe(before);
    const job = JSON.parse(await download(page, "Job file"));
    expect(job.order.features[1]).toBe(before);
  });

  it("takes the chosen outline's place in the order as a number", async () => {
    await begin();
    const names = () =>
      page
        .locator(".order-list li")
        .evaluateAll((all) => all.map((li) => li.getAttribute("data-feature")));
    const before = await names();
    const last = before.at(-1) ?? "";
    await page.getByRole("button", { name: last }).first().click();
    const number = page.getByLabel(`Cut ${last} as number`);
    expect(await number.inputValue()).toBe(String(before.length));
    await number.fill("2");
    await number.press("Enter");
    await page.locator('[data-key="free-order"]').waitFor();
    await settled(page);
    expect(await names()).toEqual([
      before[0],
      last,
      ...before.slice(1, before.length - 1),
    ]);
    expect(await number.inputValue()).toBe("2");
    await number.fill("none");
    await number.press("Enter");
    expect(await number.inputValue()).toBe("2");
  });

  it("shows slits in picture and lists, turns one round, and says why their order is not chosen", async () => {
    await page.getByLabel("Or a sample").selectOption("clamp-ring");
    await page.locator('[data-row="slit-2"]').waitFor();
    await settled(page);
    await page.getByText("3 closed outlines and 2 slits").waitFor();
    const rows = page.locator(".order-list li");
    const slits = rows.filter({ hasText: "slit" });
    expect(await slits.count()).toBe(2);
    expect(await slits.getByRole("button").count()).toBe(0);
    expect(await page.locator(".by-hand").textContent()).toContain(
      "A slit is not moved",
    );
    await page.getByRole("button", { name: "slit-2" }).first().click();
    await page.getByRole("button", { name: "Begin at the other end" }).click();
    await page.locator('[data-key="free-slit-2"]').waitFor();
    await settled(page);
    expect(await verdict(page)).toContain("The proof holds");
    const job = JSON.parse(await download(page, "Job file"));
    expect(job.features["slit-2"].startHole).toEqual([20, 0]);
    // What lies about the ring is not kept.
    const {
      x = 0,
      y = 0,
      width = 0,
    } = (await page.locator("#picture").boundingBox()) ?? {};
    await page.click("#fit");
    await page.mouse.move(x + width / 2, y + 60);
    await page.waitForFunction(() =>
      document.getElementById("tip")?.textContent?.startsWith("waste"),
    );
    expect(built.troubles).toEqual([]);
  });

  it("measures between two points of the picture", async () => {
    await begin();
    await page.getByRole("button", { name: "Measure" }).click();
    const box = await page.locator(".world .edge").boundingBox();
    if (!box) throw new Error("the block has no edge");
    // The block is 120 mm wide, as its sample says; its corners are round, so the middles of its sides are taken.
    const y = box.y + box.height / 2;
    await page.mouse.click(box.x + 1, y);
    await page.mouse.click(box.x + box.width - 1, y);
    expect(await page.textContent("#readout")).toMatch(/^120(\.0\d*)? mm/);
    await page.getByRole("button", { name: "Measure" }).click();
  });

  it("replays the program: the block in hand is marked, and slugs go at their stops", async () => {
    await begin();
    const scrubber = page.getByLabel("Place in the program");
    await scrubber.fill("400");
    const marked = page.locator(".program .marked");
    expect(await marked.textContent()).toMatch(/^\d+N\d+ G0[123] /);
    expect(await page.locator(".film-gone.gone").count()).toBe(0);
    await scrubber.fill("1000");
    expect(await page.locator(".film-gone.gone").count()).toBe(5);

    // Who reads elsewhere sees the plan; who comes back to the program, the film where it was.
    const read = (step: string): Promise<void> =>
      page.locator(step).evaluate((e) => e.scrollIntoView());
    await read("#s-slugs");
    await page.locator("#picture:not(.replaying)").waitFor();
    await read("#s-program");
    await page.locator("#picture.replaying").waitFor();
    expect(await scrubber.inputValue()).toBe("1000");
    expect(await page.locator(".film-gone.gone").count()).toBe(5);
  });

  it("answers why, on the user's own outline", async () => {
    await begin();
    await page.locator('[data-row="opening-4"]').click();
    await page.getByRole("button", { name: "Cut on the line" }).click();
    // Wider by one wire and two gaps: 0.25 + 2 × 0.01 mm (geometry).
    await page.locator("#s-why td", { hasText: "+0.2700" }).first().waitFor();
    await page.getByRole("button", { name: "Let a tab go" }).click();
    await page.locator("#s-why .finding.error").first().waitFor();
  });

  it("lists findings, and each jumps to its place", async () => {
    await begin();
    const before = await page.locator(".world").getAttribute("transform");
    await page.locator(".findings .jump").first().click();
    await page.waitForSelector(".mark.chosen");
    expect(await page.locator(".world").getAttribute("transform")).not.toBe(
      before,
    );
    expect(await page.locator(".mark.chosen").count()).toBe(1);
  });

  it("hands out no program while the proof does not hold", async () => {
    await begin();
    await page.getByLabel("Or a sample").selectOption("faulty");
    await page.waitForSelector(".verdict.bad:not(.busy)");
    expect(
      await page
        .getByRole("button", { name: "Program", exact: true })
        .isDisabled(),
    ).toBe(true);
    expect(await page.locator(".finding.error").count()).toBeGreaterThan(0);
  });

  it("says of a proof that fails where, why and what to do, and bars the program", async () => {
    await begin();
    // A machine that takes a hundredth a step: rounding alone passes the finished edge by more than 0.5 µm.
    const job = JSON.parse(readFileSync(SAMPLE("hub-keyway/job.json"), "utf8"));
    await page.getByLabel("Or a sample").selectOption("hub-keyway");
    await settled(page);
    await choose(
      page,
      "coarse.job.json",
      JSON.stringify({ ...job, program: { resolution: 0.01 } }),
    );
    await page.waitForSelector(".verdict.bad:not(.busy)");
    expect(await verdict(page)).toContain("The proof does not hold");
    const told = await page.textContent("#s-proof .sentence");
    expect(told).toContain("does not make the part: do not cut with it");
    expect(told).toMatch(/steps of 0\.01 mm .*step 5/);
    expect(told).toMatch(/\d errors?, /);
    const first = page.locator("#s-proof .finding").first();
    expect(await first.textContent()).toMatch(/error: .*line \d+/);
    await first.locator(".jump").click();
    // The picture is drawn a frame after the click.
    await page.waitForSelector(".mark.error.chosen");
    expect(await page.textContent("#s-program .sentence")).toContain(
      "do not cut with it",
    );
    expect(await page.textContent("#s-paper .sentence")).toContain(
      "cannot be downloaded",
    );
    const program = page.getByRole("button", { name: "Program", exact: true });
    expect(await program.isDisabled()).toBe(true);
  });

  it("keeps names from a drawing from becoming markup", async () => {
    await begin();
    const name = '<img src=x onerror="document.title=1">';
    await load(page, "evil.dxf", dxfText(rectangleTags(0, 0, 20, 10, name)));
    expect(
      await page.locator("#s-drawing table").first().textContent(),
    ).toContain(name);
    expect(await page.locator("img").count()).toBe(0);
    expect(await page.title()).not.toBe("1");
  });

  it("says what is wrong with a file that is no drawing", async () => {
    await begin();
    await load(page, "noise.dxf", "this is not a drawing");
    expect(await page.textContent("#s-drawing .sentence")).toMatch(
      /noise: .*DXF/,
    );
    expect(await verdict(page)).toContain("No program");
    // Nothing of the drawing before is left to be taken for this one.
    for (const step of ["slugs", "order"])
      expect(await page.textContent(`#s-${step} .sentence`)).toContain(
        "Nothing is planned",
      );
    expect(await page.locator(".world .outline").count()).toBe(0);
    expect(await page.locator(".overlay .label").count()).toBe(0);
    expect(await page.locator("[data-row]").count()).toBe(0);
  });

  it("asks for the unit of a drawing that does not say it", async () => {
    await begin();
    await load(
      page,
      "bare.svg",
      '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 960 480"><rect x="96" y="96" width="192" height="96"/></svg>',
    );
    const sentence = page.locator("#s-drawing .sentence");
    expect(await sentence.textContent()).toContain("in step 1: mm");
    expect(await sentence.textContent()).not.toContain("--");
    for (const [button, width] of [
      // CSS: 96 px to the inch.
      ["px, 96 to the inch", "50.8 mm"],
      ["millimetres", "192 mm"],
    ] as const) {
      await page.getByRole("button", { name: button, exact: true }).click();
      await page.waitForFunction(
        (text) =>
          document
            .querySelector("#s-drawing .sentence")
            ?.textContent?.includes(text),
        `bare is ${width}`,
      );
    }
    await settled(page);
    expect(await verdict(page)).toContain("The proof holds");
  });

  it("lets each of several tabs be dragged along the outline", async () => {
    await begin();
    await load(page, "window.dxf", dxfText(rectangleTags(0, 0, 90, 60, "W")));
    await page.getByLabel("Role of layer W").selectOption("opening");
    await set(page, "Thickness", "200");
    await page.getByRole("button", { name: "opening-1" }).first().click();
    const grip = page.locator('[data-grip="tab 2"]');
    await grip.waitFor();
    // The handles are drawn anew until the eye rests.
    await page.waitForTimeout(300);
    const slider = page.getByLabel("Tab 2: place along the outline");
    const before = Number(await slider.inputValue());
    const box = await grip.locator("rect").boundingBox();
    if (!box) throw new Error("there is no grip");
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x + 25, y + 25, { steps: 4 });
    await page.mouse.up();
    await page
      .getByRole("button", { name: "Let the plan choose all tabs" })
      .waitFor();
    await settled(page);
    expect(Number(await slider.inputValue())).not.toBe(before);
    const { features } = JSON.parse(await download(page, "Job file"));
    expect(features["opening-1"].tab).toHaveLength(2);
    expect(await verdict(page)).toContain("The proof holds");
  });

  it("offers the last desk again", async () => {
    await begin();
    await page.getByLabel("Or a sample").selectOption("punch");
    await page.waitForFunction(() =>
      document
        .querySelector("#s-drawing .sentence")
        ?.textContent?.startsWith("punch"),
    );
    await settled(page);
    await page.reload();
    await settled(page);
    expect(await page.textContent("#s-drawing .sentence")).toMatch(/^punch/);
  });

  it.each([
    ["wide, light", { width: 1920, height: 1080 }, "light"],
    ["laptop, dark", { width: 1280, height: 800 }, "dark"],
    ["phone, light", { width: 360, height: 740 }, "light"],
  ] as const)(
    "has nothing that keeps anybody out: %s",
    async (_, size, scheme) => {
      const page = await built.open({ viewport: size });
      await page.emulateMedia({ colorScheme: scheme });
      await page.addInitScript({ content: axe.source });
      await page.evaluate(axe.source);
      const { violations } = await page.evaluate(() => {
        // Steps out of sight are not laid out: all of them are looked at here.
        for (const step of Array.from(document.querySelectorAll("section")))
          step.style.contentVisibility = "visible";
        return (globalThis as unknown as { axe: typeof axe }).axe.run({
          // Style sheets would be fetched, which the page does not allow.
          preload: false,
        });
      });
      expect(violations.map((v) => `${v.id}: ${v.nodes[0]?.html}`)).toEqual([]);
      const wide = await page.evaluate(
        () => document.documentElement.scrollWidth,
      );
      expect(wide).toBeLessThanOrEqual(size.width);
      await page.context().close();
    },
  );

  it("stays quiet: no error, nothing blocked, nothing fetched", () => {
    expect(built.troubles).toEqual([]);
  });
});
