/** A whole desk as one file, and as what the browser keeps between visits: JSON with the drawing in base64. */
import { InputError } from "../../src/index.js";
import { type Desk, jobText, readJob } from "./desk.js";

const FORMAT = "kerfwright-desk-1";

export function bundleText(desk: Desk): string {
  return `${JSON.stringify(
    {
      format: FORMAT,
      name: desk.name,
      drawingUnit: desk.drawingUnit,
      job: desk.job,
      beside: desk.beside,
      drawing: toBase64(desk.drawing),
    },
    null,
    1,
  )}\n`;
}

/** @throws {InputError} `desk/damaged`, or what `readJobFile` has to say of the job in it. */
export function readBundle(text: string): Desk {
  const damaged = (what: string): InputError =>
    new InputError(
      "desk/damaged",
      `this file was not saved by this page: ${what}; choose a desk file, a drawing or a job file`,
    );
  let value: Record<string, unknown>;
  try {
    value = JSON.parse(text) as Record<string, unknown>;
  } catch {
    throw damaged("it is not JSON");
  }
  if (typeof value !== "object" || value === null || value.format !== FORMAT)
    throw damaged(`its "format" is not "${FORMAT}"`);
  const { name, drawing, drawingUnit } = value;
  if (typeof name !== "string") throw damaged('it has no "name"');
  if (typeof drawing !== "string") throw damaged('it has no "drawing"');
  const bytes = fromBase64(drawing);
  if (!bytes) throw damaged('its "drawing" is not base64');
  return {
    name,
    drawing: bytes,
    drawingUnit:
      drawingUnit === "mm" || drawingUnit === "in" || drawingUnit === "px"
        ? drawingUnit
        : null,
    beside: textsIn(value.beside),
    job: readJob(jobText((value.job ?? {}) as Desk["job"])),
  };
}

/** Without a prototype, so that a file may be called "constructor". */
function textsIn(value: unknown): Readonly<Record<string, string>> {
  const texts = Object.entries((value ?? {}) as object).filter(
    ([, text]) => typeof text === "string",
  );
  return Object.assign(Object.create(null), Object.fromEntries(texts));
}

function toBase64(bytes: Uint8Array): string {
  const parts: string[] = [];
  // Longer argument lists overflow the stack; spread out they would take four times as long.
  for (let i = 0; i < bytes.length; i += 0x8000)
    parts.push(
      String.fromCharCode.apply(
        null,
        bytes.subarray(i, i + 0x8000) as unknown as number[],
      ),
    );
  return btoa(parts.join(""));
}

function fromBase64(text: string): Uint8Array | null {
  try {
    return Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
  } catch {
    return null;
  }
}
