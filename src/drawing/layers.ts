/** The layers of a drawing while it is read: which are to be read, what is on each, what was left out and why. */
import type { Finding } from "../base/finding.js";
import { nameText } from "../base/message.js";
import type { Layer, Skipped } from "./drawing.js";
import { plainName } from "./dxf/code-page.js";
import type { LayerRecord } from "./dxf/sections.js";

export interface LayerBook {
  /** The layer an entity is on: its own, or, for layer 0 within a block, the insertion's. */
  name(raw: string, inherited: string): string;
  /** The line type of what is on the layer and has none of its own, as the file has it. */
  lineType(layer: string): string;
  /** Why nothing of the layer is read, or `null`. An insertion on a layer that is off still shows its other layers. */
  hidden(layer: string, insertion: boolean): string | null;
  /** One more entity that was read. */
  count(layer: string): void;
  /** One more entity that was not; `why` when the drawing or the caller hid it. */
  skip(kind: string, layer: string, why: string | null): void;
  layers(): Layer[];
  skipped(): Skipped[];
  findings(): Finding[];
}

interface Counted {
  readonly name: string;
  readonly state: Layer["state"];
  readonly lineType: string;
  entities: number;
}

export function layerBook(
  records: readonly LayerRecord[],
  wanted: (layer: string) => boolean,
): LayerBook {
  const spelled = new Map<string, string>();
  const known = new Map<string, Counted>();
  const skips = new Map<
    string,
    { kind: string; layer: string; count: number }
  >();
  /** Layers by why something on them was left out. */
  const reasons = new Map<string, { layers: Set<string>; count: number }>();

  const layerOf = (name: string): Counted => {
    const key = name.toUpperCase();
    const found = known.get(key);
    if (found) return found;
    const fresh: Counted = {
      name,
      state: "on",
      lineType: "",
      entities: 0,
    };
    known.set(key, fresh);
    return fresh;
  };
  for (const { name, state, lineType } of records) {
    const plain = plainName(name);
    if (plain !== "" && !known.has(plain.toUpperCase()))
      known.set(plain.toUpperCase(), {
        name: plain,
        state,
        lineType,
        entities: 0,
      });
  }

  return {
    name(raw, inherited) {
      if (raw === "0" || raw === "") return inherited;
      const before = spelled.get(raw);
      if (before !== undefined) return before;
      // The layer table's spelling is the layer's name: case does not tell layers apart.
      const { name } = layerOf(plainName(raw));
      spelled.set(raw, name);
      return name;
    },
    lineType: (layer) => layerOf(layer).lineType,
    hidden(layer, insertion) {
      const { state } = layerOf(layer);
      if (state === "frozen") return "the layer is frozen";
      if (insertion) return null;
      if (state === "off") return "the layer is off";
      return wanted(layer) ? null : "the layer was not asked for";
    },
    count(layer) {
      layerOf(layer).entities++;
    },
    skip(kind, layer, why) {
      layerOf(layer).entities++;
      const key = `${kind}\n${layer}`;
      const skip = skips.get(key) ?? { kind, layer, count: 0 };
      skip.count++;
      skips.set(key, skip);
      if (why === null) return;
      const reason = reasons.get(why) ?? { layers: new Set(), count: 0 };
      reason.count++;
      reason.layers.add(layer);
      reasons.set(why, reason);
    },
    layers: () =>
      [...known.values()].map(({ name, entities, state }) => ({
        name,
        entities,
        state,
      })),
    skipped: () => [...skips.values()].map((s) => ({ ...s })),
    findings: () =>
      [...reasons].map(([why, { layers, count }]) => ({
        code: "drawing/left-out",
        severity: "note",
        message: `${count} ${count === 1 ? "entity" : "entities"} on ${namesText([...layers])} left out: ${why}.`,
      })),
  };
}

/** So many layers are named. */
const MOST_NAMED = 8;

function namesText(names: readonly string[]): string {
  if (names.length === 1) return `layer ${nameText(names[0] as string)}`;
  const more = names.length - MOST_NAMED;
  return `layers ${names.slice(0, MOST_NAMED).map(nameText).join(", ")}${more > 0 ? ` and ${more} more` : ""}`;
}
