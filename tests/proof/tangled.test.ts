/** What no wire is meant to do is refused in one sentence; a good program in very short moves is proved all the same. */
import { describe, expect, test } from "vitest";
import { line } from "../../src/geometry/segment.js";
import { vec } from "../../src/geometry/vec.js";
import { InputError } from "../../src/index.js";
import { straightened } from "../../src/proof/straightened.js";
import {
  CUT_WIRE,
  HEAD,
  PUNCH,
  proveText,
  squareProgram,
  TAIL,
  threadAt,
} from "../helpers/programs.js";

const to = (x: number, y: number): string =>
  `G01 X${x.toFixed(4)} Y${y.toFixed(4)}`;

function refusal(moves: readonly string[]): InputError {
  try {
    proveText(
      [...HEAD, ...threadAt(0, 0), ...moves, ...CUT_WIRE, ...TAIL],
      PUNCH,
    );
  } catch (error) {
    expect(error).toBeInstanceOf(InputError);
    return error as InputError;
  }
  throw new Error("not refused");
}

/** Rows `apart` mm from each other, one after the other, along X or along Y. */
const rows = (count: number, apart: number, turn: "x" | "y"): string[] =>
  Array.from({ length: count }, (_, k) => {
    const [a, b] = k % 2 === 0 ? [0, count * apart] : [count * apart, 0];
    const at = k * apart;
    return turn === "x" ? [to(a, at), to(b, at)] : [to(at, a), to(at, b)];
  }).flat();

describe("a block that would crumble", () => {
  test("a lattice of 100 by 100 cuts leaves nearly ten thousand little squares, and says so", () => {
    const { code, message } = refusal([
      ...rows(100, 0.6, "x"),
      ...rows(100, 0.6, "y"),
    ]);
    expect(code).toBe("program/tangled");
    // 99 × 99 squares are closed all round; those at the rim open outward or close with the ways between rows.
    const pieces = Number(/(\d+) pieces come loose/.exec(message)?.[1]);
    expect(pieces).toBeGreaterThan(9_500);
    expect(pieces).toBeLessThan(10_100);
  });

  test("a walk to and fro without aim is refused long before its pieces are told apart", () => {
    // Numerical Recipes' linear congruential generator, so that it is the same walk every time.
    let lot = 1;
    const draw = (): number => {
      lot = (Math.imul(lot, 1664525) + 1013904223) >>> 0;
      return lot / 2 ** 32;
    };
    let [x, y] = [30, 30];
    const within = (v: number): number => Math.min(60, Math.max(0, v));
    const walk = Array.from({ length: 20_000 }, () => {
      [x, y] = [within(x + 6 * draw() - 3), within(y + 6 * draw() - 3)];
      return to(x, y);
    });
    const { code, message } = refusal(walk);
    expect(code).toBe("program/tangled");
    expect(message).toMatch(
      /^program line \d+: up to here \d+ moves are cut into 2000\d pieces/,
    );
  });
});

describe("a good program in very short moves", () => {
  test("holds: the square opening in steps of 0.02 mm, some 6,000 blocks", () => {
    const steps: string[] = [];
    let at: [number, number] | null = null;
    for (const l of squareProgram()) {
      const [, x, y] = /^G01 X(\S+) Y(\S+)/.exec(l) ?? [];
      if (x === undefined || y === undefined) {
        steps.push(l);
        const [, hx, hy] = /^G00 X(\S+) Y(\S+)/.exec(l) ?? [];
        if (hx && hy) at = [Number(hx), Number(hy)];
        continue;
      }
      const [x0, y0] = at as [number, number];
      const [dx, dy] = [Number(x) - x0, Number(y) - y0];
      const n = Math.max(1, Math.round(Math.hypot(dx, dy) / 0.02));
      for (let k = 1; k <= n; k++)
        steps.push(to(x0 + (dx * k) / n, y0 + (dy * k) / n));
      at = [Number(x), Number(y)];
    }
    expect(steps.length).toBeGreaterThan(5_000);
    const proof = proveText(steps);
    // A wire leaves stock in the four sharp corners: a note.
    expect(proof.findings.map((f) => f.code)).toEqual(["proof/corner-stays"]);
    expect(proof.loosePieces).toMatchObject([{ attended: true }]);
  });

  test("is one kerf where it runs straight on, and no point of it is left aside", () => {
    const swath = (ax: number, ay: number, bx: number, by: number) => ({
      segment: line(vec(ax, ay), vec(bx, by)),
      radius: 0.155,
    });
    const run = Array.from({ length: 30 }, (_, k) => swath(k, 0, k + 1, 0));
    expect(straightened(run).map((s) => s.segment)).toEqual([
      line(vec(0, 0), vec(30, 0)),
    ]);
    // Half a µm aside is too far, and so is the way back.
    expect(
      straightened([swath(0, 0, 1, 0.002), swath(1, 0.002, 2, 0)]),
    ).toHaveLength(2);
    expect(straightened([swath(0, 0, 2, 0), swath(2, 0, 1, 0)])).toHaveLength(
      2,
    );
    expect(straightened([swath(0, 0, 1, 0), swath(1.1, 0, 2, 0)])).toHaveLength(
      2,
    );
  });
});
