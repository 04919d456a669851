/** The bytes of a drawing file become tags, and files that are no DXF are told apart, each with its own message. */
import { type Finding, InputError } from "../../base/finding.js";
import { notDxf, tooLarge } from "../damage.js";
import { MAX_FILE_BYTES } from "../limits.js";
import { binaryTags, isBinaryDxf } from "./binary-tags.js";
import { type CodePage, codePageOf, decodeText } from "./code-page.js";
import { type Tags, textTags } from "./tags.js";

export interface DecodedDrawing {
  readonly tags: Tags;
  readonly findings: readonly Finding[];
}

/**
 * A binary DXF by its mark; UTF-8 when the bytes are valid UTF-8 (that covers every DXF since 2007), otherwise the
 * code page that the drawing names.
 *
 * @throws {InputError} `drawing/empty-file`, `drawing/not-dxf`, `drawing/binary-dxf`, `drawing/too-large`
 */
export function decodeDrawing(source: Uint8Array | string): DecodedDrawing {
  if (source.length > MAX_FILE_BYTES)
    throw tooLarge(`is larger than ${MAX_FILE_BYTES / 1024 / 1024} MB`);
  if (typeof source === "string")
    return { tags: textTags(plainText(source)), findings: [] };
  const page = once(() => codePageOf(source));
  if (isBinaryDxf(source)) {
    const tags = binaryTags(source, (bytes) => decodeText(bytes, page));
    return { tags, findings: [BINARY, ...page().findings] };
  }
  const { text, findings } = decodeBytes(source, page);
  return { tags: textTags(plainText(text)), findings };
}

const BINARY: Finding = {
  code: "drawing/binary-dxf",
  severity: "note",
  message:
    "The file is a binary DXF; where a line is named, it is counted as in the drawing's text form.",
};

function once<T>(make: () => T): () => T {
  let made: T | null = null;
  return () => {
    made ??= make();
    return made;
  };
}

function plainText(text: string): string {
  const content = text.startsWith("\uFEFF") ? text.slice(1) : text;
  if (!/\S/.test(content))
    throw new InputError(
      "drawing/empty-file",
      "The file is empty; save the drawing as DXF again.",
    );
  refuseOtherText(content);
  return content;
}

function decodeBytes(
  bytes: Uint8Array,
  page: () => CodePage,
): { text: string; findings: readonly Finding[] } {
  refuseOtherBytes(bytes);
  if (bytes[0] === 0xff && bytes[1] === 0xfe)
    return { text: new TextDecoder("utf-16le").decode(bytes), findings: [] };
  if (bytes[0] === 0xfe && bytes[1] === 0xff)
    return { text: new TextDecoder("utf-16be").decode(bytes), findings: [] };
  let findings: readonly Finding[] = [];
  const text = decodeText(bytes, () => {
    findings = page().findings;
    return page();
  });
  return { text, findings };
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
  ["{\\rtf", "a text document (RTF)"],
  ["{", "a JSON document"],
  ["[", "a JSON document"],
];

/** Bytes that no file of text has a zero among: shorter than any drawing, longer than what stands before a format's first zero. */
const HEAD = 64;

function refuseOtherBytes(bytes: Uint8Array): void {
  const start = String.fromCharCode(...bytes.subarray(0, 32));
  refuseOtherText(start);
  // Text has no zero bytes, but UTF-16 with its mark has. At its end any file may be filled up with them.
  const marked = start.startsWith("\xff\xfe") || start.startsWith("\xfe\xff");
  if (!marked && bytes.subarray(0, HEAD).includes(0))
    throw notDxf("binary data");
}

function refuseOtherText(text: string): void {
  const start = text.slice(0, 256).trimStart();
  if (start.startsWith("AutoCAD Binary DXF"))
    throw new InputError(
      "drawing/binary-dxf",
      "The file was a binary DXF, but was copied as if it were text, which spoils it; copy it as it is, or save the drawing as DXF in text form.",
    );
  for (const [sign, what] of NOT_DXF)
    if (start.startsWith(sign)) throw notDxf(what);
}
