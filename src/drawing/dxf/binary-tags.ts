/** DXF in binary form as tags. The group code says how its value is written; both widths of group codes are read. */
import { InputError } from "../../base/finding.js";
import type { Tags } from "./tags.js";

/** What every binary DXF begins with. */
const SENTINEL = "AutoCAD Binary DXF\r\n\x1a\0";

export function isBinaryDxf(bytes: Uint8Array): boolean {
  for (let i = 0; i < SENTINEL.length; i++)
    if (bytes[i] !== SENTINEL.charCodeAt(i)) return false;
  return true;
}

/**
 * Lines are counted as the text form of the same drawing has them: two a tag. `decode` reads its characters.
 *
 * @throws {InputError} `drawing/truncated`, `drawing/damaged`
 */
export function binaryTags(
  bytes: Uint8Array,
  decode: (bytes: Uint8Array) => string,
): Tags {
  return (take) => {
    const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
    let at = SENTINEL.length;
    const need = (size: number): number => {
      const from = at;
      at += size;
      if (at > bytes.length) throw cutShort(bytes.length);
      return from;
    };
    const text = (): string => {
      const end = bytes.indexOf(0, at);
      if (end < 0) throw cutShort(bytes.length);
      const found = decode(bytes.subarray(at, end));
      at = end + 1;
      return found;
    };
    const wide = hasWideCodes(bytes);
    const code = (): number => {
      if (wide) return view.getInt16(need(2), true);
      const short = view.getUint8(need(1));
      // Extended data needs more than a byte.
      return short === 255 ? view.getInt16(need(2), true) : short;
    };
    const value = (kind: ValueKind): string | number => {
      switch (kind) {
        case "text":
          return text();
        case "double":
          return view.getFloat64(need(8), true);
        case "int8":
          return view.getUint8(need(1));
        case "int16":
          return view.getInt16(need(2), true);
        case "int32":
          return view.getInt32(need(4), true);
        case "int64":
          return Number(view.getBigInt64(need(8), true));
        case "chunk": {
          // A length of one byte, then so many bytes: nothing an outline hangs on.
          need(view.getUint8(need(1)));
          return "";
        }
      }
    };

    let line = 0;
    while (at < bytes.length) {
      const begin = at;
      const group = code();
      const kind = valueKind(group);
      if (kind === null) throw unknownCode(begin, group);
      line += 2;
      const found = value(kind);
      if (!take(group, typeof found === "string" ? found.trim() : found, line))
        return { line, more: at < bytes.length };
    }
    return { line, more: false };
  };
}

/** Group codes had one byte up to release 12 and have two since: the first is 0 (or 999), and a name follows it. */
function hasWideCodes(bytes: Uint8Array): boolean {
  const first = bytes[SENTINEL.length];
  return first !== 255 && !(first === 0 && bytes[SENTINEL.length + 1] !== 0);
}

type ValueKind =
  | "text"
  | "double"
  | "int8"
  | "int16"
  | "int32"
  | "int64"
  | "chunk";

/** Group code value types of the DXF reference: last code of each range, and how its values are written. */
const VALUE_KINDS: readonly (readonly [
  last: number,
  kind: ValueKind | null,
])[] = [
  [-6, null],
  [9, "text"],
  [59, "double"],
  [79, "int16"],
  [89, null],
  [99, "int32"],
  [109, "text"],
  [149, "double"],
  [159, null],
  [169, "int64"],
  [179, "int16"],
  [209, null],
  [239, "double"],
  [269, null],
  [289, "int16"],
  [299, "int8"],
  [309, "text"],
  [319, "chunk"],
  [369, "text"],
  [389, "int16"],
  [399, "text"],
  [409, "int16"],
  [419, "text"],
  [429, "int32"],
  [439, "text"],
  [459, "int32"],
  [469, "double"],
  [481, "text"],
  [998, null],
  [1003, "text"],
  [1004, "chunk"],
  [1009, "text"],
  [1059, "double"],
  [1070, "int16"],
  [1071, "int32"],
];

function valueKind(code: number): ValueKind | null {
  for (const [last, kind] of VALUE_KINDS) if (code <= last) return kind;
  return null;
}

function cutShort(length: number): InputError {
  return new InputError(
    "drawing/truncated",
    `The binary drawing breaks off at byte ${length}: part of it is missing; save or copy the file again.`,
  );
}

function unknownCode(at: number, code: number): InputError {
  return new InputError(
    "drawing/damaged",
    `Byte ${at}: there is no group code ${code}; the file is damaged, save the drawing again.`,
  );
}
