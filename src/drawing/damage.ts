/** What is said when a file cannot be read any further: always with the line, always with what to do. */
import { InputError } from "../base/finding.js";
import { quoted } from "../base/message.js";

export function damaged(lineNumber: number, what: string): InputError {
  return new InputError(
    "drawing/damaged",
    `Line ${lineNumber}: ${what}; the file is damaged, save the drawing again.`,
  );
}

export function truncated(lineNumber: number): InputError {
  return new InputError(
    "drawing/truncated",
    `The drawing breaks off at line ${lineNumber}: part of it is missing; save or copy the file again.`,
  );
}

export function badNumber(lineNumber: number, value: string): InputError {
  return new InputError(
    "drawing/bad-number",
    `Line ${lineNumber}: ${quote(value)} is not a number; save the drawing again, with a point as the decimal mark.`,
  );
}

export function notDxf(what: string): InputError {
  return new InputError(
    "drawing/not-dxf",
    `The file is ${what}, not a DXF drawing; export the outlines as DXF.`,
  );
}

export function tooLarge(what: string): InputError {
  return new InputError(
    "drawing/too-large",
    `The drawing ${what}; save only the outlines to be cut.`,
  );
}

/** The beginning of a text from a file, safe for a terminal. */
export function quote(text: string): string {
  const start = [...text.trim().slice(0, 24)];
  const safe = start.map((c) => (c < " " || c === "\x7f" ? "?" : c)).join("");
  return quoted(`${safe}${text.trim().length > 24 ? "…" : ""}`);
}
