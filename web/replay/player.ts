/** The controls of the replay: play, speed, scrubber; and what the wire does at that moment, in words. */
import type { App } from "../app.js";
import { byId, h } from "../dom.js";
import type { Picture } from "../picture/picture.js";
import type { ProgramList } from "../steps/program.js";
import { drawFilm, type Film } from "./film.js";
import { type Beat, beatAt, filmText, type Timeline } from "./timeline.js";

const SPEEDS = [0.25, 0.5, 1, 2, 5, 10, 30] as const;
const WORDS: Readonly<Record<Beat["kind"], string>> = {
  cut: "burning",
  rapid: "moving, wire out",
  thread: "threading the wire",
  "cut-wire": "cutting the wire",
  stop: "stopped",
};

export function startPlayer(
  app: App,
  picture: Picture,
  list: ProgramList,
): void {
  const play = h("button", { type: "button", "aria-pressed": "false" }, "Play");
  const scrubber = h("input", {
    type: "range",
    min: 0,
    max: 1000,
    step: 1,
    value: 0,
    "aria-label": "Place in the program",
  });
  const speed = h(
    "select",
    { "aria-label": "Speed" },
    ...SPEEDS.map((s) => h("option", { value: s }, `${s}×`)),
  );
  speed.value = "1";
  const words = h("output", { class: "replay-words" });
  byId("replay").append(play, scrubber, speed, words);

  let timeline: Timeline | null = null;
  /** Made when it is first wanted. */
  let makeFilm: (() => Film) | null = null;
  let film: Film | null = null;
  const begin = (): void => {
    film ??= makeFilm?.() ?? null;
    film?.begin();
  };
  let time = 0;
  let playing = false;
  let last = 0;

  const show = (): void => {
    if (!timeline || !film) return;
    const index = beatAt(timeline, time);
    const beat = timeline.beats[index];
    if (!beat) return;
    film.show(
      index,
      beat.to > beat.from ? (time - beat.from) / (beat.to - beat.from) : 1,
    );
    list.mark(time > 0 ? beat.line : 0);
    scrubber.value = String(Math.round((1000 * time) / timeline.length));
    scrubber.setAttribute(
      "aria-valuetext",
      `line ${beat.line}, ${WORDS[beat.kind]}`,
    );
    words.textContent = `line ${beat.line}: ${WORDS[beat.kind]}${beat.comment ? `: ${beat.comment}` : ""}`;
  };
  const setPlaying = (on: boolean): void => {
    playing = on && timeline !== null;
    play.textContent = playing ? "Pause" : "Play";
    play.setAttribute("aria-pressed", String(playing));
    if (!playing) return;
    last = performance.now();
    requestAnimationFrame(tick);
  };
  const tick = (now: number): void => {
    if (!playing || !timeline) return;
    time = Math.min(
      timeline.length,
      time + ((now - last) / 1000) * Number(speed.value),
    );
    last = now;
    show();
    if (time >= timeline.length) setPlaying(false);
    else requestAnimationFrame(tick);
  };
  const seek = (to: number): void => {
    time = to;
    begin();
    show();
  };

  play.addEventListener("click", () => {
    if (!playing && timeline && time >= timeline.length) time = 0;
    begin();
    app.choose({ about: "program" });
    setPlaying(!playing);
  });
  scrubber.addEventListener("input", () => {
    app.choose({ about: "program" });
    if (timeline) seek((Number(scrubber.value) / 1000) * timeline.length);
  });
  list.onPick((line) => {
    const beat = timeline?.beats.find((b) => b.line >= line);
    if (beat) seek((beat.from + beat.to) / 2);
  });

  picture.addOverlay((layer, view) => film?.drawWire(layer, view));

  let shownFor: unknown = null;
  /** It has given the picture back, and takes it again when the program is read on. */
  let rests = false;
  app.subscribe(({ proved, draft, about, stage }) => {
    // Elsewhere on the page the picture shows the plan again; the film waits where it is.
    const elsewhere = about !== "program" && about !== "proof" && !playing;
    if (elsewhere || stage !== null) {
      film?.rest();
      rests = film !== null;
    } else if (rests && about === "program" && proved === shownFor) {
      rests = false;
      begin();
      show();
    }
    if (proved === shownFor) return;
    shownFor = proved;
    setPlaying(false);
    film?.end();
    film = null;
    rests = false;
    time = 0;
    const of = proved?.timeline ?? null;
    const plan = draft?.plan;
    timeline = of;
    makeFilm =
      of && plan
        ? () => drawFilm(picture, of, plan, proved?.proof ?? null)
        : null;
    play.disabled = scrubber.disabled = speed.disabled = timeline === null;
    scrubber.value = "0";
    words.textContent = timeline
      ? `${filmText(timeline.length)} of film`
      : "nothing to replay";
  });
}
