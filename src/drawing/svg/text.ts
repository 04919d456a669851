/** The bytes of an SVG file become text. */
import { tooLarge } from "../damage.js";
import { MAX_FILE_BYTES } from "../limits.js";
import { notSvg } from "./tree.js";

/** Whether a file begins the way an XML document does, in any encoding that can be told apart by its first bytes. */
export function looksLikeSvg(source: Uint8Array | string): boolean {
  const start =
    typeof source === "string"
      ? source.slice(0, 256)
      : new TextDecoder(markedEncoding(source) ?? "windows-1252").decode(
          source.subarray(0, 256),
        );
  return /^(?:\uFEFF|ï»¿)?\s*</.test(start);
}

/**
 * By its byte order mark, or as UTF-8, or as the XML declaration says.
 *
 * @throws {InputError} `drawing/too-large`, `drawing/not-svg`
 */
export function decodeSvg(source: Uint8Array | string): string {
  if (source.length > MAX_FILE_BYTES)
    throw tooLarge(`is larger than ${MAX_FILE_BYTES / 1024 / 1024} MB`);
  if (typeof source === "string") return source.replace(/^\uFEFF/, "");
  const marked = markedEncoding(source);
  if (marked !== null) return new TextDecoder(marked).decode(source);
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(source);
  } catch {
    return decoderNamed(declaredEncoding(source)).decode(source);
  }
}

function markedEncoding(bytes: Uint8Array): string | null {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return "utf-16le";
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return "utf-16be";
  return null;
}

function declaredEncoding(bytes: Uint8Array): string {
  const head = new TextDecoder("windows-1252").decode(bytes.subarray(0, 256));
  return (
    /^<\?xml[^>]*\sencoding\s*=\s*["']([\w.:-]+)/.exec(head)?.[1] ?? "utf-8"
  );
}

function decoderNamed(encoding: string): InstanceType<typeof TextDecoder> {
  try {
    return new TextDecoder(encoding);
  } catch {
    throw notSvg(`text in the unknown encoding "${encoding}"`);
  }
}
