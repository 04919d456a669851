/** Faults of whole strokes, cuts and programs. */
import { everywhere, FEED, type Kind, onLine, replaced } from "./kind.js";
import { sections, swap } from "./lines.js";

export const CUTS: readonly Kind[] = [
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
    name: "rough run on over its tab",
    spoil: (lines, draw) => {
      const s = draw.one(
        sections(lines).filter((x) => x.pass === 1 && x.stretch === "open"),
      );
      const [first, last] = [s?.body[0], s?.body.at(-1)];
      if (first === undefined || last === undefined) return null;
      const home = /X\S+ Y\S+/.exec(lines[first] as string)?.[0];
      const end = lines[last] as string;
      return home && end.includes("G01")
        ? lines.with(last, end.replace(/X\S+ Y\S+/, home))
        : null;
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
    names: ["proof/shifted"],
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
