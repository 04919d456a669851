/** Ways to spoil a drawing file, and ways to change it that must not change what is drawn. */
import { binaryDxf } from "../helpers/binary-dxf.js";

export type Random = () => number;
export type Tag = [code: string, value: string];

export const pick = <T>(rnd: Random, from: readonly T[]): T =>
  from[Math.floor(rnd() * from.length)] as T;
const at = (rnd: Random, length: number): number => Math.floor(rnd() * length);

export function tagsOf(text: string): Tag[] {
  const lines = text.split("\n");
  const tags: Tag[] = [];
  for (let i = 0; i + 1 < lines.length; i += 2)
    tags.push([lines[i] as string, lines[i + 1] as string]);
  return tags;
}

export const textOf = (tags: readonly Tag[]): string =>
  tags.map(([code, value]) => `${code}\n${value}\n`).join("");

const ODD_VALUES = [
  ...["nan", "inf", "1e308", "-1e308", "1e-308", "-0", "1,5", "", "0x1F"],
  ...["0", "1", "-1", "2", "3", "1e6", "1e7", "1e9", "2147483648", "-32768"],
  ...["99999999999999999999", "1e15", "0.5", "1e-9", "abc", "1.2.3", "6.5"],
];
const ODD_CODES = [
  ...["0", "-1", "999", "10", "20", "30", "40", "41", "42", "70", "71", "8"],
  ...["2", "100", "102", "210", "230", "1071", "99999", "x", ""],
];
const ODD_NAMES = [
  ...["LINE", "ARC", "CIRCLE", "LWPOLYLINE", "POLYLINE", "VERTEX", "SEQEND"],
  ...["ELLIPSE", "SPLINE", "INSERT", "SECTION", "ENDSEC", "EOF", "BLOCK"],
  ...["ENDBLK", "TABLE", "LAYER", "__proto__", "REGION", "a b", "12"],
];

const isNumber = ([code]: Tag): boolean => {
  const c = Number(code);
  return (c >= 10 && c < 80) || (c >= 210 && c < 240);
};

/** Each spoils the tags in one way. */
const TAG_MUTATIONS: Readonly<Record<string, (t: Tag[], rnd: Random) => void>> =
  {
    cut: (t, rnd) => {
      t.length = at(rnd, t.length + 1);
    },
    drop: (t, rnd) => {
      t.splice(at(rnd, t.length), 1 + at(rnd, 3));
    },
    double: (t, rnd) => {
      const from = at(rnd, t.length);
      const some = t.slice(from, from + 1 + at(rnd, 20));
      t.splice(at(rnd, t.length), 0, ...some.map((x): Tag => [...x]));
    },
    swap: (t, rnd) => {
      const i = at(rnd, t.length);
      const k = at(rnd, t.length);
      [t[i], t[k]] = [t[k] as Tag, t[i] as Tag];
    },
    value: (t, rnd) => {
      const numbers = t.filter(isNumber);
      if (numbers.length > 0) pick(rnd, numbers)[1] = pick(rnd, ODD_VALUES);
    },
    digit: (t, rnd) => {
      const numbers = t.filter(isNumber);
      if (numbers.length === 0) return;
      const tag = pick(rnd, numbers);
      tag[1] = String(Number(tag[1]) * (rnd() < 0.5 ? -1 : 10) + rnd());
    },
    code: (t, rnd) => {
      pick(rnd, t)[0] = pick(rnd, ODD_CODES);
    },
    name: (t, rnd) => {
      const names = t.filter(([code]) => code === "0");
      if (names.length > 0) pick(rnd, names)[1] = pick(rnd, ODD_NAMES);
    },
    section: (t, rnd) => {
      const begins = t.flatMap(([, v], i) => (v === "SECTION" ? [i] : []));
      const from = pick(rnd, begins);
      const to = t.findIndex(([, v], i) => i > (from ?? 0) && v === "ENDSEC");
      if (from !== undefined && to >= 0) t.splice(from, to - from + 1);
    },
    cycle: (t, rnd) => {
      const names = t.filter(([code]) => code === "2");
      if (names.length > 1) pick(rnd, names)[1] = pick(rnd, names)[1];
    },
    array: (t, rnd) => {
      const inserts = t.flatMap(([, v], i) => (v === "INSERT" ? [i] : []));
      const i = pick(rnd, inserts);
      if (i === undefined) return;
      const count = (): string => pick(rnd, ["2", "9", "40", "30000", "-3"]);
      const extra: Tag[] = [
        ["70", count()],
        ["71", count()],
        ["44", pick(rnd, ["0", "0.001", "5", "1e6"])],
        ["45", pick(rnd, ["0", "0.001", "5", "1e6"])],
      ];
      t.splice(i + 1, 0, ...extra);
    },
    nest: (t, rnd) => {
      const i = t.findIndex(([, v]) => v === "ENTITIES");
      const blocks = t.flatMap(([c, v], k) =>
        c === "2" && t[k - 1]?.[1] !== "SECTION" ? [v] : [],
      );
      if (i < 0 || blocks.length === 0) return;
      const insert: Tag[] = [
        ["0", "INSERT"],
        ["8", "0"],
        ["2", pick(rnd, blocks)],
        ["10", "0"],
        ["20", "0"],
        ["41", pick(rnd, ODD_VALUES)],
        ["50", "33"],
      ];
      t.splice(rnd() < 0.5 ? i + 1 : at(rnd, t.length), 0, ...insert);
    },
  };

/** Each spoils the bytes in one way. */
const BYTE_MUTATIONS: Readonly<
  Record<string, (bytes: Uint8Array, rnd: Random) => Uint8Array>
> = {
  flip: (bytes, rnd) => {
    const spoilt = bytes.slice();
    const times = 1 + at(rnd, 4);
    for (let k = 0; k < times; k++)
      spoilt[at(rnd, spoilt.length)] = at(rnd, 256);
    return spoilt;
  },
  cut: (bytes, rnd) => bytes.slice(0, at(rnd, bytes.length)),
  insert: (bytes, rnd) => {
    const i = at(rnd, bytes.length);
    const some = Array.from({ length: 1 + at(rnd, 6) }, () => at(rnd, 256));
    return Uint8Array.of(...bytes.slice(0, i), ...some, ...bytes.slice(i));
  },
  lose: (bytes, rnd) => {
    const i = at(rnd, bytes.length);
    return Uint8Array.of(
      ...bytes.slice(0, i),
      ...bytes.slice(i + 1 + at(rnd, 4)),
    );
  },
};

const latin = (text: string): Uint8Array =>
  Uint8Array.from(text, (c) => c.charCodeAt(0) & 255);

/** A spoilt file and how it was spoilt. */
export function spoil(
  good: string,
  rnd: Random,
): { bytes: Uint8Array; how: string } {
  const how: string[] = [];
  const tags = tagsOf(good);
  for (let k = at(rnd, 3) + (rnd() < 0.8 ? 1 : 0); k > 0; k--) {
    if (tags.length === 0) break;
    const name = pick(rnd, Object.keys(TAG_MUTATIONS));
    TAG_MUTATIONS[name]?.(tags, rnd);
    how.push(name);
  }
  let bytes: Uint8Array;
  const form = rnd();
  if (form < 0.2) {
    const narrow = rnd() < 0.5;
    bytes = binaryDxf(textOf(tags), narrow);
    how.push(narrow ? "narrow binary" : "binary");
  } else
    bytes = latin(
      textOf(tags).replaceAll("\n", pick(rnd, ["\n", "\r\n", "\r"])),
    );
  if (rnd() < 0.4 && bytes.length > 0) {
    const name = pick(rnd, Object.keys(BYTE_MUTATIONS));
    bytes = BYTE_MUTATIONS[name]?.(bytes, rnd) ?? bytes;
    how.push(`${name} bytes`);
  }
  return { bytes, how: how.join(", ") };
}

/** The same drawing, written differently: nothing that is drawn may change. */
export function rewritten(
  good: string,
  rnd: Random,
): { bytes: Uint8Array; how: string } {
  const how: string[] = [];
  let tags = tagsOf(good);
  const ways: Readonly<Record<string, () => void>> = {
    handles: () => {
      tags = tags.flatMap((t): Tag[] =>
        t[0] === "0" &&
        t[1] !== "SECTION" &&
        t[1] !== "ENDSEC" &&
        t[1] !== "EOF"
          ? [t, ["5", at(rnd, 1e6).toString(16)]]
          : [t],
      );
    },
    colours: () => {
      tags = tags.flatMap((t): Tag[] =>
        t[0] === "8" ? [t, ["62", String(at(rnd, 256))], ["6", "DASHED"]] : [t],
      );
    },
    layers: () => {
      let kind = "";
      tags = tags.map(([c, v]): Tag => {
        if (c === "0") kind = v;
        const named = c === "8" || (c === "2" && kind === "LAYER");
        return named && v !== "0" ? [c, `${v}_X`] : [c, v];
      });
    },
    comments: () => {
      tags = [["999", "made by hand"], ...tags];
    },
    extended: () => {
      tags = tags.flatMap((t, i): Tag[] =>
        tags[i + 1]?.[0] === "0" && t[0] === "30"
          ? [t, ["1001", "APP"], ["1040", "7.5"], ["1070", "3"]]
          : [t],
      );
    },
    annotation: () => {
      const i = tags.findIndex(([, v]) => v === "ENTITIES");
      tags.splice(i + 1, 0, ["0", "MTEXT"], ["8", "NOTES"], ["10", "x"]);
    },
  };
  for (const name of Object.keys(ways))
    if (rnd() < 0.5) {
      ways[name]?.();
      how.push(name);
    }
  const form = rnd();
  if (form < 0.25 && !how.includes("annotation")) {
    how.push("binary");
    return { bytes: binaryDxf(textOf(tags), rnd() < 0.5), how: how.join(", ") };
  }
  const end = pick(rnd, ["\n", "\r\n", "\r"]);
  how.push(JSON.stringify(end));
  return {
    bytes: latin(textOf(tags).replaceAll("\n", end)),
    how: how.join(", "),
  };
}
