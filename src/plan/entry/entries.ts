/**
 * All places at which the wire gets in to cut one feature: for most one, with the tab behind it; one for each piece
 * where a neck parts the slug; several for a piece too heavy for one tab. A threaded wire cannot jump a tab, so every
 * tab has a start hole and a lead-in of its own.
 */
import type { Finding } from "../../base/finding.js";
import { placeText, trimmed } from "../../base/numbers.js";
import {
  areaMoments,
  type Contour,
  contourArea,
  windingNumber,
} from "../../geometry/contour.js";
import { dot, pair, sub, unit, type Vec } from "../../geometry/vec.js";
import type { Marks } from "../cuts/cuts.js";
import { type Job, roughKerf } from "../job/job.js";
import { noEntry, noTab } from "../plan-findings.js";
import { insideKerf, kerfDepth, partedWaste } from "../slug/slug.js";
import type { Surroundings } from "../surroundings.js";
import { widestTab } from "../tab/proper.js";
import { placeMarks, type TabSpan } from "../tab/tab.js";
import { offSpot, type Spot, spotPoint, type Track } from "../track/track.js";
import { type HandPlace, placeByHand, refusal, tabsByHand } from "./by-hand.js";
import { type Entry, findEntry, type Site } from "./entry.js";
import { entryFromEdge, fromEdgeWanted } from "./from-edge.js";
import {
  entryFromDrawnHole,
  entryFromHandHole,
  entryFromNeighbour,
} from "./given-hole.js";
import {
  type OutlineProfile,
  placeOf,
  placingScore,
  spotAt,
} from "./placing-score.js";
import { LEAST_WEB } from "./stand-off.js";
import { sharesWaste, type WayIn, wayInFrom } from "./ways-in.js";

export interface Placed {
  readonly entry: Entry;
  readonly marks: Marks;
  readonly tab: TabSpan;
}

export type Entries =
  /** In the order in which the track meets them. */
  | { readonly ok: true; readonly placed: readonly Placed[] }
  | { readonly ok: false; readonly finding: Finding };

/** One feature on its way to its entries. */
interface Ground {
  readonly profile: OutlineProfile;
  readonly self: number;
  readonly around: Surroundings;
  readonly job: Job;
  /** What the rough leaves of an opening's inside but for crumbs, a contour each; for a part nothing has to be told apart. */
  readonly pieces: readonly Contour[];
  readonly ways: readonly WayIn[];
}

type Seat = HandPlace & { readonly ok: true };

/** `tab` as it is where nobody decided by hand; `ways` lead in to the features that are placed already. */
export function placeEntries(
  profile: OutlineProfile,
  self: number,
  around: Surroundings,
  job: Job,
  tab: TabSpan,
  ways: readonly WayIn[],
): Entries {
  const pieces = piecesOf(profile, job);
  const ground = { profile, self, around, job, pieces, ways };
  const { id } = profile.track.feature;
  const wishes = tabsByHand(id, job, around.tabMarks[self] ?? []);
  const hands = (wishes.length > 0 ? wishes : [null]).map((wish) => ({
    wish,
    hand: placeByHand(profile, around, job, wish, tab),
  }));
  // As the track meets them, so that a start hole by hand is the first one's in the plan too.
  const along = ({ hand }: (typeof hands)[number]): number =>
    hand.ok && hand.lead ? placeOf(profile, hand.lead) : 0;
  hands.sort((a, b) => along(a) - along(b));
  const placed: Placed[] = [];
  const place = (seat: Seat, piece: number | null): Finding | null => {
    const one = placeEntry(ground, seat, piece, placed);
    if ("code" in one) return one;
    placed.push(one);
    return null;
  };
  for (const { wish, hand } of hands) {
    if (!hand.ok) return hand;
    if (wish && hand.lead && crowded(ground, hand.lead, hand.tab.span, placed))
      return {
        ok: false,
        finding: refusal(id, job, "tab", wish.at, CROWDED),
      };
    const fault = hand.lead && place(hand, null);
    if (fault) return { ok: false, finding: fault };
  }
  const byHand = placed.length > 0;
  const parted = ground.pieces.length > 1;
  for (let piece = 0; piece < Math.max(1, ground.pieces.length); piece++) {
    const has = placed.some((p) => p.marks.piece === piece);
    const more = byHand ? (has ? 0 : 1) : parted ? 1 : tab.count;
    for (let k = 0; k < more; k++) {
      const seat: Seat = { ok: true, lead: null, tab };
      const fault = place(seat, parted ? piece : null);
      if (fault)
        return {
          ok: false,
          finding: parted ? noEntryToPiece(ground, piece) : fault,
        };
    }
  }
  placed.sort(
    (a, b) => placeOf(profile, a.marks.lead) - placeOf(profile, b.marks.lead),
  );
  return { ok: true, placed };
}

/** A piece of a slug that would fall, since it has no tab of its own. */
function noEntryToPiece(
  { profile, pieces, job }: Ground,
  piece: number,
): Finding {
  const { area, centroid } = areaMoments(pieces[piece] as Contour);
  const all = insideKerf(profile.track.contour, job).reduce(
    (sum, c) => sum + contourArea(c),
    0,
  );
  const { feature } = profile.track;
  return {
    code: "slug/parted",
    severity: "error",
    message: `${feature.id}: the rough, whose kerf reaches ${trimmed(kerfDepth(job), 3)} mm into the waste, parts the slug into ${pieces.length} pieces, and the one about ${placeText(pair(centroid))}, ${trimmed(area, 3)} mm², has no room for a start hole and a tab: it would fall with nobody there. Take a thinner wire, a smaller startHoles.diameter or a shorter tabs.length, or let the inside be cut away whole with tabs.minSlugArea of ${trimmed(Math.ceil(all + 0.1), 0)} mm² or more`,
    where: pair(centroid),
    feature: feature.id,
  };
}

/** Entry and marks for one tab; `piece` (null: whichever) that it has to hold, `before` the tabs that are placed. */
function placeEntry(
  ground: Ground,
  { lead: fixed, tab }: Seat,
  piece: number | null,
  before: readonly Placed[],
): Placed | Finding {
  const { profile, self, around, job } = ground;
  const { track } = profile;
  const { span } = tab;
  const site: Site = {
    profile,
    track,
    self,
    around,
    job,
    span,
    leastTab: 0,
    fixed,
    judge: (lead) => judged(ground, lead, span, piece, before),
    ways: [
      ...ground.ways.filter((w) => sharesWaste(w.feature, track.feature)),
      ...before.map(({ entry }) => wayIn(track, entry)),
    ],
  };
  const most = widestTab(site, span - roughKerf(job));
  const sites = PROPER.map(
    (share): Site => ({ ...site, leastTab: share * most }),
  );
  const wish = job.features[track.feature.id]?.startHole;
  const given =
    wish && before.length === 0
      ? firstOf(
          sites,
          (at) => entryFromHandHole(at, wish),
          (g) => g.ok,
        )
      : null;
  if (given && !given.ok) return given.finding;
  const edge =
    before.length === 0 && fromEdgeWanted(track.feature, around.layout, job)
      ? firstOf(sites, entryFromEdge, (e) => e.ok && e.entry !== null)
      : null;
  if (edge && !edge.ok) return edge.finding;
  const entry =
    given?.entry ??
    edge?.entry ??
    firstOf(sites, entryFromDrawnHole) ??
    entryFromNeighbour(sites[0] as Site) ??
    firstOf(sites, findEntry);
  if (!entry)
    return noEntry(track.feature, track, job, tab.length, before.length);
  const marks = placeMarks(track, entry, around, job, tab);
  if (!marks) return noTab(track.feature, track, entry);
  const holds = piece ?? pieceAt(ground, entry.lead, span);
  return { entry, tab, marks: { ...marks, piece: Math.max(0, holds) } };
}

/**
 * What a tab has to measure of its length, or of the most there is along this outline: about a corner or beside a fillet
 * it holds by less than it seems, and one such stands only where there is no better place. Common practice, no source.
 */
const PROPER = [0.9, 0.6, 0];

/** What is found at the first site at which it is good, or at the last of them. */
function firstOf<T>(
  sites: readonly Site[],
  find: (site: Site) => T,
  isGood: (found: T) => boolean = (found) => found !== null,
): T {
  const [site, ...others] = sites as readonly [Site, ...Site[]];
  const found = find(site);
  return isGood(found) || others.length === 0
    ? found
    : firstOf(others, find, isGood);
}

export function wayIn(track: Track, { hole, lead }: Entry): WayIn {
  return wayInFrom(track.feature, hole, spotPoint(track, lead));
}

/** Score of a tab's place beside the tabs there are: on its own piece, clear of them, and across from them. */
function judged(
  ground: Ground,
  lead: Spot,
  span: number,
  piece: number | null,
  before: readonly Placed[],
): number | null {
  const { profile } = ground;
  const score = placingScore(profile, lead, span);
  if (score === null || before.length === 0) {
    if (score === null || piece === null) return score;
    return pieceAt(ground, lead, span) === piece ? score : null;
  }
  const own = pieceAt(ground, lead, span);
  if (piece !== null && own !== piece) return null;
  if (crowded(ground, lead, span, before)) return null;
  let across = 1;
  for (const { marks } of before) {
    if (piece === null)
      across = Math.min(
        across,
        (1 -
          dot(
            fromCentre(profile, lead, span),
            fromCentre(profile, marks.lead, span),
          )) /
          2,
      );
  }
  return score * across;
}

/** Whether a tab would stand so near to one of those there are that the cuts between them have no room. */
function crowded(
  { profile, job }: Ground,
  lead: Spot,
  span: number,
  before: readonly Placed[],
): boolean {
  const apart = 2 * (span + job.lead.overlap) + APART;
  return before.some(({ marks }) => {
    const way = Math.abs(placeOf(profile, lead) - placeOf(profile, marks.lead));
    return Math.min(way, profile.round - way) < apart;
  });
}

const CROWDED =
  "another tab is so near that there is no room for cuts between them; move them apart, or leave one out";

/** mm of outline between two tabs at least, beside their overlaps. */
const APART = 2;

/** Direction from the piece's centre of gravity to the middle of a tab. */
function fromCentre(profile: OutlineProfile, lead: Spot, span: number): Vec {
  const at = spotPoint(profile.track, middleOf(profile, lead, span));
  return unit(sub(at, profile.cg));
}

function middleOf(profile: OutlineProfile, lead: Spot, span: number): Spot {
  return spotAt(profile, placeOf(profile, lead) - span / 2);
}

function piecesOf({ track }: OutlineProfile, job: Job): Contour[] {
  return track.feature.role === "part" ? [] : partedWaste(track.contour, job);
}

/** Which piece a tab holds: what lies behind its middle once the rough has passed; -1: nothing. */
function pieceAt(
  { profile, job, pieces }: Ground,
  lead: Spot,
  span: number,
): number {
  const middle = middleOf(profile, lead, span);
  const inside = offSpot(profile.track, middle, kerfDepth(job) + LEAST_WEB);
  return pieces.findIndex((c) => windingNumber(c, inside) !== 0);
}
