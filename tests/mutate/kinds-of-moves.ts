/** Faults in single moves: blocks, words, digits. */
import {
  ARC,
  drop,
  ENTRY,
  FEED,
  type Kind,
  offBy,
  onLine,
  RADII,
  replaced,
  WIRE,
  WORD,
} from "./kind.js";
import { numberIn, swap } from "./lines.js";

export const MOVES: readonly Kind[] = [
  {
    name: "block dropped",
    names: [...RADII, ...WIRE, ...ENTRY, "program/no-end", "program/no-units"],
    spoil: onLine(/[GMX]\d/, drop),
  },
  {
    name: "block doubled",
    names: [...RADII, ...WIRE, ...ENTRY, "program/after-end"],
    spoil: onLine(/[GMX]\d/, (l) => [l, l]),
  },
  {
    name: "neighbouring blocks swapped",
    names: [
      ...RADII,
      ...WIRE,
      ...ENTRY,
      "program/after-end",
      "program/units-late",
    ],
    spoil: (lines, draw) => {
      const k = draw.index(
        lines,
        (l, i) => /[GM]\d/.test(l) && /[GM]\d/.test(lines[i + 1] ?? ""),
      );
      return k === null || lines[k] === lines[k + 1]
        ? null
        : swap(lines, [k, k + 1], [k + 1, k + 2]);
    },
  },
  {
    name: "G02 for G03",
    names: ["proof/compensation"],
    spoil: onLine(ARC, (l) =>
      l.includes("G02") ? l.replace("G02", "G03") : l.replace("G03", "G02"),
    ),
  },
  {
    name: "G01 for an arc",
    names: ["program/centre-on-a-line"],
    spoil: onLine(ARC, replaced(/G0[23]/, "G01")),
  },
  {
    name: "an arc for G01",
    names: RADII,
    spoil: onLine(/G01/, replaced("G01", "G02")),
  },
  { name: "coordinate off by 0.6 µm", names: RADII, spoil: offBy(0.0006) },
  { name: "coordinate off by 5 µm", names: RADII, spoil: offBy(0.005) },
  { name: "coordinate off by 1 mm", names: RADII, spoil: offBy(1) },
  {
    name: "sign lost",
    names: RADII,
    spoil: onLine(/[XYIJ]-/, (l, draw) =>
      numberIn(l, draw, /[XYIJ]-/, (v) => -v),
    ),
  },
  {
    name: "decimal point lost",
    names: [...RADII, "program/no-decimal-point", "program/out-of-range"],
    spoil: onLine(WORD, (l, draw) => {
      const w = draw.one(l.match(/[XYIJ]-?\d+\.\d+/g) ?? []);
      return l.replace(w, w.replace(".", ""));
    }),
  },
  {
    name: "comma for the decimal point",
    names: ["program/unreadable"],
    spoil: onLine(WORD, (l, draw) => {
      const w = draw.one(l.match(/[XYIJ]-?\d+\.\d+/g) ?? []);
      return l.replace(w, w.replace(".", ","));
    }),
  },
  {
    name: "O for 0",
    names: ["program/unreadable", "program/unknown-word"],
    spoil: onLine(/[XYIJ]-?\d*0/, (l, draw) => {
      const w = draw.one(l.match(/[XYIJ]-?[\d.]*0[\d.]*/g) ?? []);
      return l.replace(w, w.replace("0", "O"));
    }),
  },
  {
    name: "I and J swapped",
    names: RADII,
    spoil: onLine(ARC, replaced(/I(\S+) J(\S+)/, "I$2 J$1")),
  },
  {
    name: "X and Y swapped",
    names: RADII,
    spoil: onLine(FEED, replaced(/X(\S+) Y(\S+)/, "X$2 Y$1")),
  },
  {
    name: "two ways of moving in one block",
    names: ["program/two-of-a-kind"],
    spoil: onLine(/G0[123] X/, (l, draw) =>
      l.replace(
        /G0[123]/,
        (g) => `${draw.one(["G01", "G02", "G00"].filter((o) => o !== g))} ${g}`,
      ),
    ),
  },
  {
    name: "a number with an exponent",
    names: ["program/unknown-word", "program/unreadable"],
    spoil: onLine(WORD, (l, draw) => {
      const w = draw.one(l.match(/[XYIJ]-?\d+\.\d+/g) ?? []);
      return l.replace(w, `${w}E0`);
    }),
  },
  {
    name: "two decimal points",
    names: ["program/unreadable"],
    spoil: onLine(WORD, (l, draw) => {
      const w = draw.one(l.match(/[XYIJ]-?\d+\.\d+/g) ?? []);
      return l.replace(w, w.replace(".", ".."));
    }),
  },
  {
    name: "an arc about its own start",
    names: RADII,
    spoil: onLine(ARC, replaced(/I\S+ J\S+/, "I0. J0.")),
  },
  {
    name: "arc centre off by 2 µm",
    names: RADII,
    spoil: onLine(ARC, (l, draw) =>
      numberIn(
        l,
        draw,
        /[IJ]/,
        (v, scale) => v + (draw.sign() * 0.002) / scale,
      ),
    ),
  },
  {
    name: "centre from the datum, not from the start",
    names: RADII,
    spoil: (lines, draw) => {
      const k = draw.index(lines, (l) => ARC.test(l));
      if (k === null) return null;
      const before = lines.slice(0, k).findLast((l) => /X\S+ Y\S+/.test(l));
      const [, x, y] = /X(\S+) Y(\S+)/.exec(before ?? "") ?? [];
      return x === undefined || y === undefined
        ? null
        : lines.with(
            k,
            (lines[k] as string).replace(
              /I(\S+) J(\S+)/,
              (_, i: string, j: string) =>
                `I${(Number(i) + Number(x)).toFixed(4)} J${(Number(j) + Number(y)).toFixed(4)}`,
            ),
          );
    },
  },
  {
    name: "two digits swapped",
    names: RADII,
    spoil: onLine(WORD, (l, draw) => {
      const w = draw.one(l.match(/[XYIJ]-?\d+\.\d+/g) ?? []);
      const at = draw.below(w.length - 2) + 1;
      const [a, b] = [w[at] as string, w[at + 1] as string];
      return /\d/.test(a) && /\d/.test(b)
        ? l.replace(w, w.slice(0, at) + b + a + w.slice(at + 2))
        : null;
    }),
  },
  {
    name: "coordinate lost",
    names: RADII,
    spoil: onLine(FEED, (l, draw) =>
      l.replace(new RegExp(`${draw.one(["X", "Y"])}\\S+ ?`), ""),
    ),
  },
  {
    name: "arc centre shifted, radii alike",
    names: RADII,
    spoil: (lines, draw) => {
      const k = draw.index(lines, (l) => ARC.test(l));
      if (k === null) return null;
      const before = lines.slice(0, k).findLast((l) => /X\S+ Y\S+/.test(l));
      const read = (l: string, letter: string): number =>
        Number(new RegExp(`${letter}(-?[\\d.]+)`).exec(l)?.[1]);
      const l = lines[k] as string;
      if (!before) return null;
      const dx = read(l, "X") - read(before, "X");
      const dy = read(l, "Y") - read(before, "Y");
      const long = Math.hypot(dx, dy);
      if (!(long > 0)) return null;
      const by = (draw.sign() * draw.one([0.005, 0.05, 0.5])) / long;
      const digits = /I-?\d+\.(\d+)/.exec(l)?.[1]?.length ?? 4;
      return lines.with(
        k,
        l.replace(
          /I\S+ J\S+/,
          `I${(read(l, "I") - dy * by).toFixed(digits)} J${(read(l, "J") + dx * by).toFixed(digits)}`,
        ),
      );
    },
  },
];
