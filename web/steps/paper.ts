/** Step 7: everything that leaves the page: program, preview, sheet, plan, wire paths, job and desk. */
import type { OutputFile } from "../../src/index.js";
import type { App } from "../app.js";
import { bundleText } from "../desk/bundle.js";
import { jobText } from "../desk/desk.js";
import { announce, h, say } from "../dom.js";
import { notice } from "../notice.js";
import { printSheet } from "../print.js";
import type { Planner } from "../worker/planner.js";
import { bodyOf, type Step } from "./step.js";

interface Paper {
  readonly ending: string;
  readonly title: string;
  readonly about: string;
}

const PAPERS: readonly Paper[] = [
  { ending: ".iso", title: "Program", about: "only when the proof holds" },
  {
    ending: ".setup.html",
    title: "Setup sheet",
    about: "for the machine, A4 or Letter",
  },
  { ending: ".svg", title: "Preview", about: "to scale" },
  { ending: ".plan.json", title: "Plan", about: "all of it as data" },
  { ending: ".paths.dxf", title: "Wire paths", about: "as a DXF drawing" },
];

export function paperStep(app: App, planner: Planner): Step {
  const sentence = h("p", { class: "sentence" });
  const buttons = PAPERS.map((paper) => {
    const button = h("button", { type: "button" }, paper.title);
    button.addEventListener("click", () => void hand(paper.ending, save));
    return { paper, button };
  });
  const print = h(
    "button",
    {
      type: "button",
      onclick: () => void hand(".setup.html", (file) => printSheet(file.text)),
    },
    "Print it",
  );
  const own = [
    h(
      "button",
      {
        type: "button",
        onclick: () => {
          const { now } = app.shown().history;
          save({ name: `${now.name}.job.json`, text: jobText(now.job) });
        },
      },
      "Job file",
    ),
    h(
      "button",
      {
        type: "button",
        onclick: () => {
          const { now } = app.shown().history;
          save({ name: `${now.name}.desk.json`, text: bundleText(now) });
        },
      },
      "The whole desk",
    ),
  ];
  bodyOf("paper").append(
    sentence,
    h(
      "ul",
      { class: "papers" },
      ...buttons.map(({ paper, button }) =>
        h("li", {}, button, h("span", {}, paper.about)),
      ),
      h("li", {}, print, h("span", {}, "the setup sheet, in black and white")),
      h(
        "li",
        {},
        own[0],
        h(
          "span",
          {},
          "what you chose: the command line makes the same program of it",
        ),
      ),
      h(
        "li",
        {},
        own[1],
        h("span", {}, "drawing and job as one file, to open here again"),
      ),
    ),
  );

  async function hand(
    ending: string,
    use: (file: OutputFile) => void,
  ): Promise<void> {
    const { now } = app.shown().history;
    const made = await planner.ask({ kind: "papers", desk: now, order: null });
    if (made.kind === "fault") return notice(made.fault.message);
    if (made.kind === "cancelled") return;
    const file = made.answer.find((f) => f.name === `${now.name}${ending}`);
    if (file) use(file);
    else notice("There is no such paper: the proof does not hold.");
  }

  return ({ proved, stage, unproved }) => {
    const ready = proved !== null && stage === null;
    const holds = ready && proved.ok;
    for (const { paper, button } of buttons)
      button.disabled = !ready || (paper.ending === ".iso" && !holds);
    print.disabled = !ready;
    say(
      sentence,
      holds
        ? "The program is proved and can go to the machine, after a look at it by somebody who knows the machine."
        : ready
          ? proved.proof
            ? "The program cannot be downloaded: its proof does not hold, and step 6 says where. The setup sheet tells the findings too."
            : "There is no program to download: step 6 says what stands in the way. The setup sheet tells the findings too."
          : unproved && stage === null
            ? "There is nothing to download while the program is not proved: step 6 says why it is not."
            : "Nothing to hand out yet.",
    );
  };
}

function save({ name, text }: OutputFile): void {
  const url = URL.createObjectURL(new Blob([text], { type: "text/plain" }));
  h("a", { href: url, download: name }).click();
  // The browser has taken its copy by then.
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
  announce(`${name} saved`);
}
