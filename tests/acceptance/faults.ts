/** Inputs at fault: what the command line must answer, where, and what it must leave behind (nothing half done). */
import { mkdirSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import {
  DxfWriter,
  LWPolylineFlags,
  point2d,
  point3d,
  Units,
} from "@tarikjabiri/dxf";
import type { Complaint } from "./complaints.js";
import { gap, type Pt, pt } from "./plane.js";
import type { Printed } from "./printed.js";
import { filesIn, parsed, type Ran, run } from "./tool.js";

export interface Fault {
  readonly name: string;
  /** Exit codes the contract allows. */
  readonly codes: readonly number[];
  /** Text or bytes of the drawing; null for no file at all. */
  readonly drawing: string | Uint8Array | null;
  readonly job?: string;
  /** Files beside the job, by name. */
  readonly beside?: Readonly<Record<string, string>>;
  readonly args?: readonly string[];
  /** Instead of DIR/out. */
  readonly out?: string;
  /** A place the message must name, to within so many mm. */
  readonly where?: { readonly at: readonly Pt[]; readonly within: number };
  /** What the message must speak of. */
  readonly says?: RegExp;
}

interface Corner {
  readonly x: number;
  readonly y: number;
  readonly bulge?: number;
}

function sheet(
  ...contours: readonly {
    readonly v: readonly Corner[];
    readonly open?: boolean;
    readonly layer?: string;
  }[]
): string {
  const w = new DxfWriter();
  w.setUnits(Units.Millimeters);
  for (const { v, open, layer } of contours) {
    if (layer && !w.layer(layer)) w.addLayer(layer, 3, "Continuous");
    w.addLWPolyline(
      v.map((p) => ({ point: point2d(p.x, p.y), bulge: p.bulge ?? 0 })),
      {
        flags: open ? LWPolylineFlags.None : LWPolylineFlags.Closed,
        layerName: layer ?? "0",
      },
    );
  }
  return w.stringify();
}

const box = (x: number, y: number, w: number, h: number): Corner[] => [
  pt(x, y),
  pt(x + w, y),
  pt(x + w, y + h),
  pt(x, y + h),
];

/** Two round lobes of radius 5, 16 apart, joined by a neck of the given width about the origin. */
export function dumbbell(neck: number): Corner[] {
  const h = neck / 2;
  const x = 8 - Math.sqrt(25 - h * h);
  const half = Math.PI - Math.asin(h / 5);
  const bulge = Math.tan(half / 2);
  return [
    { x: -x, y: -h },
    { x, y: -h, bulge },
    { x, y: h },
    { x: -x, y: h, bulge },
  ];
}

const wide = (w: number, l: number, at: Pt): Corner[] => [
  { x: at.x - l / 2, y: at.y - w / 2 },
  { x: at.x + l / 2, y: at.y - w / 2, bulge: 1 },
  { x: at.x + l / 2, y: at.y + w / 2 },
  { x: at.x - l / 2, y: at.y + w / 2, bulge: 1 },
];

const job = (more: object = {}): string =>
  JSON.stringify({
    wire: { diameter: 0.25 },
    passes: [
      { kind: "rough", gap: 0.03, leave: 0.055 },
      { kind: "skim", gap: 0.015, leave: 0.005 },
      { kind: "skim", gap: 0.01, leave: 0 },
    ],
    roles: { outer: "opening" },
    ...more,
  });

const good = sheet({ v: box(0, 0, 20, 15) });

/** The first eight bytes of every PNG and a beginning of its header. */
const png = new Uint8Array([
  0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 0, 0, 0, 13, 0x49, 0x48, 0x44,
  0x52, 0, 0, 0, 1, 0, 0, 0, 1, 8, 6, 0, 0, 0,
]);

function overlapping(): string {
  const w = new DxfWriter();
  w.setUnits(Units.Millimeters);
  w.addCircle(point3d(0, 0), 5);
  w.addCircle(point3d(6, 0), 5);
  return w.stringify();
}

export const FAULTS: readonly Fault[] = [
  {
    name: "slot narrower than the kerf",
    codes: [1],
    drawing: sheet({ v: wide(0.25, 12, pt(30, 40)) }),
    job: job(),
    where: { at: [pt(30, 40)], within: 7 },
  },
  {
    name: "one slot of three is narrower than the kerf",
    codes: [1],
    drawing: sheet(
      { v: box(-60, -60, 120, 120), layer: "BLOCK" },
      { v: wide(5, 12, pt(0, -30)), layer: "DIE" },
      { v: wide(0.2, 12, pt(0, 0)), layer: "DIE" },
      { v: wide(5, 12, pt(0, 30)), layer: "DIE" },
    ),
    job: job({ roles: { layers: { BLOCK: "stock", DIE: "opening" } } }),
    where: { at: [pt(0, 0)], within: 7 },
  },
  {
    name: "neck the wire cannot pass",
    codes: [1],
    drawing: sheet({ v: dumbbell(0.2) }),
    job: job(),
    where: { at: [pt(0, 0)], within: 3.5 },
  },
  {
    name: "outline that crosses itself",
    codes: [1],
    drawing: sheet({ v: [pt(-10, -5), pt(10, 5), pt(10, -5), pt(-10, 5)] }),
    job: job(),
    where: { at: [pt(0, 0)], within: 0.01 },
  },
  {
    name: "outline that crosses itself on an arc",
    codes: [1],
    drawing: sheet({
      // The half circle over the top side dips through the bottom one at (10 ± 3, 0).
      v: [
        pt(0, 0),
        pt(20, 0),
        pt(20, 4),
        { x: 15, y: 4, bulge: -1 },
        pt(5, 4),
        pt(0, 4),
      ],
    }),
    job: job(),
    where: { at: [pt(7, 0), pt(13, 0)], within: 0.01 },
  },
  {
    name: "two openings that cross",
    codes: [1],
    drawing: overlapping(),
    job: job(),
    where: { at: [pt(3, 4), pt(3, -4)], within: 0.01 },
  },
  {
    name: "open contour where a closed one is asked for",
    codes: [1],
    drawing: sheet({
      v: [pt(0, 0), pt(20, 0), pt(20, 15), pt(0, 15), pt(0, 0.5)],
      open: true,
      layer: "DIE",
    }),
    job: job({ roles: { layers: { DIE: "opening" } } }),
    where: { at: [pt(0, 0.25)], within: 0.3 },
  },
  { name: "a PNG", codes: [3], drawing: png, job: job() },
  { name: "an empty file", codes: [3], drawing: "", job: job() },
  {
    name: "a text that is no DXF",
    codes: [3],
    drawing: "Dear colleague,\nplease find enclosed nothing.\n",
    job: job(),
  },
  {
    name: "a DXF cut off in the middle",
    codes: [3],
    drawing: good.slice(0, Math.floor(good.length * 0.6)),
    job: job(),
  },
  { name: "an empty drawing", codes: [1, 3], drawing: sheet(), job: job() },
  {
    name: "a misspelt key",
    codes: [3],
    drawing: good,
    job: job({ wyre: { diameter: 0.25 } }),
    says: /wyre/,
  },
  {
    name: "a misspelt key further down",
    codes: [3],
    drawing: good,
    job: job({ wire: { diametre: 0.25 } }),
    says: /diametre/,
  },
  {
    name: "a misspelt key in the shop's own process table",
    codes: [3],
    drawing: good,
    job: job({ process: "shop.json" }),
    beside: {
      "shop.json": JSON.stringify({ wires: { brass: { densty: 8.4 } } }),
    },
    says: /shop\.json: .*densty.*density/,
  },
  {
    name: "a value of the wrong kind",
    codes: [3],
    drawing: good,
    job: job({ wire: { diameter: "thick" } }),
    says: /diameter/,
  },
  {
    name: "a job that is not JSON",
    codes: [3],
    drawing: good,
    job: "{ wire: 0.25 ",
    says: /job/i,
  },
  {
    name: "an unknown option",
    codes: [2],
    drawing: good,
    job: job(),
    args: ["--wirre", "0.25"],
    says: /wirre/,
  },
  {
    name: "a missing drawing",
    codes: [3],
    drawing: null,
    job: job(),
    says: /drawing\.dxf/,
  },
  {
    name: "a missing job file",
    codes: [3],
    drawing: good,
    args: ["--job", "/nonexistent/nojob.json"],
    says: /nojob\.json/,
  },
  {
    name: "an out folder that cannot be made",
    codes: [2, 3],
    drawing: good,
    job: job(),
    out: "drawing.dxf/out",
    says: /out/,
  },
  {
    name: "wire thicker than everything",
    codes: [1],
    drawing: sheet({ v: box(0, 0, 0.2, 0.2) }),
    job: job({ wire: { diameter: 0.3 } }),
    where: { at: [pt(0.1, 0.1)], within: 1 },
  },
];

/** What the tool did with the fault that it should not have done. */
export function judgeFault(f: Fault, dir: string): Complaint[] {
  rmSync(dir, { recursive: true, force: true });
  mkdirSync(dir, { recursive: true });
  const drawing = join(dir, "drawing.dxf");
  if (f.drawing !== null) writeFileSync(drawing, f.drawing);
  const out = join(dir, f.out ?? "out");
  const args = ["plan", drawing, "--json", "--out", out, ...(f.args ?? [])];
  if (f.job !== undefined) {
    writeFileSync(join(dir, "job.json"), f.job);
    for (const [name, text] of Object.entries(f.beside ?? {}))
      writeFileSync(join(dir, name), text);
    args.push("--job", join(dir, "job.json"));
  }
  const r = run(args);
  writeFileSync(join(dir, "stdout.json"), r.out);
  writeFileSync(join(dir, "stderr.txt"), r.err);
  const texts: string[] = [];
  if (!f.codes.includes(r.code ?? -1))
    texts.push(
      `exit ${r.code}, expected ${f.codes.join(" or ")}: ${r.err.trim().slice(0, 300)}`,
    );
  texts.push(...saidWrong(f, r));
  const files = filesIn(out);
  for (const [name, text] of Object.entries(files)) {
    if (name.endsWith(".iso")) texts.push(`${name} was written`);
    else if (r.code !== 1) texts.push(`${name} was written`);
    else if (!whole(name, text)) texts.push(`${name} is half written`);
  }
  return texts.map((text) => ({ check: "g", text }));
}

function saidWrong(f: Fault, r: Ran): string[] {
  const texts: string[] = [];
  if (/\n\s+at .*[:(]/.test(r.err)) texts.push("a stack trace on stderr");
  const json = r.out.trim() === "" ? null : parsed(r.out);
  if (json === undefined) texts.push("stdout is not one JSON object");
  const errors = ((json as Printed | null)?.findings ?? []).filter(
    (x) => x.severity === "error",
  );
  if (r.code === 1) {
    if (errors.length !== 1)
      texts.push(
        `${errors.length} error findings instead of one: ${errors.map((e) => `${e.code} ${e.message}`).join(" | ")}`,
      );
    if ((json as Printed | null)?.ok !== false) texts.push("ok is not false");
  }
  const lines = r.err.split("\n").filter((l) => l.trim() !== "");
  if (lines.length === 0) texts.push("nothing on stderr");
  if (r.code === 3 && lines.length > 3)
    texts.push(`${lines.length} lines on stderr for one fault`);
  const said = `${r.err} ${errors.map((e) => e.message).join(" ")}`;
  if (f.says && !f.says.test(said))
    texts.push(
      `the message does not speak of ${f.says}: ${said.slice(0, 300)}`,
    );
  const place = f.where;
  if (place) {
    const near = errors.some(
      (e) =>
        e.where &&
        place.at.some(
          (p) => gap(p, pt(...(e.where as [number, number]))) <= place.within,
        ),
    );
    if (!near)
      texts.push(
        `no error with a place within ${place.within} mm of (${place.at[0]?.x}, ${place.at[0]?.y}): ${errors.map((e) => `${e.code} ${e.message} @ ${JSON.stringify(e.where)}`).join(" | ")}`,
      );
    if (!/\(-?[\d.]+, -?[\d.]+\)/.test(said))
      texts.push(`no place in the message: ${said.trim().slice(0, 200)}`);
  }
  return texts;
}

function whole(name: string, text: string): boolean {
  if (name.endsWith(".svg")) return text.trimEnd().endsWith("</svg>");
  if (name.endsWith(".html")) return text.trimEnd().endsWith("</html>");
  if (name.endsWith(".json")) return parsed(text) !== undefined;
  return false;
}
