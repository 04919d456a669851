/** Comments as controls take them: printable ASCII, no brackets within brackets, no line over 80 columns. */

export const PROGRAM_COLUMNS = 80;

/** Letters that no accent-stripping turns into ASCII. */
const SPELLED: Readonly<Record<string, string>> = {
  ß: "ss",
  ø: "o",
  Ø: "O",
  æ: "ae",
  Æ: "AE",
  œ: "oe",
  ł: "l",
  Ł: "L",
  đ: "d",
  "×": "x",
  "²": "2",
  "³": "3",
  µ: "u",
  "°": " deg",
  "–": "-",
  "—": "-",
};

/** `text` in printable ASCII; brackets become square, since a comment ends at the first closing one. */
export function asciiComment(text: string): string {
  return text
    .normalize("NFC")
    .replace(/[^\x20-\x7e]/g, (c) => SPELLED[c] ?? c)
    .normalize("NFD")
    .replace(/[\u0300-\u036f]/g, "")
    .replace(/\s+/g, " ")
    .replace(/[^\x20-\x7e]/g, "?")
    .replaceAll("(", "[")
    .replaceAll(")", "]")
    .replaceAll("%", "pct")
    .trim();
}

/** One comment line for each 80 columns; words longer than a line are broken. */
export function commentLines(text: string): string[] {
  const room = PROGRAM_COLUMNS - 2;
  const lines: string[] = [];
  let current = "";
  for (const whole of asciiComment(text).split(" "))
    for (let word = whole; word !== ""; word = word.slice(room)) {
      const piece = word.slice(0, room);
      if (current !== "" && current.length + 1 + piece.length > room) {
        lines.push(current);
        current = "";
      }
      current = current === "" ? piece : `${current} ${piece}`;
    }
  if (current !== "") lines.push(current);
  return lines.map((line) => `(${line})`);
}
