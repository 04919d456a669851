/** Draws the replay: metal that disappears behind the wire, pieces that come loose, the wire itself. */
import type { G, Path } from "@svgdotjs/svg.js";
import {
  type Plan,
  type Proof,
  pointAt,
  subSegment,
  type Vec,
} from "../../src/index.js";
import { chainPath, at as place, segmentPath } from "../picture/paths.js";
import type { Picture } from "../picture/picture.js";
import { toScreen, type View } from "../picture/view.js";
import { type Beat, beatBehind, type Timeline } from "./timeline.js";

export interface Film {
  /** Puts the film in place of the plan. */
  begin(): void;
  /** Shows the moment `part` (0 to 1) of the way through a beat. */
  show(beat: number, part: number): void;
  /** Draws the wire where it is now. */
  drawWire(layer: G, view: View): void;
  /** Gives the picture back to the plan. */
  rest(): void;
  end(): void;
}

/** Beats whose kerf is one path: finished chunks are not touched again. */
const CHUNK = 256;

export function drawFilm(
  picture: Picture,
  timeline: Timeline,
  plan: Plan,
  proof: Proof | null,
): Film {
  const { beats } = timeline;
  const o = picture.origin();
  const rough = plan.job.passes[0];
  const width = plan.job.wire.diameter + 2 * (rough?.gap ?? 0);
  const layer: G = picture.world.group().addClass("film");
  const chunks: Path[] = [];
  for (let i = 0; i < beats.length; i += CHUNK)
    chunks.push(
      layer.path("").addClass("film-kerf").attr("stroke-width", width) as Path,
    );
  const pieces = loosePieces();
  let on = false;
  let wire: Vec | null = null;
  let threaded = false;
  /** Where the wire is threaded, by beat: after the thread and up to the cut. */
  const wireIn = threadedBeats(beats);
  const full: (string | undefined)[] = [];

  /** Slugs go once the stop that tells to take them out has passed; without one, as soon as they are free. */
  function loosePieces(): { readonly beat: number; readonly shape: Path }[] {
    const features = new Map(plan.features.map((f) => [f.id, f]));
    return (proof?.loosePieces ?? []).flatMap((piece) => {
      const feature = features.get(piece.feature);
      if (!feature) return [];
      const freed = beatBehind(timeline, piece.line);
      if (freed < 0 && feature.role === "opening") return [];
      const shape = layer
        .path(chainPath(o, feature.contour.segments, true))
        .addClass(feature.role === "part" ? "film-part" : "film-gone") as Path;
      return [{ beat: freed < 0 ? beats.length : freed, shape }];
    });
  }

  function kerfOf(chunk: number, upTo: number): string {
    const first = chunk * CHUNK;
    let d = "";
    let pen: Vec | null = null;
    for (let i = first; i < Math.min(first + CHUNK, upTo); i++) {
      const { kind, segment } = beats[i] as Beat;
      if (kind !== "cut" || !segment) {
        pen = null;
        continue;
      }
      d += `${pen === segment.start ? "" : `M${place(o, segment.start)}`}${segmentPath(o, segment)}`;
      pen = segment.end;
    }
    return d;
  }

  /** Of a chunk that is done; made once. */
  function wholeKerf(chunk: number): string {
    const d = full[chunk] ?? kerfOf(chunk, beats.length);
    full[chunk] = d;
    return d;
  }

  function rest(): void {
    if (!on) return;
    on = false;
    picture.element.classList.remove("replaying");
    picture.refresh();
  }

  return {
    begin() {
      on = true;
      picture.element.classList.add("replaying");
    },
    show(index, part) {
      if (!on) return;
      const beat = beats[index];
      if (!beat) return;
      const now = Math.floor(index / CHUNK);
      chunks.forEach((path, i) => {
        if (i < now) path.plot(wholeKerf(i));
        else if (i > now) path.plot("");
      });
      const share = Math.min(1, Math.max(0, part));
      const running =
        beat.kind === "cut" && beat.segment && share > 0
          ? `M${place(o, beat.segment.start)}${segmentPath(o, subSegment(beat.segment, 0, share))}`
          : "";
      chunks[now]?.plot(kerfOf(now, index) + running);
      for (const { beat: freed, shape } of pieces)
        shape.node.classList.toggle("gone", index >= freed);
      wire = beat.segment ? pointAt(beat.segment, share) : beat.at;
      threaded = wireIn[index] === true;
      picture.refresh();
    },
    drawWire(over, view) {
      if (!on || !wire) return;
      const p = toScreen(view, wire);
      const r = Math.max(5, (plan.job.wire.diameter / 2) * view.scale);
      over
        .circle(2 * r)
        .center(p.x, p.y)
        .addClass(threaded ? "wire" : "wire out");
    },
    rest,
    end() {
      rest();
      layer.remove();
    },
  };
}

function threadedBeats(beats: readonly Beat[]): boolean[] {
  let threaded = false;
  return beats.map(({ kind }) => {
    if (kind === "thread") threaded = true;
    if (kind === "cut-wire") threaded = false;
    return threaded;
  });
}
