/** Faults in all that is not a move: stops, wire, compensation, units, the program's frame. */
import {
  drop,
  ENTRY,
  FEED,
  type Kind,
  onLine,
  replaced,
  WIRE,
} from "./kind.js";
import { numberIn, swap } from "./lines.js";

const spot = (l: string): string => /X.*/.exec(l)?.[0] ?? "";

export const HANDLING: readonly Kind[] = [
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
    name: "waiting in the middle of a cut",
    names: ["proof/dwell"],
    spoil: (lines, draw) => {
      // Not before the first move of a cut: there one waits for the water.
      const k = draw.index(
        lines,
        (l, i) => FEED.test(l) && /G0[123]/.test(lines[i - 1] ?? ""),
      );
      return k === null ? null : lines.toSpliced(k, 0, "G04 P500");
    },
  },
  {
    name: "wire cut in the middle of a cut",
    names: WIRE,
    spoil: onLine(/G0[123] X/, (l) => ["T0 M06", l]),
  },
  {
    name: "D changed in the middle of a cut",
    names: ["proof/compensation"],
    spoil: (lines, draw) => {
      const k = draw.index(lines, (l, i) => {
        const on = lines.slice(0, i).findLast((m) => /G4[012]/.test(m));
        return /G0[123]/.test(l) && !/G4/.test(l) && /G4[12]/.test(on ?? "");
      });
      if (k === null) return null;
      const on = lines.slice(0, k).findLast((m) => /D\d/.test(m)) as string;
      return lines.with(k, `${lines[k]} D${/D1/.test(on) ? 2 : 1}`);
    },
  },
  {
    name: "threaded where another cut is",
    names: ["proof/thread-in-kept-metal", "proof/no-hole"],
    spoil: (lines, draw) => {
      const k = draw.index(lines, (l) => l.includes("G00"));
      const other = lines.find(
        (l) => l.includes("G00") && spot(l) !== spot(lines[k ?? 0] as string),
      );
      return k === null || !other
        ? null
        : lines.with(k, (lines[k] as string).replace(/X.*/, spot(other)));
    },
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
];
