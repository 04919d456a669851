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
  const watcher = new IntersectionObserver(
    () => {
      // The last section whose head is above the middle of the text is the one being read.
      const line = innerHeight * 0.4;
      const read = sections
        .filter((s) => s.getBoundingClientRect().top < line)
        .at(-1);
      if (read) about(read);
    },
    { rootMargin: "-40% 0px -59% 0px" },
  );
  for (const section of sections) watcher.observe(section);
}
