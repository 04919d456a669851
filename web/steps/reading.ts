/** Which step is in hand: the one that is being read or worked in. The picture shows what it is about. */
import { type App, STEPS, type StepName } from "../app.js";
import { byId } from "../dom.js";

export function watchReading(app: App): void {
  const sections = STEPS.map((name) => byId(`s-${name}`));
  const about = (section: HTMLElement): void => {
    const name = section.dataset.step as StepName;
    if (app.shown().about !== name) app.choose({ about: name });
  };
  for (const section of sections)
    section.addEventListener("focusin", () => about(section));
  const frame = byId("picture").parentElement as HTMLElement;
  let asked = false;
  const look = (): void => {
    asked = false;
    // On a narrow screen the text begins below the picture.
    const box = frame.getBoundingClientRect();
    const top = box.width > innerWidth - 2 ? box.bottom : 0;
    // The last section whose head is above the middle of the text is the one being read.
    const line = top + 0.4 * (innerHeight - top);
    const read = sections
      .filter((s) => s.getBoundingClientRect().top < line)
      .at(-1);
    if (read) about(read);
  };
  addEventListener(
    "scroll",
    () => {
      if (!asked) requestAnimationFrame(look);
      asked = true;
    },
    { passive: true },
  );
}
