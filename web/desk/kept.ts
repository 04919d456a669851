/** The last desk, kept in this browser only, and offered again at the next visit. */
import { bundleText, readBundle } from "./bundle.js";
import type { Desk } from "./desk.js";

const KEY = "kerfwright.desk";

/** Bytes of a drawing: in base64 more would not go into the 5 MB that browsers give a page, and writing it takes its time. */
const LARGEST = 3_700_000;

/** A desk too large is not kept. Returns whether it was. */
export function keepDesk(desk: Desk): boolean {
  try {
    if (desk.drawing.length > LARGEST) throw new Error("too large to keep");
    localStorage.setItem(KEY, bundleText(desk));
    return true;
  } catch {
    forgetDesk();
    return false;
  }
}

/** The kept desk, or null when there is none or it cannot be read any more. */
export function keptDesk(): Desk | null {
  try {
    const text = localStorage.getItem(KEY);
    return text === null ? null : readBundle(text);
  } catch {
    return null;
  }
}

export function forgetDesk(): void {
  try {
    localStorage.removeItem(KEY);
  } catch {
    // A browser that keeps nothing has nothing to forget.
  }
}
