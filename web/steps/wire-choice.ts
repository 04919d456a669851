/** Wire by wire, what of the drawing it would leave uncut, and where: the thickest that leaves nothing is quickest. */
import {
  type Inspection,
  lengthFigure,
  lengthText,
  mmPer,
} from "../../src/index.js";
import type { App } from "../app.js";
import { type Child, h, table } from "../dom.js";
import type { Picture } from "../picture/picture.js";

type Fit = Inspection["wires"][number];

export function wireTable(
  app: App,
  picture: Picture,
  { wires, contours }: Inspection,
  chosen: number,
): HTMLElement | null {
  if (contours.length === 0 || wires.length === 0) return null;
  const units = app.units();
  // Wires thinner than the first that leaves nothing leave nothing either.
  const clear = wires.findIndex((w) => w.uncut.length + w.slots.length === 0);
  const shown = wires.filter(
    (w, i) => clear < 0 || i <= clear || same(w.diameter, chosen),
  );
  return table(
    "What each wire would leave",
    ["wire", `stays in corners, at most ${units}`, "cannot enter"],
    shown.map((w) => [
      h(
        "button",
        {
          type: "button",
          class: "jump",
          "data-key": `take-${w.diameter}`,
          "aria-pressed": String(same(w.diameter, chosen)),
          "aria-label": `Take the ${lengthText(w.diameter, units)} wire`,
          onclick: () =>
            app.set(
              ["wire", "diameter"],
              Number((w.diameter / mmPer(units)).toPrecision(8)),
            ),
        },
        lengthText(w.diameter, units),
      ),
      cornersCell(app, picture, w),
      placesCell(picture, w),
    ]),
  );
}

function same(a: number, b: number): boolean {
  return Math.abs(a - b) < 1e-6;
}

function cornersCell(app: App, picture: Picture, { uncut }: Fit): Child {
  const [worst] = uncut;
  if (!worst) return "nothing";
  const figure = lengthFigure(worst.left, app.units());
  const words = uncut.length === 1 ? "1 corner" : `${uncut.length} corners`;
  return jump(picture, worst.at, `${figure}, ${words}`);
}

function placesCell(picture: Picture, { slots }: Fit): Child {
  const [first] = slots;
  if (!first) return "nothing";
  const words = slots.length === 1 ? "1 place" : `${slots.length} places`;
  return jump(picture, first.at, words);
}

/** mm of the drawing shown around a corner. */
const SPAN = 3;

function jump(
  picture: Picture,
  [x, y]: readonly [number, number],
  text: string,
): HTMLElement {
  return h(
    "button",
    {
      type: "button",
      class: "jump",
      onclick: () => picture.goTo({ x, y }, SPAN),
    },
    text,
  );
}
