/// <reference lib="dom" />
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import * as dxf from "dxf-parser";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { planDrawing } from "../../src/index.js";
import { circleTags, dxfText, rectangleTags } from "../helpers/dxf.js";
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

const ROOT = join(import.meta.dirname, "../..");
const SAMPLE = (file: string): string =>
  readFileSync(join(ROOT, "samples", file), "utf8");

let built: BuiltPage;
beforeAll(async () => {
  built = await buildPage();
});
afterAll(() => built?.close());

describe("the page, used by hand", () => {
  let page: Page;
  beforeAll(async () => {
    page = await built.open();
  });

  const transform = (): Promise<string> =>
    page.evaluate(async () => {
      // The eye rests before the picture is drawn anew.
      await new Promise((done) => setTimeout(done, 250));
      return document.querySelector(".world")?.getAttribute("transform") ?? "";
    });
  const scaleOf = (matrix: string): number =>
    Number(/matrix\(([^ ]+)/.exec(matrix)?.[1]);
  /** Where a place of the drawing (mm) is on the screen. */
  const spot = (x: number, y: number): Promise<{ x: number; y: number }> =>
    page.evaluate(
      ([px, py]) => {
        const world = document.querySelector<SVGGElement>(".world");
        const matrix = world?.getScreenCTM();
        // The world's places are counted from the middle of the die plate, (60, 40).
        const p = new DOMPoint((px ?? 0) - 60, (py ?? 0) - 40);
        const at = p.matrixTransform(matrix ?? undefined);
        return { x: at.x, y: at.y };
      },
      [x, y],
    );
  /** Shows all, and waits until the eye rests: places on the screen are true then. */
  const whole = async (): Promise<void> => {
    await page.click("#fit");
    await transform();
  };

  it("zooms by wheel about the pointer, pans by dragging, and both by keys", async () => {
    const before = await transform();
    const held = await spot(93, 55);
    await page.mouse.move(held.x, held.y);
    await page.mouse.wheel(0, -300);
    expect(scaleOf(await transform())).toBeGreaterThan(1.5 * scaleOf(before));
    const after = await spot(93, 55);
    expect(Math.hypot(after.x - held.x, after.y - held.y)).toBeLessThan(1);

    await page.mouse.down();
    await page.mouse.move(held.x + 80, held.y + 30, { steps: 3 });
    await page.mouse.up();
    await transform();
    const dragged = await spot(93, 55);
    expect(dragged.x - after.x).toBeCloseTo(80, 0);
    expect(dragged.y - after.y).toBeCloseTo(30, 0);

    await page.locator("#picture").focus();
    await page.keyboard.press("ArrowRight");
    const nudged = await transform();
    expect((await spot(93, 55)).x).toBeLessThan(dragged.x - 20);
    await page.keyboard.press("+");
    expect(scaleOf(await transform())).toBeGreaterThan(scaleOf(nudged));
    await page.keyboard.press("0");
    expect(await transform()).toBe(before);
  });

  it("zooms by two fingers", async () => {
    const before = scaleOf(await transform());
    const middle = await spot(60, 40);
    const cdp = await page.context().newCDPSession(page);
    const touch = (type: "touchStart" | "touchMove" | "touchEnd", apart = 0) =>
      cdp.send("Input.dispatchTouchEvent", {
        type,
        touchPoints:
          type === "touchEnd"
            ? []
            : [
                { id: 1, x: middle.x - apart, y: middle.y },
                { id: 2, x: middle.x + apart, y: middle.y },
              ],
      });
    await touch("touchStart", 40);
    for (const apart of [50, 60, 70, 80]) await touch("touchMove", apart);
    await touch("touchEnd");
    // Fingers twice as far apart: twice as large.
    expect(scaleOf(await transform()) / before).toBeCloseTo(2, 1);
    await whole();
  });

  it("tells what is under the pointer, and where that is", async () => {
    // The die plate's left edge lies at X 0; its slug of opening-3 holds (93, 50), as the drawing says.
    const inside = await spot(93, 50);
    await page.mouse.move(inside.x, inside.y);
    expect(await page.textContent("#tip")).toMatch(/slug of opening-3, .*g/);
    expect(await page.textContent("#readout")).toMatch(
      /X 9[23]\.\d+ {2}Y (49|50)\.\d+ mm/,
    );
    const metal = await spot(60, 20);
    await page.mouse.move(metal.x, metal.y);
    expect(await page.textContent("#tip")).toBe("metal that stays");
  });

  it("chooses and measures by keys, at the cross in the middle", async () => {
    await page.locator("#picture").focus();
    await page.keyboard.press("0");
    const scale = scaleOf(await transform());
    await page.keyboard.press("Enter");
    // The middle of the plate is (60, 40), as its sample says.
    expect(await page.textContent("#readout")).toMatch(
      /^X 60\.0+ {2}Y 40\.0+ mm: metal that stays$/,
    );
    await page.getByRole("button", { name: "Measure" }).click();
    await page.locator("#picture").focus();
    await page.keyboard.press("Enter");
    // An arrow key moves the picture by 60 pixels.
    await page.keyboard.press("ArrowRight");
    await page.keyboard.press("Enter");
    const said = await page.textContent("#readout");
    expect(Number(/^([\d.]+) mm/.exec(said ?? "")?.[1])).toBeCloseTo(
      60 / scale,
      3,
    );
    await page.getByRole("button", { name: "Measure" }).click();
    await whole();
  });

  it("shows wire, gap, stock left and offset in section, close up", async () => {
    await page.click("#gap");
    await page.locator(".section .gap-ring").first().waitFor();
    const words = await page.locator(".section text").allTextContents();
    // The sample's schedule: rough 0.25 / 2 + 0.03 + 0.055 = 0.21; finish 0.125 + 0.01 = 0.135 mm.
    for (const said of [
      "wire 0.25 mm",
      "gap 0.03 mm",
      "leaves 0.055 mm",
      "offset 0.21 mm",
      "offset 0.135 mm",
    ])
      expect(words).toContain(said);
    await whole();
  });

  it("moves a tab as far as the arrow keys are pressed, however fast, and keeps the slider in hand", async () => {
    await page.locator('[data-row="opening-5"]').click();
    const slider = page.getByLabel("Tab: place along the outline");
    const from = Number(await slider.inputValue());
    await slider.focus();
    for (let i = 0; i < 30; i++) await page.keyboard.press("ArrowRight");
    await page.locator('[data-key="free-tab"]').waitFor();
    await page.waitForFunction(
      (to) =>
        document.querySelector<HTMLInputElement>(":focus")?.value === to &&
        document.querySelector(".verdict.good"),
      String(from + 30),
    );
    // Undone step by step, or all at once by letting the plan choose.
    await page.locator('[data-key="free-tab"]').click();
    await page.locator('[data-key="free-tab"]').waitFor({ state: "detached" });
    await settled(page);
    expect(Number(await slider.inputValue())).toBe(from);
    await page.evaluate(() => scrollTo(0, 0));
    await whole();
  });

  it("takes a role for an outline that is clicked in the picture", async () => {
    const inside = await spot(93, 50);
    await page.mouse.click(inside.x, inside.y);
    const role = page.getByLabel("Role of opening-3");
    await role.selectOption("ignore");
    await page.getByRole("button", { name: "Cut it again" }).waitFor();
    await settled(page);
    await page.click("#undo");
    await page.locator('[data-row="opening-3"]').waitFor();
    await settled(page);
  });

  it("tells why a place is marked: beside the pointer, and in the list where the mark is clicked", async () => {
    await page.evaluate(() => scrollTo(0, 0));
    // The die plate's opening-4 has one corner that no wire reaches.
    const list = await page.locator("#s-proof .finding").allTextContents();
    const number = 1 + list.findIndex((text) => /inside corner/.test(text));
    const mark = page
      .locator(".mark.warning .number")
      .filter({ hasText: String(number) });
    const box = await mark.boundingBox();
    const at = {
      x: (box?.x ?? 0) + (box?.width ?? 0) / 2,
      y: (box?.y ?? 0) + (box?.height ?? 0) / 2,
    };
    await page.mouse.move(at.x, at.y);
    const tip = (await page.textContent("#tip")) ?? "";
    expect(tip).toMatch(/^opening-4: .*inside corner is tighter/);
    await page.mouse.click(at.x, at.y);
    const told = page.locator(".finding.chosen");
    await told.waitFor();
    expect(await told.textContent()).toContain(tip.slice(0, 60));
    const shown = await told.boundingBox();
    const { height } = page.viewportSize() ?? { height: 0 };
    expect(shown?.y).toBeGreaterThan(0);
    expect((shown?.y ?? 0) + (shown?.height ?? 0)).toBeLessThan(height);
  });

  it("takes an order from a list that is dragged", async () => {
    const items = page.locator(".order-list li");
    const names = (): Promise<(string | null)[]> =>
      items.evaluateAll((all) =>
        all.map((li) => li.getAttribute("data-feature")),
      );
    const before = await names();
    await items.nth(3).dragTo(items.nth(0));
    await page.locator('[data-key="free-order"]').waitFor();
    await settled(page);
    expect(await names()).toEqual([
      before[3],
      before[0],
      before[1],
      before[2],
      before[4],
    ]);
    await page.click("#undo");
    await settled(page);
    expect(await names()).toEqual(before);
  });

  it("leaves a layer out, and takes it in again", async () => {
    await page.getByLabel("Read layer DIE").uncheck();
    await settled(page);
    await page.waitForFunction(
      () => document.querySelectorAll("#s-slugs [data-row]").length === 0,
    );
    await page.getByLabel("Read layer DIE").check();
    await page.locator('#s-slugs [data-row="opening-5"]').waitFor();
    await settled(page);
  });

  it("says what each wire would leave, and takes the one that is chosen", async () => {
    const row = page
      .getByRole("table", { name: "What each wire would leave" })
      .getByRole("row", { name: "0.1 mm" });
    await row.waitFor();
    await row.getByRole("button").first().click();
    await settled(page);
    expect(
      await page.getByLabel("Wire diameter", { exact: true }).inputValue(),
    ).toBe("0.1");
    await page.click("#undo");
    await settled(page);
  });

  it("plays the program: it runs, is slowed and stopped, and names a stop", async () => {
    const place = page.getByLabel("Place in the program");
    await page.getByLabel("Speed", { exact: true }).selectOption("30");
    await page.getByRole("button", { name: "Play" }).click();
    await page.waitForFunction(
      () =>
        Number(
          document.querySelector<HTMLInputElement>("#replay input")?.value,
        ) > 50,
    );
    await page.getByRole("button", { name: "Pause" }).click();
    const paused = await place.inputValue();
    await page.waitForTimeout(200);
    expect(await place.inputValue()).toBe(paused);
    await page.getByLabel("Speed", { exact: true }).selectOption("1");
    // A stop's own line, chosen in the program.
    const list = page.locator(".program");
    await list.evaluate((e) => {
      e.scrollTop = e.scrollHeight;
    });
    await list.locator(".halt").last().click();
    expect(await page.textContent(".replay-words")).toMatch(
      /stopped: .*opening-\d/i,
    );
  });

  it("answers every lesson with the figures that geometry gives", async () => {
    await page.locator('[data-row="opening-4"]').click();
    const why = page.locator("#s-why");
    await page.getByRole("button", { name: "Cut on the wrong side" }).click();
    // Twice the offset on either side: 2 × 2 × (0.25 / 2 + 0.01) = 0.54 mm.
    await why.locator("td", { hasText: "+0.5400" }).first().waitFor();
    await page.getByRole("button", { name: "Take too thick a wire" }).click();
    const words = await why.getByText(/Stock stays in 1 corner,/).textContent();
    // A disc of radius r between a chord 4 mm below the centre of a circle of radius 8 mm and the circle: its centre is
    // r above the chord and 8 - r from the circle's centre; the corner lies where chord and circle meet.
    const r = 0.36 / 2 + 0.01;
    const disc = { x: Math.sqrt((8 - r) ** 2 - (4 - r) ** 2), y: r - 4 };
    const corner = { x: Math.sqrt(8 ** 2 - 4 ** 2), y: -4 };
    const left = Math.hypot(corner.x - disc.x, corner.y - disc.y) - r;
    expect(Number(/at most ([\d.]+) mm/.exec(words ?? "")?.[1])).toBeCloseTo(
      left,
      3,
    );
  });

  it("hands out the wire's paths as a drawing that others read, in its unit and by pass", async () => {
    const text = await download(page, "Wire paths");
    const Parser = dxf.default as unknown as typeof dxf.DxfParser;
    const drawing = new Parser().parseSync(text);
    expect(drawing?.header.$INSUNITS).toBe(4);
    const layers = new Set(drawing?.entities.map((e) => e.layer));
    expect([...layers].sort()).toEqual([
      "LEADS",
      "OUTLINE",
      "PASS-1-ROUGH",
      "PASS-2-SKIM",
      "PASS-3-SKIM",
      "START-HOLES",
    ]);
  });

  it("saves a desk that opens again, and whose job makes the same program on the command line, byte for byte", async () => {
    await set(page, "Wire diameter", "0.2");
    const desk = await download(page, "The whole desk");
    const program = await download(page, "Program");
    const job = await download(page, "Job file");

    const folder = mkdtempSync(join(tmpdir(), "kerfwright-desk-"));
    writeFileSync(join(folder, "job.json"), job);
    execFileSync(
      process.execPath,
      [
        ...["--import", "tsx", join(ROOT, "src/cli/main.ts"), "plan"],
        join(ROOT, "samples/die-plate/die-plate.dxf"),
        ...["--job", join(folder, "job.json"), "--out", folder],
      ],
      { stdio: "pipe" },
    );
    expect(program).toBe(readFileSync(join(folder, "die-plate.iso"), "utf8"));
    rmSync(folder, { recursive: true, force: true });

    const other = await built.open();
    await choose(other, "die-plate.desk.json", desk);
    await other.waitForFunction(() =>
      Array.from(document.querySelectorAll("input")).some(
        (i) => i.value === "0.2",
      ),
    );
    await settled(other);
    expect(await download(other, "Program")).toBe(program);
    await other.context().close();
  }, 120_000);

  it("takes a file that is dropped on it", async () => {
    const data = await page.evaluateHandle((text) => {
      const transfer = new DataTransfer();
      transfer.items.add(new File([text], "hub-keyway.dxf"));
      return transfer;
    }, SAMPLE("hub-keyway/hub-keyway.dxf"));
    await page.dispatchEvent("body", "drop", { dataTransfer: data });
    await page.waitForFunction(() =>
      document
        .querySelector("#s-drawing .sentence")
        ?.textContent?.startsWith("hub-keyway is"),
    );
    await settled(page);
  });

  it("points out a layer that looks like the sheet", async () => {
    const note = [0, "TEXT", 8, "FRAME", 10, 5, 20, 5, 40, 2, 1, "Sheet 1"];
    await load(
      page,
      "sheet.dxf",
      dxfText([
        ...rectangleTags(0, 0, 100, 80, "FRAME"),
        note,
        ...rectangleTags(40, 30, 20, 10, "DIE"),
      ]),
    );
    const hint = page.locator(".sheet-layer");
    await hint.waitFor();
    expect(await hint.textContent()).toContain("text beside outlines");
    await page.getByLabel("Read layer FRAME").uncheck();
    await settled(page);
    await hint.waitFor({ state: "detached" });
  });

  it("points out closed centre lines, leaves their line type out, and takes it in again", async () => {
    const pitch = [...circleTags(40, 30, 25), 6, "CENTER"];
    const drawing = dxfText([
      ...rectangleTags(0, 0, 80, 60, "PLATE"),
      circleTags(65, 30, 3),
      circleTags(15, 30, 3),
      pitch,
    ]);
    await load(page, "flange.dxf", drawing);
    const hint = page.locator(".sheet-layer", { hasText: "closed outline" });
    await hint.waitFor();
    expect(await hint.textContent()).toContain("as centre lines are");
    await page.getByLabel("Read line type CENTER").focus();
    await page.keyboard.press("Space");
    await hint.waitFor({ state: "detached" });
    await settled(page);
    const job = await download(page, "Job file");
    expect(JSON.parse(job).drawing.skipLineTypes).toEqual(["CENTER"]);
    expect(await download(page, "Program")).toBe(
      planDrawing({ name: "flange", drawing, job }).program,
    );
    await page.getByLabel("Read line type CENTER").check();
    await hint.waitFor();
    await settled(page);
  });

  it("stays awake over a large drawing, tells what it does, and lets itself be stopped", async () => {
    // Some seconds of planning, so that there is something to be told and stopped.
    const side = 40;
    const openings = Array.from({ length: side * side }, (_, i) =>
      rectangleTags(12 * (i % side), 12 * Math.floor(i / side), 8, 6),
    ).flat();
    await choose(page, "block.dxf", dxfText(openings));
    const cancel = page.getByRole("button", { name: "Cancel" });
    await cancel.waitFor();
    expect(await verdict(page)).toMatch(/^… \w/);
    await page.waitForFunction(() =>
      / of 1600 outlines done/.test(
        document.querySelector("#verdict")?.textContent ?? "",
      ),
    );
    // The page's own thread answers while the workers work.
    await page.click("#theme");
    await page.click("#theme");
    await cancel.click();
    await settled(page);
    expect(await verdict(page)).toContain("No program");
    expect(await page.textContent("#s-drawing .sentence")).toContain(
      "cancelled",
    );
    await page.click("#undo");
    await settled(page);
    expect(
      await page.getByRole("button", { name: "Plan", exact: true }).isEnabled(),
    ).toBe(true);
  });

  it("keeps plan and picture when its proof is cancelled, gives no program out, and proves the same plan when told to", async () => {
    await page.evaluate(() => {
      const head = document.querySelector("#verdict") as Element;
      const said: string[] = [];
      (globalThis as unknown as { said: string[] }).said = said;
      new MutationObserver(() => said.push(head.textContent ?? "")).observe(
        head,
        { childList: true, subtree: true },
      );
    });
    // Long enough to be stopped in the middle: 576 outlines.
    const side = 24;
    const openings = Array.from({ length: side * side }, (_, i) =>
      rectangleTags(12 * (i % side), 12 * Math.floor(i / side), 8, 6),
    ).flat();
    await choose(page, "many.dxf", dxfText(openings));
    await page.waitForFunction(
      () =>
        /… Proving/.test(document.querySelector("#verdict")?.textContent ?? ""),
      undefined,
      { timeout: 60_000 },
    );
    const outlines = (): Promise<number> => page.locator(".world path").count();
    const drawn = await outlines();
    await page.getByRole("button", { name: "Cancel" }).click();
    await settled(page);
    expect(await verdict(page)).toContain("the proof was cancelled");
    expect(await page.locator("#picture.old").count()).toBe(0);
    expect(await outlines()).toBe(drawn);
    expect(await page.locator("[data-row]").count()).toBeGreaterThan(0);
    for (const paper of ["Program", "Setup sheet", "Plan"])
      expect(
        await page
          .getByRole("button", { name: paper, exact: true })
          .isEnabled(),
      ).toBe(false);

    await page.evaluate(() => {
      (globalThis as unknown as { said: string[] }).said.length = 0;
    });
    await page.getByRole("button", { name: "Prove it again" }).click();
    await settled(page);
    expect(await verdict(page)).toContain("The proof holds");
    const said = await page.evaluate(
      () => (globalThis as unknown as { said: string[] }).said,
    );
    expect(said.some((text) => /Proving/.test(text))).toBe(true);
    expect(said.filter((text) => /Planning|Reading/.test(text))).toEqual([]);
    await page.click("#undo");
    await settled(page);
  });

  it("plans and proves a drawing in inches once, in its own unit", async () => {
    await page.evaluate(() => {
      (globalThis as unknown as { said: string[] }).said.length = 0;
    });
    await load(
      page,
      "bracket.dxf",
      dxfText(rectangleTags(0, 0, 3, 2), { insunits: 1 }),
    );
    expect(await verdict(page)).toMatch(/at most [\d.]+\sµin;/);
    const said = await page.evaluate(
      () => (globalThis as unknown as { said: string[] }).said,
    );
    const times = (stage: string): number =>
      said.filter((text) => text.startsWith(`… ${stage}.`)).length;
    expect(times("Planning")).toBe(1);
    expect(times("Proving the program")).toBe(1);
    // 25 mm of the sample before it, as a person would write them.
    const thickness = await page
      .getByLabel("Thickness", { exact: true })
      .inputValue();
    expect(thickness).toMatch(/^0\.98425\d?$/);
    await page.click("#undo");
    await settled(page);
  });

  it("may not fetch, and runs nothing from elsewhere", async () => {
    const policy = await page
      .locator('meta[http-equiv="Content-Security-Policy"]')
      .getAttribute("content");
    expect(policy).toContain("default-src 'none'");
    expect(policy).toContain("connect-src 'none'");
    expect(policy).not.toContain("unsafe");
  });

  it("shows where the keyboard is, on every kind of control", async () => {
    for (const control of ["#picture", "#undo + button", "#sample", "#gap"]) {
      const target = page.locator(control);
      if (await target.isDisabled()) continue;
      await target.focus();
      await page.keyboard.press("Shift+Tab");
      await page.keyboard.press("Tab");
      const outline = await page.evaluate(
        () => getComputedStyle(document.activeElement as Element).outlineStyle,
      );
      expect(outline, control).toBe("solid");
    }
  });

  it("stays quiet: no error, nothing blocked, nothing fetched", () => {
    expect(built.troubles).toEqual([]);
  });
});

describe("somebody who has never seen the page", () => {
  // A window of 1 × 0.5 in with sharp corners.
  const drawing = {
    name: "window.dxf",
    mimeType: "text/plain",
    buffer: Buffer.from(
      dxfText(rectangleTags(0, 0, 1, 0.5, "WINDOW"), { insunits: 1 }),
    ),
  };
  /** What both of them have at the end: a proved program in inches, with the tab on the lower edge. */
  const isDone = async (page: Page): Promise<void> => {
    expect(await verdict(page)).toContain("The proof holds");
    expect(await download(page, "Program")).toContain("G70");
    const job = JSON.parse(await download(page, "Job file"));
    expect(job.wire.diameter).toBeCloseTo(0.2 / 25.4, 7);
    const [x, y] = job.features["opening-1"].tab.at;
    expect(y).toBeCloseTo(0, 4);
    expect(x).toBeGreaterThan(0.1);
    expect(x).toBeLessThan(0.9);
    expect(built.troubles).toEqual([]);
  };

  it("loads a drawing in inches, takes a 0.2 mm wire, moves a tab to the long straight edge, sees why a corner is flagged and gets a proved program, by what stands on the page alone", async () => {
    const page = await built.open();
    await page.getByLabel("A drawing, job or desk file").setInputFiles(drawing);
    await page.getByText("1 in by 0.5 in").waitFor();
    await page
      .getByLabel("Role of layer WINDOW")
      .selectOption({ label: "opening: the plate outside stays" });
    await settled(page);
    await set(page, "Wire diameter", "0.2 mm");
    await page.getByText("A 0.00787 in wire").waitFor();

    await page.getByRole("button", { name: "opening-1" }).first().click();
    // A third of the long side, as a share of the way round: 1 / 3 in of 3 in.
    const slider = page.getByLabel("Tab: place along the outline");
    await slider.fill("111");
    await slider.dispatchEvent("change");
    await page.getByRole("button", { name: "Let the plan choose" }).waitFor();
    await settled(page);

    const why = page
      .getByRole("list", { name: "Findings" })
      .getByRole("listitem")
      .filter({ hasText: "inside corner" })
      .first();
    // At (0, 0), by how far the wire's centre stays off and by √2 - 1 times that.
    const told = (await why.textContent()) ?? "";
    expect(told).toMatch(
      /tighter than the 0\.00\d+ in .* stock stays: .*0\.00\d+ in at \(0, 0\)/,
    );
    expect(await page.locator(".findings").first().textContent()).not.toMatch(
      /\d mm/,
    );
    await why.getByRole("button", { name: /Show/ }).click();
    await page.locator(".mark.chosen").waitFor();
    await isDone(page);
    await page.context().close();
  });

  it("does the same by keys alone", async () => {
    const page = await built.open();
    const press = page.keyboard.press.bind(page.keyboard);
    /** Tabs on to the control of that name, as a screen reader would say it. */
    const goTo = async (name: RegExp): Promise<void> => {
      const seen: string[] = [];
      for (let i = 0; i < 400; i++) {
        await press("Tab");
        const here = await page.evaluate(() => {
          const e = document.activeElement as HTMLInputElement | null;
          return (
            e?.getAttribute("aria-label") ??
            (e?.labels?.[0]?.textContent || e?.textContent) ??
            ""
          );
        });
        if (name.test(here.trim())) return;
        seen.push(here.trim().slice(0, 30));
      }
      throw new Error(`no way by keys to ${name}, only ${seen.join(", ")}`);
    };
    await goTo(/^A drawing, job/);
    const [chooser] = await Promise.all([
      page.waitForEvent("filechooser"),
      press("Space"),
    ]);
    await chooser.setFiles(drawing);
    await page.getByText("1 in by 0.5 in").waitFor();
    await settled(page);

    await goTo(/^Role of layer WINDOW/);
    await press("o");
    await page.waitForFunction(() =>
      document.querySelector('[data-row="opening-1"]'),
    );
    await settled(page);
    await goTo(/^Wire diameter/);
    await press("Control+A");
    await page.keyboard.type("0.2 mm");
    await press("Enter");
    await page.getByText("A 0.00787 in wire").waitFor();
    await settled(page);

    await goTo(/^opening-1/);
    await press("Enter");
    const slider = page.getByLabel("Tab: place along the outline");
    await goTo(/^Tab: place along/);
    await press("Home");
    for (let i = 0; i < 111; i++) await press("ArrowRight");
    await press("Tab");
    await page.getByRole("button", { name: "Let the plan choose" }).waitFor();
    await settled(page);
    expect(Number(await slider.inputValue())).toBeGreaterThan(100);

    await goTo(/^Show where.*1/);
    await press("Enter");
    await page.locator(".mark.chosen").waitFor();
    await isDone(page);
    await page.context().close();
  });

  it("prints the setup sheet on A4 and Letter: nothing cut off, cautions on the first page, black on white", async () => {
    const page = await built.open();
    const file = join(built.folder, "sheet.html");
    writeFileSync(file, await download(page, "Setup sheet"));
    await page.emulateMedia({ media: "print", colorScheme: "light" });
    for (const [paper, width, height] of [
      // Paper less 12 mm on each side, CSS pixels of 1/96 in.
      ["A4", 210 - 24, 297 - 24],
      ["Letter", 215.9 - 24, 279.4 - 24],
    ] as const) {
      const px = (mm: number): number => Math.floor((mm / 25.4) * 96);
      await page.setViewportSize({ width: px(width), height: px(height) });
      await page.goto(pathToFileURL(file).href);
      const seen = await page.evaluate(() => {
        const all = (what: string): Element[] =>
          Array.from(document.querySelectorAll(what));
        const cautions = all("section").find((s) =>
          s.querySelector("h2")?.textContent?.includes("Cautions"),
        );
        const picture = document
          .querySelector("section.picture")
          ?.getBoundingClientRect();
        return {
          pictureTop: picture?.top ?? 0,
          pictureHeight: picture?.height ?? 0,
          right: Math.max(
            ...all("table, svg, p, li").map(
              (e) => e.getBoundingClientRect().right,
            ),
          ),
          cautionsEnd: cautions?.getBoundingClientRect().bottom,
          ink: getComputedStyle(document.body).color,
          rowsThatBreak: all("tr").filter(
            (r) => getComputedStyle(r).breakInside !== "avoid",
          ).length,
        };
      });
      expect(seen.right, paper).toBeLessThanOrEqual(px(width));
      expect(seen.cautionsEnd, paper).toBeLessThan(px(height));
      expect(seen.rowsThatBreak, paper).toBe(0);
      // The picture takes a page of its own, and the page before it is nearly full.
      expect(seen.pictureHeight, paper).toBeLessThan(px(height));
      expect(seen.pictureTop, paper).toBeGreaterThan(0.8 * px(height));
      expect(seen.pictureTop, paper).toBeLessThan(px(height));
      expect(seen.ink).toMatch(/rgb\((\d|1\d|2\d), (\d|1\d|2\d), /);
    }
    await page.context().close();
  });
});
