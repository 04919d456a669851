/** Drawing by lot, seeded, and the lines of a program taken apart the way the kinds of spoiling need them. */

export type Lines = readonly string[];

export interface Draw {
  /** A whole number from 0 to below `n`. */
  readonly below: (n: number) => number;
  readonly sign: () => 1 | -1;
  /** `undefined` only from an empty list. */
  readonly one: <T>(list: readonly T[]) => T;
  /** One of the lines that `fits`; null when there is none. */
  readonly index: (
    lines: Lines,
    fits: (line: string, k: number) => boolean,
  ) => number | null;
}

/** The generator "mulberry32" (public domain): the same seed, the same lots on every machine. */
export function drawFrom(seed: number): Draw {
  let state = seed >>> 0;
  const next = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  const below = (n: number): number => Math.floor(next() * n);
  return {
    below,
    sign: () => (next() < 0.5 ? 1 : -1),
    one: (list) => list[below(list.length)] as (typeof list)[number],
    index: (lines, fits) => {
      const fitting = lines.flatMap((l, k) => (fits(l, k) ? [k] : []));
      return fitting.length === 0
        ? null
        : (fitting[below(fitting.length)] as number);
    },
  };
}

/** Two stretches of lines, [from, to), the first before the second, change places. */
export function swap(
  lines: Lines,
  [a0, a1]: readonly [number, number],
  [b0, b1]: readonly [number, number],
): Lines {
  return [
    ...lines.slice(0, a0),
    ...lines.slice(b0, b1),
    ...lines.slice(a1, b0),
    ...lines.slice(a0, a1),
    ...lines.slice(b1),
  ];
}

/** Changes one number of a block, in its own decimals; `scale` is mm per unit, told by the decimals. */
export function numberIn(
  line: string,
  draw: Draw,
  letters: RegExp,
  change: (value: number, scale: number) => number,
): string | null {
  const found = line
    .replace(/\(.*\)/, "")
    .match(new RegExp(`${letters.source}[\\d.-]*`, "g"));
  if (!found) return null;
  const word = draw.one(found);
  const digits = word.slice(1).split(".")[1]?.length ?? 0;
  const changed = change(Number(word.slice(1)), digits >= 5 ? 25.4 : 1);
  return line.replace(word, word[0] + changed.toFixed(digits));
}

/** One stroke of our own programs, told by the comment that heads it: lines [from, to). */
export interface Section {
  readonly feature: string;
  readonly pass: number;
  readonly stretch: string;
  readonly from: number;
  readonly to: number;
  /** Lines of the moves on the path: from the first place on it to the last. */
  readonly body: readonly number[];
}

export function sections(lines: Lines): Section[] {
  const found: Section[] = [];
  lines.forEach((l, from) => {
    const head = /^\((\S+) pass (\d+) .*, (\w+) stretch\)/.exec(l);
    if (!head) return;
    let to = from + 1;
    while (to < lines.length && /G0[123]/.test(lines[to] as string)) to++;
    const moves = Array.from({ length: to - from - 1 }, (_, k) => from + 1 + k);
    found.push({
      feature: head[1] as string,
      pass: Number(head[2]),
      stretch: head[3] as string,
      from,
      to,
      body: onPath(lines, moves),
    });
  });
  return found;
}

/** Without the way to the first place (as far as it is written) and the way off after the last. */
function onPath(lines: Lines, moves: readonly number[]): number[] {
  const on = moves.findIndex((k) => /G4[12]/.test(lines[k] as string));
  const body = moves.slice(Math.max(on, 0), -1);
  // Without compensation the stretch of a tab is its last two places, a stand-off before them or not.
  return on < 0 && body.length === 3 ? body.slice(1) : body;
}
