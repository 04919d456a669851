/**
 * G and M words of ISO 6983-1 that a wire program has no use for (list from memory of the standard, 1982 and 2009).
 * What shifts or reshapes the path makes a program impossible to prove; the rest is only worth a remark.
 */

interface IsoWord {
  readonly letter: "G" | "M";
  readonly from: number;
  readonly to: number;
  readonly what: string;
  /** error: the wire would run elsewhere than the coordinates say; note: every machine program may carry it. */
  readonly weight: "error" | "warning" | "note";
}

const row = (
  letter: "G" | "M",
  from: number,
  to: number,
  what: string,
  weight: IsoWord["weight"],
): IsoWord => ({ letter, from, to, what, weight });

const ISO_WORDS: readonly IsoWord[] = [
  row("G", 4, 4, "a dwell", "note"),
  row("G", 6, 6, "a parabola", "error"),
  row("G", 8, 9, "speeding up or slowing down", "note"),
  row("G", 18, 19, "another plane than X Y", "error"),
  row("G", 33, 35, "thread cutting", "error"),
  row("G", 43, 44, "a tool offset", "error"),
  row("G", 53, 53, "the end of a shift of the datum", "error"),
  row("G", 60, 60, "exact positioning", "note"),
  row("G", 63, 63, "tapping", "error"),
  row("G", 74, 74, "going home", "error"),
  row("G", 80, 80, "the end of a fixed cycle", "note"),
  row("G", 81, 89, "a fixed cycle", "error"),
  row("G", 92, 92, "a new datum", "error"),
  row("G", 93, 97, "the unit of a feed or a speed", "note"),
  row("M", 3, 5, "a spindle", "warning"),
  row("M", 7, 7, "a second coolant", "warning"),
  row("M", 10, 11, "a clamp", "warning"),
  row("M", 48, 49, "the feed override", "warning"),
  row("M", 60, 60, "a change of the workpiece", "error"),
];

/** The standard's meaning of a word that means nothing to a wire, or undefined when the standard has none. */
export function isoMeaning(letter: string, value: number): IsoWord | undefined {
  return ISO_WORDS.find(
    (w) => w.letter === letter && w.from <= value && value <= w.to,
  );
}
