/// <reference lib="dom" />
/** The built page in Chromium, opened from a folder, without a network. */
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import {
  type BrowserContextOptions,
  chromium,
  type Page,
} from "playwright-core";
import { build } from "vite";

export interface BuiltPage {
  readonly folder: string;
  /** What any page complained about, and whatever it asked a network for. */
  readonly troubles: string[];
  /** A page of its own with nothing kept from before, planned and proved. */
  open(options?: BrowserContextOptions): Promise<Page>;
  close(): Promise<void>;
}

export const LAPTOP = { width: 1280, height: 800 } as const;

export async function buildPage(): Promise<BuiltPage> {
  const folder = mkdtempSync(join(tmpdir(), "kerfwright-page-"));
  await build({
    build: { outDir: folder, emptyOutDir: true },
    logLevel: "error",
  });
  const browser = await chromium.launch({
    executablePath: "/usr/bin/chromium",
    args: ["--no-sandbox", "--disable-gpu", "--disable-background-networking"],
  });
  const troubles: string[] = [];
  return {
    folder,
    troubles,
    async open(options) {
      const context = await browser.newContext({
        viewport: LAPTOP,
        offline: true,
        ...options,
      });
      const page = await context.newPage();
      page.on("pageerror", (e) => troubles.push(`error: ${e.stack}`));
      page.on("console", (m) => {
        if (m.type() === "error") troubles.push(`console: ${m.text()}`);
      });
      page.on("request", (r) => {
        if (!/^(file|blob|data):/.test(r.url()))
          troubles.push(`network: ${r.url()}`);
      });
      await page.goto(pathToFileURL(join(folder, "index.html")).href);
      await settled(page);
      return page;
    },
    async close() {
      await browser.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** Waits until plan and proof are those of the desk as it is. */
export function settled(page: Page): Promise<unknown> {
  return page.waitForSelector(".verdict:not(.busy)", { timeout: 60_000 });
}

export function verdict(page: Page): Promise<string | null> {
  return page.textContent("#verdict");
}

/** Opens a file as the user does, and waits for what becomes of it. */
export async function load(
  page: Page,
  name: string,
  text: string,
): Promise<void> {
  await choose(page, name, text);
  await page.waitForFunction(
    (stem) =>
      document
        .querySelector("#s-drawing .sentence")
        ?.textContent?.startsWith(stem),
    name.replace(/\.\w+$/, ""),
  );
  await settled(page);
}

export function choose(page: Page, name: string, text: string): Promise<void> {
  return page.setInputFiles("#file", {
    name,
    mimeType: "text/plain",
    buffer: Buffer.from(text),
  });
}

export async function download(page: Page, title: string): Promise<string> {
  const [file] = await Promise.all([
    page.waitForEvent("download"),
    page.getByRole("button", { name: title, exact: true }).click(),
  ]);
  return readFileSync(await file.path(), "utf8");
}

export async function set(
  page: Page,
  label: string,
  value: string,
): Promise<void> {
  await page.getByLabel(label, { exact: true }).fill(value);
  await settled(page);
}
