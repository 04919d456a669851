/// <reference lib="dom" />
/** Whatever comes in while somebody types: what is typed stays, with the focus and the caret, until it is handed over. */
import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { type BuiltPage, buildPage, download, settled } from "./open-page.js";

let built: BuiltPage;
let page: Page;
beforeAll(async () => {
  built = await buildPage();
  page = await built.open();
});
afterAll(() => built?.close());

/** The field with the focus: what stands in it, and where the caret is. */
const held = (): Promise<{
  key: string;
  value: string;
  caret: number | null;
}> =>
  page.evaluate(() => {
    const e = document.activeElement as HTMLInputElement;
    const caret = e.selectionStart ?? null;
    return { key: e.dataset.key ?? e.id, value: e.value, caret };
  });

/** Types character by character, and lets plan and proof come in after each. */
async function typeAmidResults(text: string): Promise<void> {
  const { key } = await held();
  for (let i = 1; i <= text.length; i++) {
    await page.keyboard.type(text.charAt(i - 1));
    await settled(page);
    const value = text.slice(0, i);
    expect(await held()).toEqual({ key, value, caret: i });
  }
}

/** Something new to plan, begun without the field in hand: a box is ticked by a script, as by another finger. */
async function planAnew(): Promise<void> {
  await page.evaluate(() => {
    const label = Array.from(document.querySelectorAll("label")).find((l) =>
      l.textContent?.includes("Let stress out first"),
    );
    (label?.control as HTMLInputElement | undefined)?.click();
  });
  await page.waitForSelector(".verdict.busy");
  await settled(page);
}

async function clear(): Promise<void> {
  await page.keyboard.press("Control+A");
  await page.keyboard.press("Delete");
  await settled(page);
}

describe("a value that is typed while results come in", () => {
  it("stays as it is in a field that takes every stroke, also while it is no number", async () => {
    await page.getByLabel("Wire diameter", { exact: true }).focus();
    await clear();
    await typeAmidResults("0.2 mm");
    await clear();
    // Typed at once: the results of "0.2" come in when "0.2 m" stands there.
    await page.keyboard.type("0.2 m");
    await planAnew();
    expect((await held()).value).toBe("0.2 m");
    await page.keyboard.press("m");
    expect((await held()).value).toBe("0.2 mm");
    await page.keyboard.press("Enter");
    await settled(page);
    expect((await held()).value).toBe("0.2");
    expect(JSON.parse(await download(page, "Job file")).wire.diameter).toBe(
      0.2,
    );
  });

  it("is not thrown away for being no number: it is told, and stays until it is mended", async () => {
    const field = page.getByLabel("Thickness", { exact: true });
    const before = await field.inputValue();
    await field.focus();
    await page.keyboard.press("Control+A");
    await page.keyboard.type("2o");
    await page.keyboard.press("Tab");
    await planAnew();
    expect(await field.inputValue()).toBe("2o");
    await page.getByText('"2o" is not a number').waitFor();
    await field.fill(before);
    await settled(page);
    expect(await page.getByText('"2o" is not a number').count()).toBe(0);
  });

  it("stays in a start hole's field, though its row is drawn anew, and lands in the job", async () => {
    await page.locator('[data-row="opening-4"]').click();
    await page.getByLabel(/^Start hole X/).focus();
    const had = (await held()).value;
    await page.keyboard.press("End");
    await page.keyboard.press("Backspace");
    await planAnew();
    const typed = had.slice(0, -1);
    expect(await held()).toEqual({
      key: "hole-X-opening-4",
      value: typed,
      caret: typed.length,
    });
    await page.keyboard.press("Enter");
    await page.locator('[data-key="free-startHole"]').waitFor();
    await settled(page);
    const { features } = JSON.parse(await download(page, "Job file"));
    expect(features["opening-4"].startHole[0]).toBe(Number(typed));
  });

  it("stays in a cell of the passes, with what is selected in it, and lands in the job", async () => {
    await page.getByRole("button", { name: "Type my machine’s gaps" }).click();
    await settled(page);
    await page.locator('[data-key="pass-0-gap"]').focus();
    await page.keyboard.press("Control+A");
    await typeAmidResults("0.033");
    await page.keyboard.press("Shift+ArrowLeft");
    await planAnew();
    const selected = await page.evaluate(() => {
      const e = document.activeElement as HTMLInputElement;
      return [e.value, e.selectionStart, e.selectionEnd];
    });
    expect(selected).toEqual(["0.033", 4, 5]);
    await page.keyboard.press("Enter");
    await settled(page);
    const { passes } = JSON.parse(await download(page, "Job file"));
    expect(passes[0].gap).toBe(0.033);
  });

  it("stays on a slider that is being dragged", async () => {
    await page.locator('[data-row="opening-5"]').click();
    const slider = page.locator('[data-key="slide-tab-opening-5"]');
    await slider.hover();
    const box = await slider.boundingBox();
    if (!box) throw new Error("the slider is not in sight");
    const y = box.y + box.height / 2;
    await page.mouse.move(box.x + box.width * 0.2, y);
    await page.mouse.down();
    await page.mouse.move(box.x + box.width * 0.5, y, { steps: 3 });
    const dragged = await slider.inputValue();
    await planAnew();
    expect(await slider.inputValue()).toBe(dragged);
    await page.mouse.up();
    await settled(page);
  });

  it("is still there when its row goes: that waits until the field is left", async () => {
    await page.locator('[data-row="opening-4"]').click();
    const field = page.getByLabel(/^Start hole Y/);
    await field.focus();
    await page.keyboard.press("End");
    await page.keyboard.type("1");
    const typed = (await held()).value;
    // A drawing that cannot be read has no outlines, and so no rows for them.
    await page.setInputFiles("#file", {
      name: "no-drawing.dxf",
      mimeType: "text/plain",
      buffer: Buffer.from("no drawing"),
    });
    await page.locator("#s-drawing .sentence.fault").waitFor();
    await settled(page);
    expect((await held()).value).toBe(typed);
    await page.keyboard.press("Tab");
    await field.waitFor({ state: "detached" });
  });

  it("stays quiet: no error", () => {
    expect(built.troubles).toEqual([]);
  });
});
