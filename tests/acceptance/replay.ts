/**
 * The outside judge's reader: takes the text of a neutral program (ISO 6983-1 words only) and says where the wire's
 * centre went, with nothing but the text and the D registers to go by. Lengths come out in mm.
 */
import {
  boundsOf,
  carrierMeetings,
  folded,
  gap,
  heading,
  nearestOn,
  type Piece,
  type Pt,
  polar,
  pt,
  round,
  type Straight,
  straight,
  sweptAngle,
} from "./plane.js";

/** One stretch of the wire's centre, burning. */
export interface Move {
  readonly piece: Piece;
  readonly line: number;
}

/** From threading to cutting the wire. */
export interface Threading {
  readonly at: Pt;
  readonly line: number;
  readonly moves: readonly Move[];
  /** Index into `stops` of the last M00 before the wire was threaded, -1 for none. */
  readonly lastStop: number;
}

export interface Halt {
  readonly line: number;
  readonly optional: boolean;
  /** Comments in its block and in comment-only blocks right above it. */
  readonly comment: string;
  /** How many threadings came before it. */
  readonly after: number;
}

export interface Replay {
  readonly inch: boolean;
  readonly threadings: readonly Threading[];
  readonly stops: readonly Halt[];
  readonly words: Readonly<Record<string, number>>;
  readonly blocks: number;
  /** What the text does that it may not, with its line. */
  readonly faults: readonly string[];
}

/** The G and M words of the neutral program and nothing else. */
const ALLOWED = new Set(
  "G00 G01 G02 G03 G17 G40 G41 G42 G70 G71 G90 M00 M01 M06 M08 M09 M30 T0 T1".split(
    " ",
  ),
);

interface Programmed {
  readonly piece: Piece;
  readonly line: number;
}

export function replay(
  text: string,
  registers: Readonly<Record<number, number>> = {},
): Replay {
  const faults: string[] = [];
  const words: Record<string, number> = {};
  const threadings: {
    at: Pt;
    line: number;
    moves: Move[];
    lastStop: number;
  }[] = [];
  const stops: Halt[] = [];
  let blocks = 0;
  let lastNumber = -1;
  let scale = 0;
  let absolute = false;
  let ended = false;
  let motion = "";
  let at: Pt | null = null;
  let tool = "T0";
  let threaded: (typeof threadings)[number] | null = null;
  let lastStop = -1;
  let pendingComment: string[] = [];
  let comp: { left: boolean; d: number; from: Pt; run: Programmed[] } | null =
    null;

  const lines = text.split(/\r?\n/);
  if (lines[lines.length - 1] === "") lines.pop();
  const fault = (n: number, what: string): void => {
    faults.push(`line ${n}: ${what}`);
  };
  if (lines[0] !== "%") fault(1, `does not start with %, but ${lines[0]}`);

  lines.forEach((raw, index) => {
    const n = index + 1;
    if (raw.length > 80) fault(n, `${raw.length} columns`);
    if (!/^[\x20-\x7e]*$/.test(raw)) fault(n, "not plain ASCII");
    if (raw === "%") {
      if (index !== 0 && index !== lines.length - 1)
        fault(n, "% inside the program");
      return;
    }
    if (ended) {
      fault(n, "text after M30");
      return;
    }
    const comments = [...raw.matchAll(/\(([^()]*)\)/g)].map(
      (m) => m[1] as string,
    );
    const bare = raw.replace(/\([^()]*\)/g, " ").trim();
    if (/[()]/.test(bare)) {
      fault(n, "a parenthesis without its pair");
      return;
    }
    if (bare === "") {
      pendingComment.push(...comments);
      return;
    }
    const tokens = bare.match(/[A-Z][^A-Z\s]*/g) ?? [];
    if (tokens.join("") !== bare.replace(/\s+/g, "")) {
      fault(n, `unreadable block ${bare}`);
      return;
    }
    const value: Record<string, number> = {};
    const codes: string[] = [];
    for (const token of tokens) {
      const letter = token[0] as string;
      const rest = token.slice(1);
      if (!/^[+-]?(\d+\.?\d*|\.\d+)$/.test(rest)) {
        fault(n, `unreadable word ${token}`);
        continue;
      }
      if ("GMT".includes(letter)) {
        codes.push(token);
        words[token] = (words[token] ?? 0) + 1;
        if (!ALLOWED.has(token)) fault(n, `word ${token} is not allowed`);
      } else if ("NXYIJD".includes(letter)) {
        if (letter in value) fault(n, `two ${letter} words in one block`);
        value[letter] = Number(rest);
        const decimals = rest.split(".")[1]?.length ?? 0;
        if (
          "XYIJ".includes(letter) &&
          scale &&
          decimals > (scale === 1 ? 4 : 5)
        )
          fault(n, `${token} is finer than the grid`);
        if ("XYIJ".includes(letter) && !rest.includes("."))
          fault(n, `${token} has no decimal point`);
      } else fault(n, `word ${token} is not allowed`);
    }
    blocks++;
    if (value.N === undefined) fault(n, "block without a number");
    else {
      if (value.N <= lastNumber) fault(n, `block number ${value.N} not rising`);
      lastNumber = value.N;
      if (tokens[0]?.[0] !== "N") fault(n, "N is not the first word");
    }
    if (tokens.length === 1 && tokens[0]?.[0] === "N") {
      pendingComment.push(...comments);
      return;
    }
    const has = (c: string): boolean => codes.includes(c);
    const said = [...pendingComment, ...comments].join(" ");
    pendingComment = [];

    if (has("G71")) scale = 1;
    if (has("G70")) scale = 25.4;
    if (has("G90")) absolute = true;
    for (const t of ["T0", "T1"]) if (has(t)) tool = t;
    for (const g of ["G00", "G01", "G02", "G03"]) if (has(g)) motion = g;
    if (codes.filter((c) => /^G0/.test(c)).length > 1)
      fault(n, "two motion words in one block");

    if (has("M00") || has("M01")) {
      stops.push({
        line: n,
        optional: has("M01"),
        comment: said,
        after: threadings.length,
      });
      if (has("M00")) {
        lastStop = stops.length - 1;
        if (threaded) fault(n, "M00 with the wire threaded");
      }
    }
    if (has("M06")) {
      if (tool === "T1") {
        if (threaded) fault(n, "threads a wire that is in already");
        if (!at) fault(n, "threads before any position is known");
        threaded = { at: at ?? pt(0, 0), line: n, moves: [], lastStop };
        threadings.push(threaded);
      } else {
        if (!threaded) fault(n, "cuts a wire that is not in");
        if (comp) fault(n, "cuts the wire with compensation on");
        threaded = null;
      }
    }
    if (has("M30")) {
      ended = true;
      if (threaded) fault(n, "ends with the wire in");
    }

    const turnOn = has("G41") || has("G42");
    const target = (): Pt => {
      const x = value.X === undefined ? at?.x : value.X * scale;
      const y = value.Y === undefined ? at?.y : value.Y * scale;
      if (x === undefined || y === undefined)
        fault(n, "a coordinate left out before it was ever given");
      return pt(x ?? 0, y ?? 0);
    };
    const goes = value.X !== undefined || value.Y !== undefined;
    const curved = value.I !== undefined || value.J !== undefined;
    if (!goes && !curved) {
      if (turnOn) fault(n, "G41/G42 without a move");
      if (has("G40") && comp) fault(n, "G40 without a move");
      if (codes.some((c) => /^G0/.test(c)))
        fault(n, "a motion word without coordinates");
      return;
    }
    if (!scale) fault(n, "moves before G70 or G71");
    if (!absolute) fault(n, "moves before G90");
    const to = target();
    if (motion === "G00") {
      if (threaded) fault(n, "G00 with the wire in");
      if (curved) fault(n, "I or J in a G00 block");
      at = to;
      return;
    }
    if (!threaded) {
      fault(n, `${motion || "a move"} with the wire out`);
      at = to;
      return;
    }
    const from = at ?? to;
    let piece: Piece = straight(from, to);
    if (motion === "G01") {
      if (curved) fault(n, "I or J in a G01 block");
    } else if (motion === "G02" || motion === "G03") {
      const c = pt(
        from.x + (value.I ?? 0) * scale,
        from.y + (value.J ?? 0) * scale,
      );
      const ra = gap(c, from);
      const rb = gap(c, to);
      if (!curved) fault(n, "arc without I and J");
      if (Math.abs(ra - rb) > 0.0005)
        fault(n, `radii differ by ${Math.abs(ra - rb).toFixed(6)} mm`);
      if (gap(from, to) === 0) fault(n, "a whole circle in one block");
      piece = {
        t: "round",
        a: from,
        b: to,
        c,
        r: (ra + rb) / 2,
        turn: sweptAngle(c, from, to, motion === "G03"),
      };
    } else fault(n, "a move before any motion word");
    at = to;
    // A straight move to where the wire stands already moves nothing, compensated or not.
    if (piece.t === "straight" && gap(from, to) === 0 && !turnOn && !has("G40"))
      return;

    if (turnOn) {
      if (comp) fault(n, "G41/G42 while compensation is on");
      if (motion !== "G01") fault(n, "compensation must start on a G01");
      const d = registers[value.D ?? -1];
      if (d === undefined) fault(n, `no offset known for D${value.D ?? ""}`);
      comp = { left: has("G41"), d: d ?? 0, from, run: [] };
      return;
    }
    if (value.D !== undefined) fault(n, "D without G41 or G42");
    if (comp && has("G40")) {
      if (motion !== "G01") fault(n, "compensation must end on a G01");
      for (const m of compensated(
        comp,
        { line: n, to },
        scale === 1 ? JOINT.mm : JOINT.inch,
        (w) => fault(n, w),
      ))
        threaded.moves.push(m);
      comp = null;
      return;
    }
    if (comp) comp.run.push({ piece, line: n });
    else threaded.moves.push({ piece, line: n });
  });
  if (!ended) faults.push("no M30 at the end");
  if (comp) faults.push("compensation never ends");
  return { inch: scale === 25.4, threadings, stops, words, blocks, faults };
}

/** `s` moved square to its travel, to the left by `d` (to the right when negative); null when an arc vanishes. */
function beside(s: Piece, d: number): Piece | null {
  if (s.t === "straight") {
    const q = heading(s, 0) + Math.PI / 2;
    return straight(polar(s.a, d, q), polar(s.b, d, q));
  }
  const r = s.r - d * Math.sign(s.turn);
  if (r <= 0) return null;
  const shift = (p: Pt): Pt => {
    const l = gap(p, s.c);
    return pt(s.c.x + ((p.x - s.c.x) * r) / l, s.c.y + ((p.y - s.c.y) * r) / l);
  };
  return { ...s, a: shift(s.a), b: shift(s.b), r };
}

/** How far apart parallels of tangent neighbours may lie, mm: five steps of the grid, 0.0001 mm or 0.00001 in. */
const JOINT = { mm: 0.0005, inch: 0.00127 };

/**
 * Centre path of a compensated run: on to the point square to the first segment, round outside corners about the
 * corner, to the meeting point of the neighbours at inside corners, off from the point square to the last segment.
 */
function compensated(
  c: { left: boolean; d: number; from: Pt; run: readonly Programmed[] },
  off: { line: number; to: Pt },
  joint: number,
  fault: (what: string) => void,
): Move[] {
  const side = c.left ? c.d : -c.d;
  const beside_: Programmed[] = [];
  for (const m of c.run) {
    const piece = beside(m.piece, side);
    if (piece) beside_.push({ piece, line: m.line });
    else fault(`arc of line ${m.line} is smaller than its offset ${c.d}`);
  }
  const first = beside_[0];
  if (!first) {
    fault("compensation on and off with nothing between");
    return [];
  }
  const out: Move[] = [
    { piece: straight(c.from, first.piece.a), line: first.line },
  ];
  let head = first.piece;
  for (let i = 0; i < beside_.length; i++) {
    const line = (beside_[i] as Programmed).line;
    const next = beside_[i + 1];
    if (!next) {
      out.push({ piece: head, line });
      out.push({ piece: straight(head.b, off.to), line: off.line });
      break;
    }
    const here = c.run[i] as Programmed;
    const there = c.run[i + 1] as Programmed;
    const turn = folded(heading(there.piece, 0) - heading(here.piece, 1));
    const away = c.left ? turn < 0 : turn > 0;
    const apart = gap(head.b, next.piece.a);
    if (away && apart > 1e-9) {
      const q = heading(here.piece, 1) + ((c.left ? 1 : -1) * Math.PI) / 2;
      out.push({ piece: head, line });
      out.push({ piece: round(here.piece.b, c.d, q, turn), line });
      head = next.piece;
      continue;
    }
    const meeting = apart > 1e-9 ? meetingPoint(head, next.piece) : head.b;
    if (!meeting) {
      // Grid rounding leaves neighbours that should be tangent a little apart; more than that is a fault.
      if (apart > joint)
        fault(`segments of lines ${line} and ${next.line} do not meet beside`);
      out.push({ piece: head, line });
      if (apart > 1e-9)
        out.push({ piece: straight(head.b, next.piece.a), line });
      head = next.piece;
      continue;
    }
    out.push({ piece: withEnds(head, head.a, meeting, fault), line });
    head = withEnds(next.piece, meeting, next.piece.b, fault);
  }
  return out;
}

function meetingPoint(s: Piece, u: Piece): Pt | null {
  let best: Pt | null = null;
  for (const p of carrierMeetings(s, u)) {
    if (nearestOn(s, p).d > 1e-6 || nearestOn(u, p).d > 1e-6) continue;
    if (!best || gap(p, s.b) < gap(best, s.b)) best = p;
  }
  return best;
}

/** `s` cut short to run from `a` to `b`, both on it. */
function withEnds(
  s: Piece,
  a: Pt,
  b: Pt,
  fault: (what: string) => void,
): Piece {
  if (s.t === "straight") {
    const cut: Straight = straight(a, b);
    const forward =
      (b.x - a.x) * (s.b.x - s.a.x) + (b.y - a.y) * (s.b.y - s.a.y);
    if (forward < 0 && gap(a, b) > 1e-6)
      fault("an inside corner swallows a whole segment");
    return cut;
  }
  if (gap(a, b) < 1e-9) return straight(a, b);
  const turn = sweptAngle(s.c, a, b, s.turn > 0);
  if (Math.abs(turn) > Math.abs(s.turn) + 1e-6)
    fault("an inside corner swallows a whole arc");
  return { ...s, a, b, turn };
}

/** Length of all moves with the wire in. */
export function burntLength(r: Replay): number {
  let sum = 0;
  for (const t of r.threadings)
    for (const { piece: s } of t.moves)
      sum += s.t === "straight" ? gap(s.a, s.b) : s.r * Math.abs(s.turn);
  return sum;
}

/** Box that holds every move. */
export const moveBounds = boundsOf;
