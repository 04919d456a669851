/** The line types of what is drawn: by them a sheet tells centre lines and hidden edges from outlines, also on one layer. */
import { nameText } from "../base/message.js";
import type { LineType } from "./drawing.js";
import { plainName } from "./dxf/code-page.js";

export const CONTINUOUS = "Continuous";

export interface LineTypeBook {
  /**
   * The line type an entity is drawn with: its own, or that of its layer or of the insertion it is in, by which the
   * names BYLAYER and BYBLOCK go (DXF reference, group 6).
   */
  name(raw: string, ofLayer: string, ofBlock: string): string;
  /** Why nothing with it is read, or `null`. */
  hidden(lineType: string): string | null;
  /** One more entity drawn with it. */
  count(lineType: string): void;
  lineTypes(): LineType[];
}

export function lineTypeBook(
  skipped: (lineType: string) => boolean,
): LineTypeBook {
  const spelled = new Map<string, string>();
  const known = new Map<string, { name: string; entities: number }>();
  const settled = (raw: string): string => {
    const before = spelled.get(raw);
    if (before !== undefined) return before;
    const plain = plainName(raw);
    const key = plain.toUpperCase();
    const named = key !== "" && !["BYLAYER", "BYBLOCK"].includes(key);
    const name =
      !named || key === "CONTINUOUS"
        ? CONTINUOUS
        : ([...known.values()].find((t) => t.name.toUpperCase() === key)
            ?.name ?? plain);
    spelled.set(raw, name);
    if (!known.has(name)) known.set(name, { name, entities: 0 });
    return name;
  };
  return {
    name(raw, ofLayer, ofBlock) {
      const key = raw.toUpperCase();
      if (key === "BYBLOCK") return ofBlock;
      return settled(key === "" || key === "BYLAYER" ? ofLayer : raw);
    },
    hidden: (lineType) =>
      skipped(lineType)
        ? `line type ${nameText(lineType)} was to be skipped`
        : null,
    count(lineType) {
      const type = known.get(settled(lineType));
      if (type) type.entities++;
    },
    lineTypes: () =>
      [...known.values()].filter((t) => t.entities > 0).map((t) => ({ ...t })),
  };
}

/** What lines of a type most often stand for, by its usual names and those for the lines of ISO 128-2; `null`: anything. */
export function likelyMeaning(lineType: string): string | null {
  const found = MEANINGS.find(([names]) => names.test(lineType));
  return found ? found[1] : null;
}

const MEANINGS: readonly (readonly [names: RegExp, meaning: string])[] = [
  [/CENT(ER|RE)|MITTE|DASH-?DOT|ISO(04|08|10)W/i, "centre lines"],
  [/PHANTOM|DIVIDE|ISO(05|09|12)W/i, "phantom lines"],
  [/HIDDEN|VERDECKT|DASHED|ISO(02|03)W/i, "hidden edges"],
];
