/** The program as a film: what the wire does at each moment. Pure; built from the text as it was read back. */
import {
  type ProgramText,
  type Replay,
  type Segment,
  segmentLength,
  type Vec,
} from "../../src/index.js";

export interface Beat {
  readonly kind: "cut" | "rapid" | "thread" | "cut-wire" | "stop";
  readonly line: number;
  /** Seconds of film. */
  readonly from: number;
  readonly to: number;
  /** The way of the wire's centre, for cuts and rapids. */
  readonly segment: Segment | null;
  readonly at: Vec;
  readonly comment: string;
}

export interface Timeline {
  readonly beats: readonly Beat[];
  readonly length: number;
}

/** Seconds of film that things without a length take; less where there are very many of them. */
const DWELL = { thread: 0.4, "cut-wire": 0.3, stop: 1.2 } as const;
/** A rapid goes this many times faster than the burning wire. */
const RAPID = 6;
/** Seconds of film at speed 1 that all burning may take, and as many that all else may: long programs are shown faster. */
const LONGEST = 90;
/** mm a second of film, for small drawings. */
const SLOWEST = 6;

/**
 * @param replay what the wire's centre does, compensation applied.
 */
export function timelineOf(program: ProgramText, replay: Replay): Timeline {
  const moves = new Map<number, Segment[]>();
  for (const thread of replay.threads)
    for (const move of thread.moves) {
      const known = moves.get(move.action);
      if (known) known.push(move.segment);
      else moves.set(move.action, [move.segment]);
    }
  const travelled = [...moves.values()]
    .flat()
    .reduce((sum, s) => sum + segmentLength(s), 0);
  const speed = Math.max(SLOWEST, travelled / LONGEST);
  const besides = (action: ProgramText["actions"][number]): number =>
    action.kind === "rapid"
      ? Math.hypot(action.to.x - action.from.x, action.to.y - action.from.y) /
        (RAPID * speed)
      : (DWELL[action.kind as keyof typeof DWELL] ?? 0);
  const idle = program.actions.reduce((sum, a) => sum + besides(a), 0);
  const haste = Math.min(1, LONGEST / idle);

  const beats: Beat[] = [];
  let time = 0;
  let at: Vec = { x: 0, y: 0 };
  const add = (
    kind: Beat["kind"],
    line: number,
    seconds: number,
    segment: Segment | null,
    comment = "",
  ): void => {
    if (segment) at = segment.end;
    beats.push({
      kind,
      line,
      from: time,
      to: time + seconds,
      segment,
      at,
      comment,
    });
    time += seconds;
  };
  program.actions.forEach((action, index) => {
    if (action.kind === "rapid") {
      const way: Segment = { kind: "line", start: action.from, end: action.to };
      add("rapid", action.line, haste * besides(action), way);
    } else if (action.kind === "feed") {
      for (const segment of moves.get(index) ?? [])
        add("cut", action.line, segmentLength(segment) / speed, segment);
    } else if (action.kind === "thread" || action.kind === "cut-wire") {
      at = action.at;
      add(action.kind, action.line, haste * besides(action), null);
    } else if (action.kind === "stop")
      add("stop", action.line, haste * besides(action), null, action.comment);
  });
  return { beats, length: time };
}

/** "48 s", "2 min 5 s" */
export function filmText(seconds: number): string {
  const whole = Math.round(seconds);
  const [minutes, rest] = [Math.floor(whole / 60), whole % 60];
  return minutes === 0 ? `${rest} s` : `${minutes} min ${rest} s`;
}

/** Index of the beat at `time`; the last one at the end. */
export function beatAt({ beats }: Timeline, time: number): number {
  const found = firstBeat(beats, ({ to }) => to > time);
  return Math.max(0, Math.min(found, beats.length - 1));
}

/** Index of the first beat behind a line of the program; -1 where there is none. */
export function beatBehind({ beats }: Timeline, line: number): number {
  const found = firstBeat(beats, (b) => b.line > line);
  return found < beats.length ? found : -1;
}

/** Index of the first beat that is so, where all behind it are; the number of beats where none is. */
function firstBeat(
  beats: readonly Beat[],
  isSo: (beat: Beat) => boolean,
): number {
  let low = 0;
  let high = beats.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (isSo(beats[middle] as Beat)) high = middle;
    else low = middle + 1;
  }
  return low;
}
