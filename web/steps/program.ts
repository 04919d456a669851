/** Step 5: the program's text, block by block; the block that the replay is at is marked and kept in sight. */
import { countText, type LengthUnit } from "../../src/index.js";
import type { App, Shown } from "../app.js";
import { h, say } from "../dom.js";
import {
  choiceField,
  type Field,
  moreFields,
  numberField,
  readNumbers,
  textField,
} from "../fields.js";
import { bodyOf, type Step } from "./step.js";
import { tableField } from "./table-field.js";

/** px; the style sheet sets the same line height. */
const LINE = 20;
/** Lines drawn above and below those in sight. */
const SPARE = 12;

export interface ProgramList {
  readonly step: Step;
  /** Marks a line (1-based) of the program and brings it into sight; 0 marks none. */
  mark(line: number): void;
  /** Told the line that the user chose. */
  onPick(listener: (line: number) => void): void;
}

export function programStep(app: App): ProgramList {
  const fields = programFields(app);
  const sentence = h("p", { class: "sentence" });
  const rows = h("div", { class: "rows" });
  const scroller = h(
    "div",
    {
      class: "program",
      tabindex: 0,
      role: "region",
      "aria-label": "Program text",
    },
    rows,
  );
  const listeners: ((line: number) => void)[] = [];
  bodyOf("program").append(sentence, scroller, ...fields.map((f) => f.element));
  let lines: Lines = linesOf("");
  let marked = 0;
  let text: string | null = null;

  const draw = (): void => {
    const first = Math.max(0, Math.floor(scroller.scrollTop / LINE) - SPARE);
    const count = Math.ceil(scroller.clientHeight / LINE) + 2 * SPARE;
    rows.style.height = `${lines.count * LINE}px`;
    rows.replaceChildren(
      ...lines.from(first, count).map((line, i) => {
        const number = first + i + 1;
        const row = h(
          "div",
          {
            class: `line${number === marked ? " marked" : ""}${/M00/.test(line) ? " halt" : ""}`,
            "data-line": number,
          },
          h("span", { class: "line-number" }, number),
          line,
        );
        row.style.top = `${(number - 1) * LINE}px`;
        return row;
      }),
    );
  };
  scroller.addEventListener("scroll", draw);
  new ResizeObserver(draw).observe(scroller);
  scroller.addEventListener("click", (event) => {
    const row = (event.target as Element).closest<HTMLElement>("[data-line]");
    if (row) for (const tell of listeners) tell(Number(row.dataset.line));
  });

  return {
    step(shown) {
      for (const field of fields) field.update(shown);
      const { proved } = shown;
      say(sentence, sentenceOf(proved, app.units()));
      const next = proved?.program ?? null;
      if (next === text) return;
      text = next;
      lines = linesOf(next ?? "");
      marked = 0;
      scroller.hidden = next === null;
      scroller.scrollTop = 0;
      draw();
    },
    mark(line) {
      if (line === marked) return;
      marked = line;
      const top = (line - 1) * LINE;
      const { scrollTop, clientHeight } = scroller;
      if (
        line > 0 &&
        (top < scrollTop + LINE || top > scrollTop + clientHeight - 3 * LINE)
      )
        scroller.scrollTop = top - clientHeight / 2;
      draw();
    },
    onPick: (listener) => listeners.push(listener),
  };
}

interface Lines {
  readonly count: number;
  from(first: number, count: number): string[];
}

/** Only lines in sight are cut out: hundreds of thousands of them at once would hold up the page. */
function linesOf(text: string): Lines {
  const starts: number[] = [];
  for (
    let at = 0;
    at < text.length;
    at = text.indexOf("\n", at) + 1 || text.length
  )
    starts.push(at);
  return {
    count: starts.length,
    from: (first, count) =>
      starts
        .slice(first, first + count)
        .map((at) =>
          text.slice(at, (text.indexOf("\n", at) + 1 || text.length + 1) - 1),
        ),
  };
}

function sentenceOf(proved: Shown["proved"], units: LengthUnit): string {
  if (!proved?.program)
    return "There is no program: step 6 says what stands in the way.";
  const { proof } = proved;
  return [
    `${countText(proof?.blocks ?? 0, "block")} of ISO 6983, in ${units === "in" ? "inches" : "mm"}.`,
    "The words are neutral: thread is T1 M06, cut the wire T0 M06, a stop is M00.",
    proof?.ok
      ? ""
      : "Its proof does not hold: do not cut with it; step 6 says where.",
  ].join(" ");
}

function programFields(app: App): Field[] {
  return [
    choiceField(app, {
      label: "The program is",
      path: ["program", "compensation"],
      choices: [
        ["path", "the path of the wire’s centre"],
        ["control", "the outline; the control offsets it (G41/G42)"],
      ],
      settled: (s) => s.draft?.plan.job.program.compensation ?? null,
    }),
    moreFields("Words, grid and machine", [
      numberField(app, {
        label: "Coordinates on a grid of",
        path: ["program", "resolution"],
        unit: "length",
        settled: (s) => s.draft?.plan.job.program.resolution ?? null,
      }),
      tableField(app, {
        label: "Words of another control, as JSON",
        path: ["program", "words"],
      }),
      textField(app, {
        label: "The control’s D registers",
        path: ["program", "registers"],
        read: readRegisters,
        write: registersText,
        hint: "as in D1=0.21 D2=0.15: the proof then reads with these offsets; empty: those of the passes",
      }),
      textField(app, {
        label: "The machine reaches",
        path: ["machine", "travel"],
        read: readTravel,
        write: (value) => (value as readonly number[][]).flat().join(" "),
        hint: "two corners: X Y X Y, in the drawing’s coordinates",
      }),
    ]),
  ];
}

function readRegisters(text: string): Record<string, number> {
  return Object.fromEntries(
    text.split(/[\s;]+/).map((word) => {
      const [, name, figure] = /^(D[1-9]\d*)=(.+)$/i.exec(word) ?? [];
      const offset = Number(figure?.replace(",", "."));
      if (name === undefined || !Number.isFinite(offset))
        throw new Error(`"${word}" is not a register and its offset: D1=0.21`);
      return [name.toUpperCase(), offset];
    }),
  );
}

function registersText(value: unknown): string {
  return Object.entries(value as Record<string, number>)
    .map(([name, offset]) => `${name}=${offset}`)
    .join(" ");
}

function readTravel(text: string): number[][] {
  const [a, b, c, d, ...more] = readNumbers(text);
  if (
    a === undefined ||
    b === undefined ||
    c === undefined ||
    d === undefined ||
    more.length > 0
  )
    throw new Error(
      "four numbers, please: X Y of one corner, X Y of the other",
    );
  return [
    [a, b],
    [c, d],
  ];
}
