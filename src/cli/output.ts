/** Files go out whole or not at all; what people read goes to standard error. */
import {
  existsSync,
  mkdirSync,
  renameSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { join } from "node:path";
import {
  type Finding,
  type LengthUnit,
  messageIn,
  type OutputFile,
  placeFigures,
} from "../index.js";
import { UsageError } from "./usage.js";

/**
 * Writes all files, each under a passing name first, so that a full disk leaves nothing half-written.
 *
 * @returns the paths written.
 * @throws {UsageError} when the folder cannot be written to.
 */
export function writeFiles(
  folder: string,
  files: readonly OutputFile[],
): string[] {
  const made: { passing: string; final: string }[] = [];
  try {
    mkdirSync(folder, { recursive: true });
    for (const { name, text } of files) {
      const final = join(folder, name);
      const passing = `${final}.tmp`;
      made.push({ passing, final });
      writeFileSync(passing, text);
    }
    for (const { passing, final } of made) renameSync(passing, final);
  } catch (e) {
    for (const { passing } of made) rmSync(passing, { force: true });
    throw new UsageError(
      `cannot write into ${folder}: ${(e as Error).message}`,
    );
  }
  return made.map(({ final }) => final);
}

/** A program from an earlier run must not lie beside the papers of a plan that failed. Gives its new name. */
export function setAside(folder: string, name: string): string | null {
  const path = join(folder, name);
  if (!existsSync(path)) return null;
  const aside = `${path}.outdated`;
  renameSync(path, aside);
  return aside;
}

export function sayFindings(
  findings: readonly Finding[],
  units: LengthUnit,
): void {
  for (const f of findings) {
    const where = f.where ? ` at ${placeFigures(f.where, units)} ${units}` : "";
    say(`${f.severity}: ${messageIn(f.message, units)} [${f.code}${where}]`);
  }
}

export function say(text: string): void {
  process.stderr.write(`${text}\n`);
}

export function printJson(value: unknown): void {
  process.stdout.write(`${JSON.stringify(value, null, 2)}\n`);
}
