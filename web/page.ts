/** The page: a desk, its workers, a picture, and the steps in their order. */
import { startApp } from "./app.js";
import { keptDesk } from "./desk/kept.js";
import { openFile } from "./desk/open.js";
import { SAMPLES, sampleDesk } from "./desk/samples.js";
import { inUnits } from "./desk/units.js";
import { byId, say } from "./dom.js";
import { startGrips } from "./hand/grips.js";
import { tryChanges } from "./hand/try.js";
import { startPicture } from "./picture/picture.js";
import { watchPicture } from "./picture/watch.js";
import { watchTyping } from "./refill.js";
import { startPlayer } from "./replay/player.js";
import { drawingStep } from "./steps/drawing.js";
import { orderStep } from "./steps/order.js";
import { paperStep } from "./steps/paper.js";
import { programStep } from "./steps/program.js";
import { proofStep } from "./steps/proof.js";
import { watchReading } from "./steps/reading.js";
import { slugsStep } from "./steps/slugs.js";
import { wireStep } from "./steps/wire.js";
import { startTheme } from "./theme.js";
import { startVerdict } from "./verdict.js";
import { startWhy } from "./why/why.js";
import { startPlanner } from "./worker/planner.js";

export function startPage(): void {
  const [first] = SAMPLES;
  if (!first) throw new Error("the page has no sample to begin with");

  watchTyping();
  const planner = startPlanner();
  const app = startApp(keptDesk() ?? sampleDesk(first), planner);
  const picture = startPicture(byId("picture"));
  const program = programStep(app);

  const tryChange = tryChanges(app, planner);

  startGrips(app, picture, tryChange);
  watchPicture(app, picture);
  for (const step of [
    drawingStep(app, picture),
    wireStep(app, picture),
    slugsStep(app, picture, tryChange),
    orderStep(app, tryChange),
    program.step,
    proofStep(app, picture),
    paperStep(app, planner),
  ])
    app.subscribeText(step);
  startPlayer(app, picture, program);
  startWhy(app, picture, planner);
  watchReading(app);
  startTheme(byId("theme"));
  startVerdict(app, byId("verdict"));

  const undo = byId<HTMLButtonElement>("undo");
  const redo = byId<HTMLButtonElement>("redo");
  const units = byId<HTMLButtonElement>("units");
  undo.addEventListener("click", app.undo);
  redo.addEventListener("click", app.redo);
  units.addEventListener("click", () => {
    const { now } = app.shown().history;
    const job = inUnits(now.job, app.units() === "mm" ? "in" : "mm");
    app.putDown({ ...now, job });
  });
  app.subscribeText(({ history }) => {
    undo.disabled = history.past.length === 0;
    redo.disabled = history.future.length === 0;
    say(units, app.units() === "mm" ? "mm → in" : "in → mm");
    units.title = `Everything is in ${app.units()}; change it`;
  });

  // On a narrow screen the head takes more lines: what sticks below it must know how many.
  const mast = document.querySelector("header");
  if (mast)
    new ResizeObserver(() => {
      document.documentElement.style.setProperty(
        "--mast",
        `${mast.offsetHeight}px`,
      );
    }).observe(mast);

  document.addEventListener("keydown", (event) => {
    const typing =
      event.target instanceof HTMLInputElement && event.target.type === "text";
    if (
      !(event.ctrlKey || event.metaKey) ||
      event.key.toLowerCase() !== "z" ||
      typing
    )
      return;
    event.preventDefault();
    if (event.shiftKey) app.redo();
    else app.undo();
  });

  document.addEventListener("dragover", (event) => event.preventDefault());
  document.addEventListener("drop", (event) => {
    event.preventDefault();
    const file = event.dataTransfer?.files[0];
    if (file) void openFile(app, file);
  });
}
