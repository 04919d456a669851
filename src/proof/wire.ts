/**
 * The program run through: which stretches the wire's centre travels while it is threaded, and every rule of handling
 * the wire that is broken on the way.
 */
import type { Finding } from "../base/finding.js";
import { placeText } from "../base/numbers.js";
import { SAME_POINT } from "../base/tolerance.js";
import { line as straight } from "../geometry/segment.js";
import { pair, type Vec } from "../geometry/vec.js";
import type { Job } from "../plan/job/job.js";
import type { Action, ProgramText } from "../program/moves.js";
import { compensate } from "./compensation.js";
import type { Feed, WireMove } from "./feed.js";
import type { Corner } from "./parallels.js";

/** From threading the wire to cutting it. */
export interface Thread {
  readonly at: Vec;
  readonly line: number;
  readonly action: number;
  readonly moves: readonly WireMove[];
}

export interface Replay {
  readonly threads: readonly Thread[];
  readonly findings: readonly Finding[];
  /** Of all that runs with G41 or G42. */
  readonly corners: readonly Corner[];
}

export function replayWire(program: ProgramText, job: Job): Replay {
  const findings: Finding[] = [];
  const threads: Thread[] = [];
  const corners: Corner[] = [];
  const { actions } = program;
  let open: { at: Vec; line: number; action: number; feeds: Feed[] } | null =
    null;
  let flushing = false;
  let dry: Feed | null = null;
  /** It is told already that this run of feeds has no wire. */
  let toldOut = false;

  const tell = (
    code: string,
    severity: Finding["severity"],
    line: number,
    message: string,
    where?: Vec,
  ): void => {
    findings.push({
      code,
      severity,
      message: `program line ${line}: ${message}`,
      ...(where ? { where: pair(where) } : {}),
    });
  };
  const close = (): void => {
    if (!open) return;
    const { at, line, action, feeds } = open;
    threads.push({
      at,
      line,
      action,
      moves: compensate(feeds, at, job, findings, corners),
    });
    open = null;
  };

  actions.forEach((a: Action, action) => {
    switch (a.kind) {
      case "rapid":
        if (!open) break;
        tell(
          "proof/rapid-threaded",
          "error",
          a.line,
          `G00 to ${placeText(pair(a.to))} with the wire in: it tears the wire or the work; cut the wire first, or move by G01`,
          a.to,
        );
        // The wire goes there all the same: what it meets on the way is judged like any cut.
        if (
          Math.abs(a.from.x - a.to.x) + Math.abs(a.from.y - a.to.y) >
          SAME_POINT
        )
          open.feeds.push({
            segment: straight(a.from, a.to),
            line: a.line,
            action,
            compensation: null,
          });
        break;
      case "feed": {
        if (!open) {
          if (toldOut) break;
          toldOut = true;
          tell(
            "proof/feed-unthreaded",
            "error",
            a.line,
            `a feed to ${placeText(pair(a.segment.end))} with no wire in: nothing is cut, here and until it is threaded; thread it first`,
            a.segment.end,
          );
          break;
        }
        const feed = {
          segment: a.segment,
          line: a.line,
          action,
          compensation: a.compensation,
        };
        open.feeds.push(feed);
        if (!flushing && !dry) dry = feed;
        break;
      }
      case "thread":
        if (open) {
          tell(
            "proof/thread-twice",
            "error",
            a.line,
            `the wire is threaded at ${placeText(pair(a.at))} while it is in since line ${open.line}; cut it first`,
            a.at,
          );
          close();
        }
        toldOut = false;
        open = { at: a.at, line: a.line, action, feeds: [] };
        break;
      case "cut-wire":
        if (!open)
          tell(
            "proof/cut-unthreaded",
            "warning",
            a.line,
            `the wire is cut at ${placeText(pair(a.at))} but none is in`,
            a.at,
          );
        close();
        break;
      case "dwell":
        if (!open || open.feeds.length === 0) break;
        tell(
          "proof/dwell",
          "warning",
          a.line,
          `the wire stands still at ${placeText(pair(a.at))} in the middle of its cut (G04); if it goes on burning, it leaves a mark there: wait before the cut, or with M00`,
          a.at,
        );
        break;
      case "flushing":
        flushing = a.on;
        break;
      case "end":
        if (open)
          tell(
            "proof/end-threaded",
            "error",
            a.line,
            "the program ends with the wire in; cut it first",
            lastPlace(open.feeds) ?? open.at,
          );
        close();
        break;
      case "stop":
        break;
    }
  });
  close();
  if (dry !== null) {
    const { line, segment } = dry as Feed;
    tell(
      "proof/flushing-off",
      "warning",
      line,
      "the wire cuts here with the flushing off (no M08 since the last M09): it may break",
      segment.start,
    );
  }
  return { threads, findings, corners };
}

const lastPlace = (feeds: readonly Feed[]): Vec | undefined =>
  feeds.at(-1)?.segment.end;
