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

/** Greatest distance between a drawn curve and the lines and arcs that stand in for it. */
export const CURVE_FIT = 0.0005;

/** Resolution of coordinates in a program, mm and inch: the usual least input increment of fine controls. */
export const PROGRAM_RESOLUTION = { mm: 0.0001, in: 0.00001 } as const;

/** Radii at the start and end of a written arc agree within this (stricter than the 0.002 mm of NISTIR 6556). */
export const ARC_RADIUS_AGREEMENT = 0.0005;

/** The finished edge may be passed by no more than this: truth 1 of the design. */
export const MAX_GOUGE = 0.0005;

/** Figures of a job nearer than this (mm) are the same figure: a thousandth of the finest resolution anybody asks for. */
export const JOB_NOISE = 1e-9;
