/** The last desk, kept in this browser only, and offered again at the next visit. */
import { bundleText, readBundle } from "./bundle.js";
import type { Desk } from "./desk.js";

const KEY = "kerfwright.desk";

/** Browsers give a page about 5 MB; a larger desk is not kept. Returns whether it was. */
export function keepDesk(desk: Desk): boolean {
  try {
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
