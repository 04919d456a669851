/** One way in which what a program does differs from what another does. */

export interface Difference {
  readonly effect:
    | "text"
    | "too deep"
    /** By more than the good program, but within what the finished edge may be passed by. */
    | "deeper"
    | "left standing"
    | "passes"
    | "unattended"
    | "stop early"
    | "in the way"
    | "cuts on"
    | "hole"
    | "dry"
    | "overlap"
    | "slight";
  readonly what: string;
  /** The outline it shows on. */
  readonly feature?: string;
}

/** Takes down a difference; without a feature when it is the whole program's. */
export type Told = (
  effect: Difference["effect"],
  what: string,
  feature?: string,
) => void;
