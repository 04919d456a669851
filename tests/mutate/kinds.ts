/**
 * The ways a program is spoiled: each kind changes the lines at a place drawn by lot, or says that there is none.
 * `names`: codes that call the fault itself by its name, whatever it does to the work.
 */
import { type Draw, type Lines, numberIn, sections, swap } from "./lines.js";

export interface Kind {
  readonly name: string;
  readonly names?: readonly string[];
  readonly spoil: (lines: Lines, draw: Draw) => Lines | null;
}

/** Changes one line that matches. */
const onLine =
  (
    pattern: RegExp,
    change: (line: string, draw: Draw) => string | readonly string[] | null,
  ) =>
  (lines: Lines, draw: Draw): Lines | null => {
    const k = draw.index(lines, (l) => pattern.test(l));
    if (k === null) return null;
    const changed = change(lines[k] as string, draw);
    if (changed === null || changed === lines[k]) return null;
    return lines.toSpliced(
      k,
      1,
      ...(typeof changed === "string" ? [changed] : changed),
    );
  };

const FEED = /G0[123]|^X/;
const ARC = /G0[23].*I/;
const WORD = /[XYIJ]-?\d+\.\d+/;
const drop = () => [] as readonly string[];
const replaced =
  (from: RegExp | string, to: string) =>
  (l: string): string | null => {
    const changed = l.replace(from, to);
    return changed === l ? null : changed;
  };

/** Moves one number of a block by so many mm. */
const offBy = (mm: number) =>
  onLine(FEED, (l, draw) =>
    numberIn(l, draw, /[XY]/, (v, scale) => v + (draw.sign() * mm) / scale),
  );

/** Every number of the letters, in the whole program. */
const everywhere =
  (pattern: RegExp, change: (digits: string) => string) =>
  (lines: Lines): Lines =>
    lines.map((l) =>
      l.startsWith("(")
        ? l
        : l.replace(pattern, (_, letter, digits) => letter + change(digits)),
    );

const RADII = ["program/arc-radii", "program/arc-centre"];
const WIRE = [
  "proof/feed-unthreaded",
  "proof/thread-twice",
  "proof/rapid-threaded",
  "proof/end-threaded",
  "proof/cut-unthreaded",
];
const ENTRY = [
  "proof/compensation",
  "program/no-register",
  "program/register-kept",
  "program/compensation-twice",
];

export const KINDS: readonly Kind[] = [
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
  {
    name: "stop removed",
    spoil: onLine(/M00/, drop),
  },
  {
    name: "optional stop for a stop",
    spoil: onLine(/M00/, replaced("M00", "M01")),
  },
  {
    name: "stop marked to be left out",
    spoil: onLine(/M00/, (l) => `/${l}`),
  },
  {
    name: "stop names another feature",
    spoil: onLine(/M00.*\(/, replaced(/(opening|part)-(\d)/, "$1-9$2")),
  },
  {
    name: "two stops swapped",
    spoil: (lines, draw) => {
      const a = draw.index(lines, (l) => l.includes("M00"));
      const b = draw.index(lines, (l) => l.includes("M00"));
      return a === null || b === null || a >= b
        ? null
        : swap(lines, [a, a + 1], [b, b + 1]);
    },
  },
  {
    name: "stop moved before the cut before it",
    spoil: (lines, draw) => {
      const k = draw.index(lines, (l) => l.includes("M00"));
      if (k === null) return null;
      const from = lines.findLastIndex((l, i) => i < k && l.includes("G00"));
      return from < 0
        ? null
        : [
            ...lines.slice(0, from),
            lines[k] as string,
            ...lines.slice(from, k),
            ...lines.slice(k + 1),
          ];
    },
  },
  {
    name: "tab cut before its stop",
    spoil: (lines, draw) => {
      const k = draw.index(lines, (l) => l.includes("M00"));
      if (k === null) return null;
      const end = lines.findIndex((l, i) => i > k && l.includes("T0 M06"));
      return end < 0 ? null : swap(lines, [k, k + 1], [k + 1, end + 1]);
    },
  },
  {
    name: "cutting the wire for threading it",
    names: WIRE,
    spoil: onLine(/T1 M06/, replaced("T1", "T0")),
  },
  {
    name: "threading the wire for cutting it",
    names: WIRE,
    spoil: onLine(/T0 M06/, replaced("T0", "T1")),
  },
  {
    name: "T lost",
    names: ["program/half-a-word", ...WIRE],
    spoil: onLine(/T[01] M06/, replaced(/T[01] /, "")),
  },
  {
    name: "G41 for G42",
    spoil: onLine(/G4[12]/, (l) =>
      l.includes("G41") ? l.replace("G41", "G42") : l.replace("G42", "G41"),
    ),
  },
  {
    name: "wrong D",
    names: ENTRY,
    spoil: onLine(/D\d/, (l, draw) =>
      l.replace(/D\d/, `D${draw.one([1, 2, 3, 4, 7])}`),
    ),
  },
  {
    name: "D lost",
    names: ENTRY,
    spoil: onLine(/D\d/, replaced(/ ?D\d/, "")),
  },
  {
    name: "G40 lost",
    names: [...ENTRY, "program/rapid-compensated"],
    spoil: onLine(/G40 G01/, replaced("G40 ", "")),
  },
  {
    name: "G41 or G42 lost",
    spoil: onLine(/G4[12]/, replaced(/G4[12] /, "")),
  },
  {
    name: "units wrong",
    spoil: onLine(/G7[01]/, (l) =>
      l.includes("G70") ? l.replace("G70", "G71") : l.replace("G71", "G70"),
    ),
  },
  {
    name: "units lost",
    names: ["program/no-units"],
    spoil: onLine(/G7[01]/, replaced(/G7[01] ?/, "")),
  },
  {
    name: "G91 for G90",
    names: ["proof/in-kept-metal", "proof/gouge", "proof/excess"],
    spoil: onLine(/G90/, replaced("G90", "G91")),
  },
  {
    name: "another plane",
    names: ["program/idle-word"],
    spoil: onLine(/G17/, replaced("G17", "G18")),
  },
  {
    name: "M30 missing",
    names: ["program/no-end"],
    spoil: onLine(/M30/, drop),
  },
  {
    name: "program cut off",
    names: ["program/no-end", ...WIRE],
    spoil: (lines, draw) => {
      const k = draw.index(lines, (l) => FEED.test(l));
      return k === null ? null : lines.slice(0, k);
    },
  },
  {
    name: "flushing off",
    names: ["proof/flushing-off"],
    spoil: onLine(/M08/, (_, draw) => draw.one(["M09", ""])),
  },
  {
    name: "rapid for feed",
    names: ["proof/rapid-threaded", "program/rapid-compensated"],
    spoil: onLine(/G0[123]/, replaced(/G0[123]/, "G00")),
  },
  {
    name: "feed for rapid",
    names: ["proof/feed-unthreaded", "program/nowhere"],
    spoil: onLine(/G00/, replaced("G00", "G01")),
  },
  {
    name: "start hole moved",
    names: ["proof/thread-in-kept-metal", "proof/no-hole"],
    spoil: onLine(/G00/, (l, draw) =>
      numberIn(
        l,
        draw,
        /[XY]/,
        (v, scale) => v + (draw.sign() * draw.one([0.5, 2, 10])) / scale,
      ),
    ),
  },
  {
    name: "lead skipped",
    spoil: (lines, draw) => {
      const k = draw.index(
        lines,
        (l, i) =>
          /G01/.test(l) && !/G4/.test(l) && /M08/.test(lines[i - 1] ?? ""),
      );
      return k === null ? null : lines.toSpliced(k, 1);
    },
  },
  {
    name: "skim pass missing",
    spoil: (lines, draw) => {
      const s = draw.one(sections(lines).filter((x) => x.pass > 1));
      return s ? lines.toSpliced(s.from, s.to - s.from) : null;
    },
  },
  {
    name: "rough missing",
    spoil: (lines, draw) => {
      const s = draw.one(sections(lines).filter((x) => x.pass === 1));
      return s ? lines.toSpliced(s.from, s.to - s.from) : null;
    },
  },
  {
    name: "pass order swapped",
    spoil: (lines, draw) => {
      const all = sections(lines);
      const a = draw.one(all);
      const b = all.find((x) => a && x.from === a.to && x.pass !== a.pass);
      return a && b ? swap(lines, [a.from, a.to], [b.from, b.to]) : null;
    },
  },
  {
    name: "skim on the wrong feature",
    spoil: (lines, draw) => {
      const all = sections(lines).filter((x) => x.pass > 1);
      const a = draw.one(all);
      const b = draw.one(
        all.filter(
          (x) =>
            a &&
            x.feature !== a.feature &&
            x.pass === a.pass &&
            x.from > a.from,
        ),
      );
      return a && b ? swap(lines, [a.from, a.to], [b.from, b.to]) : null;
    },
  },
  {
    name: "overlap missing",
    names: ["proof/overlap-short"],
    spoil: (lines, draw) => {
      const s = draw.one(
        sections(lines).filter((x) => x.pass > 1 && x.stretch === "tab"),
      );
      const open = sections(lines).find(
        (x) =>
          s &&
          x.feature === s.feature &&
          x.pass === s.pass &&
          x.stretch === "open",
      );
      if (!s || !open || s.body.length !== 2) return null;
      const ends = [open.body[0], open.body.at(-1)].map(
        (k) => /X\S+ Y\S+/.exec(lines[k as number] as string)?.[0],
      ) as [string, string];
      const spot = (l: string): [number, number] => {
        const [, x, y] = /X(\S+) Y(\S+)/.exec(l) as unknown as string[];
        return [Number(x), Number(y)];
      };
      const far = (a: string, b: string): number =>
        Math.hypot(spot(a)[0] - spot(b)[0], spot(a)[1] - spot(b)[1]);
      const changed = [...lines];
      for (const k of s.body) {
        const l = lines[k] as string;
        const end = far(l, ends[0]) < far(l, ends[1]) ? ends[0] : ends[1];
        changed[k] = l.replace(/X\S+ Y\S+/, end);
      }
      return changed;
    },
  },
  {
    name: "cut left out",
    spoil: (lines, draw) => {
      const k = draw.index(lines, (l) => l.includes("G00"));
      if (k === null) return null;
      const end = lines.findIndex((l, i) => i > k && l.includes("T0 M06"));
      return lines.toSpliced(k, end + 1 - k);
    },
  },
  {
    name: "two cuts swapped",
    spoil: (lines, draw) => {
      const cuts = lines.flatMap((l, k) => {
        if (!l.includes("G00")) return [];
        const end = lines.findIndex((m, i) => i > k && m.includes("T0 M06"));
        return end < 0 ? [] : [[k, end + 1] as const];
      });
      const a = draw.below(cuts.length - 1);
      const [p, q] = [cuts[a], cuts[a + 1]];
      return p && q ? swap(lines, p, q) : null;
    },
  },
  {
    name: "everything shifted",
    spoil: (lines, draw) => {
      const by = draw.sign() * draw.one([0.0007, 0.01, 1]);
      const inch = lines.some((l) => /G70/.test(l));
      const letter = draw.one(["X", "Y"]);
      return everywhere(new RegExp(`(${letter})(-?\\d+\\.\\d+)`, "g"), (d) =>
        (Number(d) + by / (inch ? 25.4 : 1)).toFixed(
          d.split(".")[1]?.length ?? 4,
        ),
      )(lines);
    },
  },
  {
    name: "everything scaled",
    spoil: (lines, draw) => {
      const by = draw.one([1.0005, 0.9995, 1.01]);
      return everywhere(/([XYIJ])(-?\d+\.\d+)/g, (d) =>
        (Number(d) * by).toFixed(d.split(".")[1]?.length ?? 4),
      )(lines);
    },
  },
  {
    name: "comment never closed",
    names: ["program/open-comment"],
    spoil: onLine(/\(.*\)/, replaced(")", "")),
  },
  {
    name: "letter mistyped",
    names: [
      "program/unknown-word",
      "program/other-axis",
      "program/word-twice",
      "program/unreadable",
      "program/idle-word",
    ],
    spoil: onLine(FEED, (l, draw) => {
      const letter = draw.one(l.replace(/\(.*\)/, "").match(/[GXYIJD]/g) ?? []);
      return l.replace(letter, draw.one(["Z", "W", "E", "Q", "H", "U"]));
    }),
  },
];
