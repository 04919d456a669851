/** Webs of kept metal between two outlines that are too thin to stand. */
import type { Finding } from "../../base/finding.js";
import { placeText, trimmed } from "../../base/numbers.js";
import { SAME_DRAWN, THINNEST_FIN } from "../../base/tolerance.js";
import type { Contour } from "../../geometry/contour.js";
import { type Facing, gapsUnder } from "../../geometry/gaps/narrowest.js";
import { pair } from "../../geometry/vec.js";
import type { Layout } from "../feature.js";

/** How many webs the message lists before it only counts. */
const LISTED = 4;

/** An edge seen from the metal that is kept, and its name. */
interface Edge extends Facing {
  readonly name: string;
}

/** All thin webs in one finding, thinnest first, as thick ones in the drawing's order; it stands at the first. */
export function thinWebs(layout: Layout): Finding[] {
  const webs = bodies(layout)
    .flatMap((edges) =>
      // What is drawn as wide as the thinnest fin is not thinner by its rounding.
      gapsUnder(edges, THINNEST_FIN - SAME_DRAWN).map(({ gap, between }) => ({
        ...gap,
        steps: Math.round(gap.width / SAME_DRAWN),
        between,
        names: between.map((i) => edges[i]?.name ?? ""),
      })),
    )
    .sort(
      (a, b) =>
        a.steps - b.steps ||
        a.between[0] - b.between[0] ||
        a.between[1] - b.between[1],
    );
  const [thinnest] = webs;
  if (!thinnest) return [];
  const listed = webs
    .slice(0, LISTED)
    .map(
      ({ width, at, names }) =>
        `${trimmed(width, 4)} mm between ${names.join(" and ")} at ${placeText(pair(at))}`,
    )
    .join(", ");
  const more =
    webs.length > LISTED ? ` and ${webs.length - LISTED} more like it` : "";
  const what =
    webs.length === 1
      ? "a web of kept metal is"
      : `${webs.length} webs of kept metal are`;
  return [
    {
      code: "web/thin",
      severity: "warning",
      message: `${what} thinner than ${THINNEST_FIN} mm, the thinnest fins that wires have cut: ${listed}${more}. It will bend or break while it is cut or when it is used; move the outlines apart, or draw them as one if nothing shall stand there`,
      where: pair(thinnest.at),
      ...(thinnest.names[0] !== BLOCK && { feature: thinnest.names[0] }),
    },
  ];
}

const BLOCK = "the block's edge";

/** For each connected body of kept metal its edges: a part with the openings in it, or the block with those in no part. */
function bodies({ features, stock }: Layout): Edge[][] {
  const inside = new Map<string | null, Edge[]>();
  const add = (body: string | null, edge: Edge): void => {
    const edges = inside.get(body);
    if (edges) edges.push(edge);
    else inside.set(body, [edge]);
  };
  const roles = new Map(features.map((f) => [f.id, f.role]));
  for (const { id, role, parent, contour } of features)
    if (role === "part") add(id, edgeOf(id, contour, 1));
    else if (parent === null || roles.get(parent) === "part")
      add(parent, edgeOf(id, contour, -1));
  if (stock) add(null, edgeOf(BLOCK, stock, 1));
  return [...inside.values()];
}

function edgeOf(name: string, { segments }: Contour, side: 1 | -1): Edge {
  return { name, segments, side };
}
