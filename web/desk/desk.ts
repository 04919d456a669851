/** What lies on the desk: a drawing and the job file for it. Pure data; every change makes a new desk. */
import { type JobFile, type LengthUnit, readJobFile } from "../../src/index.js";

export interface Desk {
  /** The drawing's file name without its ending: outputs are named after it. */
  readonly name: string;
  readonly drawing: Uint8Array;
  /** The drawing's unit when the user had to say it. */
  readonly drawingUnit: LengthUnit | "px" | null;
  readonly job: JobFile;
  /** Texts of files that the job names: a process table, a word table. */
  readonly beside: Readonly<Record<string, string>>;
}

/** Whether a drawing begins with a tag: its figures may then be px. */
export function isSvg(drawing: Uint8Array): boolean {
  return /^\s*</.test(new TextDecoder().decode(drawing.subarray(0, 100)));
}

export type Path = readonly string[];

/** The job with one value set, or taken out with `undefined`; groups left empty go too. */
export function withValue(job: JobFile, path: Path, value: unknown): JobFile {
  return (setIn(job, path, value) ?? {}) as JobFile;
}

function setIn(node: unknown, path: Path, value: unknown): unknown {
  const [key, ...rest] = path;
  if (key === undefined) return value;
  const group: Record<string, unknown> = { ...(node as object | undefined) };
  const inner = setIn(group[key], rest, value);
  if (inner === undefined) delete group[key];
  else group[key] = inner;
  return Object.keys(group).length > 0 ? group : undefined;
}

export function valueAt(job: JobFile, path: Path): unknown {
  return path.reduce<unknown>(
    (node, key) => (node as Record<string, unknown> | undefined)?.[key],
    job,
  );
}

/** The job file's text, as it is saved and as the command line reads it. */
export function jobText(job: JobFile): string {
  return `${JSON.stringify(job, null, 2)}\n`;
}

/**
 * Reads a job file for the desk: its `order` becomes a group in braces, whatever short form it had, so that the page can
 * change one part of it.
 *
 * @throws {InputError} what `readJobFile` has to say.
 */
export function readJob(text: string): JobFile {
  const job = readJobFile(text);
  const { order } = job;
  if (typeof order === "string") return { ...job, order: { rule: order } };
  if (Array.isArray(order)) return { ...job, order: { features: order } };
  return job;
}
