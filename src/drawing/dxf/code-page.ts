/** The characters of a drawing: which code page its bytes are in, and how names write what the page lacks. */
import type { Finding } from "../../base/finding.js";
import { quote } from "../damage.js";
import { dosDecoder } from "./dos-pages.js";

/** Code pages a DXF can name (`$DWGCODEPAGE`), as the names of the WHATWG encoding standard. */
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
  ANSI_65001: "utf-8",
  "UTF-8": "utf-8",
  UTF8: "utf-8",
  ASCII: "windows-1252",
  US_ASCII: "windows-1252",
  DOS866: "ibm866",
  DOS932: "shift_jis",
  MACINTOSH: "macintosh",
  MAC_ROMAN: "macintosh",
  BIG5: "big5",
  GB2312: "gbk",
  GBK: "gbk",
  KSC5601: "euc-kr",
  "ISO8859-1": "windows-1252",
  "ISO8859-2": "iso-8859-2",
  "ISO8859-3": "iso-8859-3",
  "ISO8859-4": "iso-8859-4",
  "ISO8859-5": "iso-8859-5",
  "ISO8859-6": "iso-8859-6",
  "ISO8859-7": "iso-8859-7",
  "ISO8859-8": "iso-8859-8",
  "ISO8859-9": "windows-1254",
};

const WESTERN = "windows-1252";

export interface CodePage {
  readonly decode: (bytes: Uint8Array) => string;
  /** When the page is unknown. */
  readonly findings: readonly Finding[];
}

/** The code page that the drawing names, Western European when it names none. */
export function codePageOf(bytes: Uint8Array): CodePage {
  const head = new TextDecoder(WESTERN).decode(bytes.subarray(0, 65_536));
  // In text form the group code stands between on a line of its own, in binary form as bytes that are no letters.
  const named = /\$DWGCODEPAGE[^\w-]+(?:3\s+)?([A-Za-z][\w.-]*)/i.exec(head);
  const name = named?.[1]?.toUpperCase() ?? "ANSI_1252";
  const dos = dosDecoder(name);
  if (dos) return { decode: dos, findings: [] };
  const encoding = Object.hasOwn(ENCODINGS, name) ? ENCODINGS[name] : undefined;
  return {
    decode: decoder(encoding ?? WESTERN),
    findings: encoding === undefined ? [unknownPage(name)] : [],
  };
}

function decoder(encoding: string): (bytes: Uint8Array) => string {
  const made = new TextDecoder(encoding);
  return (bytes) => made.decode(bytes);
}

function unknownPage(name: string): Finding {
  return {
    code: "drawing/code-page",
    severity: "note",
    message: `The drawing's code page ${quote(name)} is not known here; names of layers were read as Western European and may look wrong.`,
  };
}

/** UTF-8 when the bytes are valid UTF-8 (that covers ASCII), otherwise by the code page. */
export function decodeText(bytes: Uint8Array, page: () => CodePage): string {
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    return page().decode(bytes);
  }
}

/** Code pages that `\M+nxxxx` numbers (DXF reference); 4, Johab, has no decoder in browsers. */
const ESCAPED_PAGES: Readonly<Record<string, string>> = {
  "1": "shift_jis",
  "2": "big5",
  "3": "euc-kr",
  "5": "gbk",
};

/** In names, `\U+00D6` stands for the character of that number and `\M+18C8A` for two bytes of a code page. */
export function plainName(name: string): string {
  if (!name.includes("\\")) return name.trim();
  return name
    .replace(/\\U\+([0-9a-f]{4})/gi, (_, hex: string) =>
      String.fromCharCode(Number.parseInt(hex, 16)),
    )
    .replace(
      /\\M\+([1-5])([0-9a-f]{4})/gi,
      (all, page: string, hex: string) => {
        const encoding = ESCAPED_PAGES[page];
        if (encoding === undefined) return all;
        const code = Number.parseInt(hex, 16);
        return decoder(encoding)(Uint8Array.of(code >> 8, code & 255));
      },
    )
    .trim();
}
