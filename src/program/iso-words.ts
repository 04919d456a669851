/**
 * G and M words of ISO 6983-1 that a wire program has no use for (list from memory of the standard, 1982 and 2009).
 * What shifts or reshapes the path makes a program impossible to prove; the rest is only worth a remark.
 */

interface IsoWord {
  readonly letter: "G" | "M";
  readonly from: number;
  readonly to: number;
  readonly what: string;
  /** The wire would run elsewhere than the coordinates say. */
  readonly shifts: boolean;
}

const row = (
  letter: "G" | "M",
  from: number,
  to: number,
  what: string,
  shifts: boolean,
): IsoWord => ({ letter, from, to, what, shifts });

const ISO_WORDS: readonly IsoWord[] = [
  row("G", 4, 4, "a dwell", false),
  row("G", 6, 6, "a parabola", true),
  row("G", 8, 9, "speeding up or slowing down", false),
  row("G", 18, 19, "another plane than X Y", true),
  row("G", 33, 35, "thread cutting", true),
  row("G", 43, 44, "a tool offset", true),
  row("G", 53, 59, "a shift of the datum", true),
  row("G", 60, 60, "exact positioning", false),
  row("G", 63, 63, "tapping", true),
  row("G", 74, 74, "going home", true),
  row("G", 80, 80, "the end of a fixed cycle", false),
  row("G", 81, 89, "a fixed cycle", true),
  row("G", 92, 92, "a new datum", true),
  row("G", 93, 97, "the unit of a feed or a speed", false),
  row("M", 3, 5, "a spindle", false),
  row("M", 7, 7, "a second coolant", false),
  row("M", 10, 11, "a clamp", false),
  row("M", 48, 49, "the feed override", false),
  row("M", 60, 60, "a change of the workpiece", true),
];

/** The standard's meaning of a word that means nothing to a wire, or undefined when the standard has none. */
export function isoMeaning(letter: string, value: number): IsoWord | undefined {
  return ISO_WORDS.find(
    (w) => w.letter === letter && w.from <= value && value <= w.to,
  );
}
