/** A step of the page: its part of the text, drawn anew when what the page knows changes. */
import type { Shown, StepName } from "../app.js";
import { byId } from "../dom.js";

export type Step = (shown: Shown) => void;

/** What steps say whose plan cannot be made. */
export const NOTHING_PLANNED = "Nothing is planned: see step 1.";

/** The step's own part of the page, below its heading. */
export function bodyOf(step: StepName): HTMLElement {
  return byId(`s-${step}`).querySelector(".body") as HTMLElement;
}
