/** The bytes of a drawing file become text, and files that are no DXF are told apart, each with its own message. */
import { InputError } from "../base/finding.js";
import { notDxf, tooLarge } from "./damage.js";
import { MAX_FILE_BYTES } from "./limits.js";

/**
 * UTF-8 when the bytes are valid UTF-8 (that covers ASCII and every DXF since 2007), otherwise the code page that
 * the drawing names in `$DWGCODEPAGE`, otherwise Western European.
 *
 * @throws {InputError} `drawing/empty-file`, `drawing/not-dxf`, `drawing/binary-dxf`, `drawing/too-large`
 */
export function decodeDrawing(source: Uint8Array | string): string {
  if (source.length > MAX_FILE_BYTES)
    throw tooLarge(`is larger than ${MAX_FILE_BYTES / 1024 / 1024} MB`);
  const text = typeof source === "string" ? source : decodeBytes(source);
  const content = text.startsWith("\uFEFF") ? text.slice(1) : text;
  if (content.trim() === "")
    throw new InputError(
      "drawing/empty-file",
      "The file is empty; save the drawing as DXF again.",
    );
  refuseOtherText(content);
  return content;
}

function decodeBytes(bytes: Uint8Array): string {
  refuseOtherBytes(bytes);
  if (bytes[0] === 0xff && bytes[1] === 0xfe)
    return new TextDecoder("utf-16le").decode(bytes);
  if (bytes[0] === 0xfe && bytes[1] === 0xff)
    return new TextDecoder("utf-16be").decode(bytes);
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder(codePage(bytes)).decode(bytes);
  }
}

const NOT_DXF: readonly (readonly [start: string, what: string])[] = [
  ["\x89PNG", "a PNG picture"],
  ["\xff\xd8\xff", "a JPEG picture"],
  ["GIF8", "a GIF picture"],
  ["BM", "a bitmap picture"],
  ["%PDF", "a PDF document"],
  ["PK\x03\x04", "a ZIP archive"],
  ["AC10", "a DWG drawing"],
  ["AC1.", "a DWG drawing"],
  ["ISO-10303", "a STEP model"],
  ["<", "an XML or SVG document"],
  ["{", "a JSON document"],
];

function refuseOtherBytes(bytes: Uint8Array): void {
  const start = String.fromCharCode(...bytes.subarray(0, 32));
  if (start.startsWith("AutoCAD Binary DXF"))
    throw new InputError(
      "drawing/binary-dxf",
      "The file is a binary DXF; save the drawing as DXF in text form (ASCII).",
    );
  refuseOtherText(start);
  // Text has no zero bytes, but UTF-16 with its mark has.
  const marked = start.startsWith("\xff\xfe") || start.startsWith("\xfe\xff");
  if (!marked && bytes.subarray(0, 4096).includes(0))
    throw notDxf("binary data");
}

function refuseOtherText(text: string): void {
  const start = text.trimStart();
  for (const [sign, what] of NOT_DXF)
    if (start.startsWith(sign)) throw notDxf(what);
}

/** Code pages a DXF can name, as the names of the WHATWG encoding standard. */
const ENCODINGS: Readonly<Record<string, string>> = {
  ANSI_874: "windows-874",
  ANSI_932: "shift_jis",
  ANSI_936: "gbk",
  ANSI_949: "euc-kr",
  ANSI_950: "big5",
  ANSI_1250: "windows-1250",
  ANSI_1251: "windows-1251",
  ANSI_1252: "windows-1252",
  ANSI_1253: "windows-1253",
  ANSI_1254: "windows-1254",
  ANSI_1255: "windows-1255",
  ANSI_1256: "windows-1256",
  ANSI_1257: "windows-1257",
  ANSI_1258: "windows-1258",
  DOS866: "ibm866",
};

function codePage(bytes: Uint8Array): string {
  const head = new TextDecoder("windows-1252").decode(
    bytes.subarray(0, 65_536),
  );
  const name = /\$DWGCODEPAGE\s+3\s+(\S+)/.exec(head)?.[1]?.toUpperCase();
  return (name && ENCODINGS[name]) || "windows-1252";
}
