/** Opening a file of any kind the page knows: a drawing, a job file, or a whole desk. */
import { InputError, type JobFile } from "../../src/index.js";
import type { App } from "../app.js";
import { notice } from "../notice.js";
import { readBundle } from "./bundle.js";
import { type Path, readJob, withValue } from "./desk.js";
import { inUnits } from "./units.js";

/** Larger files would only be refused by the reader, after the browser has choked on them. */
const LARGEST = 64 * 1024 * 1024;

export async function openFile(app: App, file: File): Promise<void> {
  try {
    if (file.size > LARGEST)
      throw new InputError(
        "desk/too-large",
        `the file has ${Math.round(file.size / 1e6)} MB; the page takes up to ${Math.round(LARGEST / 1e6)} MB`,
      );
    const { now } = app.shown().history;
    const bytes = new Uint8Array(await file.arrayBuffer());
    if (/\.json$/i.test(file.name)) {
      const text = new TextDecoder().decode(bytes);
      const isDesk = /"format"\s*:\s*"kerfwright-desk/.test(text);
      app.putDown(isDesk ? readBundle(text) : { ...now, job: readJob(text) });
    } else
      app.putDown({
        name: nameOf(file.name),
        drawing: bytes,
        drawingUnit: null,
        beside: now.beside,
        job: forAnotherDrawing(now.job),
      });
    notice(null);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    notice(`${file.name}: ${error.message}`);
  }
}

/**
 * The job for the next drawing. What belongs to one drawing's outlines and layers means nothing in the next one; and its
 * unit is the new drawing's own, so that one that says none is asked about.
 */
function forAnotherDrawing(job: JobFile): JobFile {
  const {
    units: _units,
    roles: _roles,
    features: _features,
    ...rest
  } = inUnits(job, "mm");
  return OF_ONE_DRAWING.reduce<JobFile>(
    (kept, path) => withValue(kept, path, undefined),
    rest,
  );
}

const OF_ONE_DRAWING: readonly Path[] = [
  ["order", "features"],
  ["drawing", "only"],
  ["drawing", "skip"],
  ["drawing", "skipLineTypes"],
  ["startHoles", "layer"],
  ["tabs", "layer"],
  ["tabs", "keepOffLayer"],
];

function nameOf(file: string): string {
  const stem = file.replace(/\.[^.]*$/, "").replace(/[^\p{L}\p{N}._-]+/gu, "-");
  return stem === "" ? "drawing" : stem;
}
