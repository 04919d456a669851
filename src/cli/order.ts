/** Arguments and files → the order that the public API takes. */
import { readFileSync } from "node:fs";
import { basename, dirname, extname, resolve } from "node:path";
import {
  InputError,
  NEUTRAL,
  type Order,
  readJobFile,
  readProcessTable,
  readWordTable,
  type WordTable,
} from "../index.js";
import { type Arguments, numberOption, UsageError } from "./usage.js";

export function orderFrom(drawingPath: string, { values }: Arguments): Order {
  const drawing = readInput(drawingPath, "drawing");
  const jobPath = values.job as string | undefined;
  const job =
    jobPath === undefined
      ? undefined
      : readInput(jobPath, "job").toString("utf8");
  return {
    name: basename(drawingPath, extname(drawingPath)),
    drawing,
    job,
    overrides: {
      wire: numberOption(values, "wire"),
      thickness: numberOption(values, "thickness"),
      passes: numberOption(values, "passes"),
      material: values.material as string | undefined,
      outer: values.outer as string | undefined,
      only: values["only-layer"] as string[] | undefined,
      skip: values["skip-layer"] as string[] | undefined,
      skipLineTypes: values["skip-line-type"] as string[] | undefined,
    },
    drawingUnit: unitOption(values.units),
    process: jobPath === undefined ? undefined : processOf(jobPath, job ?? ""),
    words: jobPath === undefined ? NEUTRAL : wordsOf(jobPath, job ?? ""),
    onStage: progress(),
  };
}

function unitOption(
  value: Arguments["values"][string],
): "mm" | "in" | "px" | undefined {
  if (value === undefined) return value;
  if (value === "mm" || value === "in" || value === "px") return value;
  throw new UsageError(`--units takes mm, in or px, not "${value}"`);
}

/** Another control's words are a file beside the job. */
function wordsOf(jobPath: string, job: string): WordTable {
  const name =
    inFile(jobPath, () => readJobFile(job)).program?.words ?? "neutral";
  if (name === "neutral") return NEUTRAL;
  const path = resolve(dirname(jobPath), name);
  const text = readInput(path, "word table").toString("utf8");
  return inFile(path, () => readWordTable(text));
}

/** A shop's own process table is a file beside the job. */
export function processOf(jobPath: string, job: string): string | undefined {
  const name = inFile(jobPath, () => readJobFile(job)).process;
  if (name === undefined) return undefined;
  const path = resolve(dirname(jobPath), name);
  const text = readInput(path, "process table").toString("utf8");
  inFile(path, () => readProcessTable(text));
  return text;
}

/** What is wrong in a file is told with its name. */
function inFile<T>(path: string, read: () => T): T {
  try {
    return read();
  } catch (e) {
    if (e instanceof InputError)
      throw new InputError(e.code, `${path}: ${e.message}`, e.where);
    throw e;
  }
}

/** @throws {InputError} `file/unreadable` with what the system says. */
export function readInput(path: string, what: string): Buffer {
  try {
    return readFileSync(path);
  } catch (e) {
    const code = (e as NodeJS.ErrnoException).code;
    const why =
      code === "ENOENT"
        ? "there is no such file"
        : code === "EISDIR"
          ? "it is a folder"
          : code === "EACCES"
            ? "reading it is not allowed"
            : (e as Error).message;
    throw new InputError(
      "file/unreadable",
      `cannot read the ${what} ${path}: ${why}`,
    );
  }
}

/** After this long (ms) a person at a terminal is told what is going on. */
const PATIENCE = 1000;

function progress(): ((stage: string) => void) | undefined {
  if (!process.stderr.isTTY) return undefined;
  const begun = performance.now();
  return (stage) => {
    if (performance.now() - begun > PATIENCE)
      process.stderr.write(`… ${stage}\n`);
  };
}
