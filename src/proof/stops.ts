/** The stops of a program, by the features they name. */
import type { Action } from "../program/moves.js";

export interface Stop {
  readonly action: number;
  readonly optional: boolean;
}

/** Under each word of a stop's comment the stops that say it. */
export type Stops = ReadonlyMap<string, readonly Stop[]>;

/** A feature's id must stand as a word of its own: "opening-1" is not in "opening-12". */
export function stopsByWord(actions: readonly Action[]): Stops {
  const stops = new Map<string, Stop[]>();
  actions.forEach((a, action) => {
    if (a.kind !== "stop") return;
    // Many controls show capitals only.
    const said = a.comment.toLowerCase().match(/[\w-]+/g) ?? [];
    // "OPENING 1" is opening-1.
    const joined = said.slice(1).map((word, k) => `${said[k]}-${word}`);
    for (const word of new Set([...said, ...joined])) {
      const list = stops.get(word) ?? [];
      list.push({ action, optional: a.optional });
      stops.set(word, list);
    }
  });
  return stops;
}

/** The stops for a feature, that nobody may leave out, after one action and before another. */
export function stopsBetween(
  stops: Stops,
  feature: string,
  after: number,
  before: number,
): readonly Stop[] {
  return (stops.get(feature.toLowerCase()) ?? []).filter(
    (s) => !s.optional && s.action > after && s.action < before,
  );
}
