/** SVG files spoilt in every way: each must be read or refused with a typed error, in time, with sound geometry. */
import { InputError } from "../../src/base/finding.js";
import type { Drawing } from "../../src/drawing/drawing.js";
import { readDrawing } from "../../src/drawing/read-drawing.js";
import { chainFaults } from "../helpers/nearness.js";
import { random } from "../helpers/shapes.js";
import { svgText } from "../helpers/svg.js";
import type { FuzzRun } from "./run.js";

type Random = () => number;
const pick = <T>(rnd: Random, from: readonly T[]): T =>
  from[Math.floor(rnd() * from.length)] as T;

/** Everything an SVG may hold that is read, and much that is not. */
const GOOD: readonly string[] = [
  svgText(
    `<g id="DIE" transform="rotate(30 10 10) scale(2,1.5)"><rect x="1" y="2" width="30" height="20" rx="3" ry="2"/><circle cx="9" cy="-3" r="5"/></g>
<path d="M10-.5.5.5l-9.5-.5.5-1e1z m5 5 h10v-3.5H2V9Z"/><polygon points="0,0 30,0,30 40"/>`,
  ),
  svgText(
    `<path d="M0 5A5 5 0 1 0 10 5A5 5 30 01.5.5z M20 50a30 10 0 1 1 60 0 30 10 15 1 1-60 0z"/>
<path d="M0 100Q10 60 20 100T40 100C50 140 60 60 70 100S90 60 90 100z"/><line x1="3" x2="3mm" y1="7" y2="50%"/>`,
  ),
  svgText(
    `<defs><g id="a"><ellipse cx="1" rx="2" ry="4"/></g><symbol id="s" viewBox="0 0 10 10"><rect width="10" height="10"/></symbol></defs>
<use href="#a" x="10"/><use xlink:href="#a" transform="translate(50 50) skewX(10) matrix(1 0 0 -1 2 3)"/><use href="#s" width="20" height="20"/>
<svg x="100" width="50" height="50" viewBox="0 0 5 10" preserveAspectRatio="xMinYMax slice"><polyline points="0 0 3 0 3 4 0 0"/></svg>`,
    { head: '<?xml version="1.0" encoding="utf-8"?>\n' },
  ),
  svgText(
    `<style>.a{display:none}</style><text>5 &#215; 5 &lt;mm&gt;</text><!-- note --><g style="display:none"><circle r="3"/></g>
<switch><foreignObject/><g id="x"><circle r="4"/></g></switch><image/><rect width="2in" height="5" clip-path="url(#c)"/><![CDATA[ x ]]>`,
    {
      root: 'width="8in" height="4in" viewBox="0 0 8 4" preserveAspectRatio="none"',
      head: '<!DOCTYPE svg [<!ENTITY ns "urn:x">]>',
    },
  ),
];

const ODD = [
  ...[
    "nan",
    "1e999",
    "-1e308",
    "1e-320",
    "-0",
    "0",
    "1,5",
    "",
    "e",
    ".",
    "--1",
  ],
  ...["1e6", "1e9", "99999999999999999999", "mm", "%", "100%", "#a", "url(#a)"],
  ...[
    "none",
    "rotate(1e300)",
    "scale(0)",
    "matrix(0 0 0 0 0 0)",
    "&amp;",
    "&x;",
  ],
  ...[
    "M0 0",
    "zzz",
    "a1 1 0 11",
    "A0 0 0 0 0 5 5",
    "C1e200 0 0 0 1 1",
    "\u0000",
  ],
];
const PIECES = [
  "<g>",
  "</g>",
  "<svg>",
  "</svg>",
  "<use href='#a'/>",
  "<path d='M0 0",
  '"',
  "'",
  "<",
  ">",
  "/>",
  "<!--",
  "]]>",
  "&",
];

const WAYS: Readonly<Record<string, (text: string, rnd: Random) => string>> = {
  cut: (text, rnd) => text.slice(0, rnd() * text.length),
  number: (text, rnd) =>
    swapOne(text, /-?[\d.]+(?:e\d+)?/g, () => pick(rnd, ODD), rnd),
  value: (text, rnd) =>
    swapOne(text, /"[^"]*"/g, () => `"${pick(rnd, ODD)}"`, rnd),
  letter: (text, rnd) =>
    swapOne(
      text,
      /[A-Za-z]/g,
      () => pick(rnd, [..."MmLlHhVvCcSsQqTtAaZzxe5-"]),
      rnd,
    ),
  name: (text, rnd) =>
    swapOne(
      text,
      /<\/?\w+/g,
      () =>
        pick(rnd, ["<g", "<path", "<rect", "<use", "<symbol", "<b:c", "</g"]),
      rnd,
    ),
  piece: (text, rnd) => {
    const at = Math.floor(rnd() * text.length);
    return text.slice(0, at) + pick(rnd, PIECES) + text.slice(at);
  },
  drop: (text, rnd) => {
    const at = Math.floor(rnd() * text.length);
    return text.slice(0, at) + text.slice(at + 1 + Math.floor(rnd() * 12));
  },
  repeat: (text, rnd) => {
    const at = Math.floor(rnd() * text.length);
    const some = text.slice(at, at + 1 + Math.floor(rnd() * 40));
    return (
      text.slice(0, at) +
      some.repeat(1 + Math.floor(rnd() * 60)) +
      text.slice(at)
    );
  },
};

function swapOne(
  text: string,
  what: RegExp,
  by: () => string,
  rnd: Random,
): string {
  const found = [...text.matchAll(what)];
  const one = found[Math.floor(rnd() * found.length)];
  if (!one) return text;
  return (
    text.slice(0, one.index) + by() + text.slice(one.index + one[0].length)
  );
}

/** Seconds of processor that a file of some kilobytes may take. */
const MOST_SECONDS = 2;

/** What was wrong with reading the file; `null` when nothing was. */
export function judgeSvg(text: string, read = readDrawing): string | null {
  const before = process.cpuUsage();
  let fault: string | null = null;
  try {
    fault = unsound(read(new TextEncoder().encode(text)));
  } catch (error) {
    if (!(error instanceof InputError))
      return (error as Error).stack ?? String(error);
    if (unclear(error.message)) fault = `unclear message: ${error.message}`;
  }
  const seconds = process.cpuUsage(before).user / 1e6;
  return seconds > MOST_SECONDS ? `took ${seconds} s` : fault;
}

function unclear(message: string): boolean {
  const said = message.replace(/"[^"]*"/g, "");
  return message.length > 700 || /undefined|NaN|Infinity|\[object/.test(said);
}

function unsound({ outlines, open, findings }: Drawing): string | null {
  const odd = findings.find((f) => unclear(f.message));
  if (odd) return `unclear message: ${odd.message}`;
  for (const { contour } of [...outlines, ...open]) {
    const broken = chainFaults(contour)[0];
    if (broken !== undefined) return broken;
    const numbers = contour.segments.flatMap((s) => [
      s.start.x,
      s.start.y,
      s.end.x,
      s.end.y,
    ]);
    if (!numbers.every(Number.isFinite)) return "a coordinate is no number";
  }
  return null;
}

export function spoiltSvg(seed: number): { text: string; how: string } {
  const rnd = random(seed);
  let text = pick(rnd, GOOD);
  const how: string[] = [];
  for (let k = 1 + Math.floor(rnd() * 3); k > 0; k--) {
    const [name, way] = pick(rnd, Object.entries(WAYS));
    text = way(text, rnd);
    how.push(name);
  }
  return { text, how: how.join(", ") };
}

export function fuzz({ seed: first, count }: FuzzRun): readonly string[] {
  const failures: string[] = [];
  for (let seed = first; seed < first + count; seed++) {
    const { text, how } = spoiltSvg(seed);
    const fault = judgeSvg(text);
    if (fault !== null) failures.push(`seed ${seed} (${how}): ${fault}`);
  }
  return failures;
}
