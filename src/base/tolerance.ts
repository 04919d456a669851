/**
 * Every tolerance of the house, in mm unless said, each with its reason. Nowhere else stands a bare 1e-n.
 * Position, chaining, curve fitting, writing and proof are different questions: none shares a constant.
 */

/** Two points nearer than this are the same place: well above double rounding at 1 m (1e-13), well below any grid. */
export const SAME_POINT = 1e-7;

/** Two directions that differ by less (radians) are tangent: 1e-6 rad moves a point at 100 mm by 0.1 µm. */
export const SAME_DIRECTION = 1e-6;

/** Ends of drawn entities nearer than this are joined. At 0.1 mm real drawings grow false branches. */
export const CHAIN_GAP = 0.01;

/** Chords that lie no further inside a curve than this (mm) are likely to stand for it: ten times a usual chord tolerance. */
export const FLATTENED = 0.02;

/** Resolution of coordinates in a program, mm and inch: the usual least input increment of fine controls. */
export const PROGRAM_RESOLUTION = { mm: 0.0001, in: 0.00001 } as const;

/** Radii at the start and end of a written arc agree within this (stricter than the 0.002 mm of NISTIR 6556). */
export const ARC_RADIUS_AGREEMENT = 0.0005;

/** The finished edge may be passed by no more than this: truth 1 of the design. */
export const MAX_GOUGE = 0.0005;

/** Figures of a job nearer than this (mm) are the same figure: a thousandth of the finest resolution anybody asks for. */
export const JOB_NOISE = 1e-9;

/** A read arc whose radii differ by more is refused: no control would run it (NISTIR 6556, 0.002 mm). */
export const ARC_RADIUS_REFUSED = 0.002;

/** A slit's end that stops this far short of an edge or a hole's middle was drawn to reach it: twice the gap of ends that are joined. */
export const AT_EDGE = 0.02;

/** Drawn things nearer than this are drawn twice, or too short to be there: 10 nm can be neither cut nor measured. */
export const SAME_DRAWN = 1e-5;

/**
 * Pieces of lines and arcs that lie no further off each other run along one another: figures of four decimals put two
 * pieces of one slanted line up to 0.14 µm apart. No machine tells them apart, and no outline has walls so close.
 */
export const SAME_COURSE = 1.5e-4;

/** …and no further than this share of the shorter one's length: a thousandth of a radian is no other direction. */
export const SAME_COURSE_SHARE = 1e-3;

/**
 * How far lines and arcs may run from a drawn curve, unless the job says otherwise. A program's rounding may shift its
 * path by 1.5 steps of 0.1 µm (`COARSE_STEPS`); together that is 0.3 µm, the same as a trace of the program is allowed
 * (`TRACED`), and 0.2 µm under `MAX_GOUGE`. Since the error goes with the cube of an arc's length, 0.5 µm would save
 * only a third of the arcs.
 */
export const CURVE_FIT = 0.00015;

/** An entity whose heights differ by more is not a flat outline seen from above. */
export const OUT_OF_PLANE = 0.01;

/** Facing walls that close by less than this (radians, about 1°) make a slot or a web even if they never run parallel. */
export const NEARLY_PARALLEL = 0.02;

/** Slack of the second-order test for a narrowest place, relative: parallel walls stand exactly on its edge. */
export const PARALLEL_SLACK = 1e-6;

/** An inside corner that turns by less (radians) is not sharp: a wire of 0.36 mm leaves under 0.06 µm in it. */
export const SHARP_TURN = 0.05;

/**
 * Rounding to the writing grid may bring a path nearer to the finished edge by this, where the grid has a place that does
 * not: with `CURVE_FIT`, and half of this for an arc written as a line, it stays under `MAX_GOUGE`. The usual grids
 * move a path by less.
 */
export const GRID_GOUGE = 0.0002;

/** mm by which a planned arc may bulge to be written as a line on a grid of that step: rounding would spoil it. */
export const flatBulge = (step: number): number =>
  Math.min(step / 3, GRID_GOUGE / 2);

/** Radius (mm) from which an arc is written as chords: eight digits, four of them after the point, are what controls take. */
export const LARGEST_WRITTEN_RADIUS = 99_999;

/**
 * mm from the origin up to which a program may reach: eight digits, four of them after the point, are what controls
 * take, and no machine is so large. What lies beyond has most often lost its decimal point. Arcs' centres may lie farther.
 */
export const FARTHEST_WRITTEN = 9_999.9999;

/** What double arithmetic may leave of a difference that is 0, relative to the values: a few thousand roundings. */
export const ROUNDING = 1e-12;

/** Angles in files carry 7 digits or more: less than this (rad, or share of a turn) short of a full turn is one. */
export const TURN_ROUNDING = 1e-7;

/** …and this share of a turn more than one is one, as 2π with five digits (6.2832) or 360.001° have it. */
export const TURN_OVERSHOOT = 3e-6;

/** Step of figures in a wire-path DXF, in its own unit and in degrees: a nanometre, and never an exponent in the text. */
export const WIRE_DXF_STEP = 1e-6;

/** A move of a program follows an outline on the pass whose offset it keeps to within this: far under what passes differ by. */
export const FOLLOWING = 0.002;

/** A pass has reached a place of the outline when its path runs within this of where it should. */
export const TRACED = 0.0003;

/** …but never asks for more than the program's own grid can give: this many steps of it. */
export const TRACED_STEPS = 1.5;

/** A wire of an offset fits where nothing is nearer than the offset less this: room for rounding of doubles only. */
export const REACHABLE = 1e-6;

/**
 * Stretches shorter than this are the joints between moves, not something left out: where two walls meet under a
 * shallow angle, `REACHABLE` alone moves the end of what a wire can reach by some tenths of a µm.
 */
export const SLIVER = 0.001;

/** A web of metal thinner than this holds nothing: a few µm break by themselves, and no kerf is true to less. */
export const HOLDING_WEB = 0.005;

/**
 * A tab thinner than this holds no piece: the thinnest fins of tool steel that wires have cut were 0.117 mm, and those
 * bent or broke when longer than 2 mm (Ahmed et al., Micromachines 12 (2020) 1).
 */
export const THINNEST_FIN = 0.117;

/** Chord error when kerfs become polygons: a thousandth of their width changes no piece. */
export const KERF_CHORD = 0.002;

/** Grid of those polygons. */
export const KERF_GRID = 0.0001;

/** An inside corner that shifts the compensated path by less than this is taken for tangent: half a step of the finest grid. */
export const FLAT_CORNER = 0.00005;

/**
 * Strokes begin and end no nearer to the ends of a drawn stretch than this, or in its middle: of a shorter stub a control
 * that offsets by itself might find no parallel, and a wire sees no difference in where it comes to the outline.
 */
export const STUB = 0.02;

/**
 * Steps of the writing grid by which rounding may shift a written path in all: 0.71 for an end, as much for an arc. Ends
 * that a coarse grid puts on the free side lie farther off now and then.
 */
export const COARSE_STEPS = 1.5;

/**
 * mm of other cuts after which nobody who came to a stop still stands there: half an hour or more at the usual feeds of
 * 1 to 3 mm/min. Common practice, no source.
 */
export const WAITING = 100;

/** Threaded within this of where it was threaded before, the wire goes through the same hole: the play of any guide. */
export const SAME_HOLE = 0.02;

/** rad: an outline that turns by more goes back the way it came, under 0.6° of a half turn: nothing is drawn like that. */
export const TURNED_BACK = Math.PI - 0.01;

/** Fractions along a segment that differ by less are one place: a nanometre on a metre. */
export const SAME_FRACTION = 1e-9;
