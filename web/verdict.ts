/** The verdict, always in sight at the top of the page: what is being worked on, or what came of it, and a way to stop or go on. */
import { countText, type LengthUnit } from "../src/index.js";
import { type App, type Shown, verdictWords } from "./app.js";
import { h, say } from "./dom.js";
import { tenths } from "./steps/proof.js";
import type { Fault, Proved } from "./worker/messages.js";

/** Its parts stay themselves while what they say changes: a button that is pressed just then is still there. */
export function startVerdict(app: App, element: HTMLElement): void {
  const words = h("span", {});
  const figures = h("span", { class: "figures" });
  const link = h("a", { href: "#s-proof" }, words, figures);
  const cancel = h(
    "button",
    { type: "button", class: "cancel", onclick: () => app.cancel() },
    "Cancel",
  );
  const again = h("button", {
    type: "button",
    class: "again",
    onclick: () => app.again(),
  });
  element.append(link, cancel, again);
  const draw = (shown: Shown): void => {
    const { proved, stage, fault, unproved } = shown;
    const good = proved?.ok === true && fault === null;
    element.className = `verdict ${stage ? "busy" : good ? "good" : "bad"}`;
    link.href = fault ? "#s-drawing" : "#s-proof";
    say(words, wordsOf(shown));
    say(
      figures,
      proved && !stage && !fault ? shortFigures(proved, app.units()) : "",
    );
    say(again, fault ? "Plan it again" : "Prove it again");
    show(cancel, stage !== null);
    show(again, stage === null && mayGoOn(fault ?? unproved));
  };
  /** What has the focus and goes leaves it to the words beside it. */
  const show = (button: HTMLButtonElement, wanted: boolean): void => {
    if (!wanted && document.activeElement === button) link.focus();
    button.hidden = !wanted;
  };
  // That the verdict is old is said at once; a new one is given with the text that goes with it.
  app.subscribe((shown) => {
    if (shown.stage !== null) draw(shown);
  });
  app.subscribeText(draw);
}

function wordsOf({ proved, stage, fault, unproved }: Shown): string {
  if (stage) return `… ${capital(stage)}.`;
  if (fault) return `✕ No program: ${briefly(fault, 1)}`;
  if (unproved) return `✕ Not proved: ${briefly(unproved, 6)}`;
  return proved ? `${proved.ok ? "✓" : "✕"} ${verdictWords(proved)}` : "";
}

/** What is no fault of drawing or job may go well another time. */
function mayGoOn(fault: Fault | null): boolean {
  return fault?.code.startsWith("page/") === true;
}

/** So many letters fit into the head of the page. */
const BRIEF = 90;
const BRIEFLY = /^job\/bad-value$|^page\//;

function briefly({ code, message }: Fault, step: number): string {
  return BRIEFLY.test(code) && message.length <= BRIEF
    ? `${message}.`
    : `see step ${step}.`;
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

function shortFigures({ proof }: Proved, units: LengthUnit): string {
  if (!proof) return "";
  const people = proof.loosePieces.filter((p) => !p.attended).length;
  return ` Edge cut into by at most ${tenths(proof.maxGouge, units)}; ${people === 0 ? "nothing falls unwatched" : `${countText(people, "piece")} would fall unwatched`}.`;
}
