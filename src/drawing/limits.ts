/**
 * Limits against files that are broken or made to hurt: each far above any die plate, each small enough that a
 * file at the limit is still answered in seconds. Reaching one is an InputError, never a hang.
 */

/** Bytes of a drawing file. */
export const MAX_FILE_BYTES = 128 * 1024 * 1024;

/** Characters in one line of a DXF: the format's own limit for text is 2049, its hexadecimal data stays below. */
export const MAX_LINE_LENGTH = 65_536;

/** Numbers and names of entities that are kept: ten for each entity, some 300 MB. */
export const MAX_VALUES = 5_000_000;

export const MAX_LAYERS = 100_000;

/** Entities in the file, blocks too; and again after every block is expanded, with the insertions on the way. */
export const MAX_ENTITIES = 500_000;

/** Vertices, spline control points and the like in one entity. */
export const MAX_POINTS_PER_ENTITY = 200_000;

/** Blocks within blocks. */
export const MAX_BLOCK_DEPTH = 32;

/** Elements within elements of an SVG file. */
export const MAX_ELEMENT_DEPTH = 256;

/** Lines and arcs after every curve is fitted. */
export const MAX_SEGMENTS = 500_000;

/** Points of one spline: fitting costs a millisecond a point. */
export const MAX_SPLINE_POINTS = 20_000;

/** Pairs of arcs that one spline becomes: a noisy trace of 20,000 points takes 6,400, and 10,000 about a second. */
export const MAX_SPLINE_PAIRS = 10_000;

/** mm along the control points of one spline: a hundred metres of wild curve take seconds to fit. */
export const MAX_SPLINE_LENGTH = 100_000;

/** Splines above this degree do not come from drawing programs (the usual is 3, rarely up to 11). */
export const MAX_SPLINE_DEGREE = 25;

/** mm from the origin: beyond 10 km a double no longer holds a place to the nanometre. */
export const MAX_COORDINATE = 1e7;

/** Sides of a viewBox outside of this and its inverse are no size: a length over one of them may have no end. */
export const MAX_SPAN = 1e100;

/** Largest bulge: an arc over this lacks less than a millionth of its circle, which a radius of metres would not show. */
export const MAX_BULGE = 1e6;

/** mm across of one ellipse or spline: 10 m is beyond every machine, and a finely fitted curve beyond every patience. */
export const MAX_CURVE_SIZE = 10_000;

/** Largest weight of a spline over its smallest: beyond, whole stretches of it shrink into one parameter. */
export const MAX_WEIGHT_RATIO = 1e6;

/**
 * Pieces of work (a segment, a pair of outlines, some comparisons of ends) that each phase from chaining to nesting may
 * take, at least and for each line and arc: sound drawings take two or three a segment, and a million pieces a second.
 */
export const LEAST_PIECES = 1_000_000;
export const PIECES_PER_SEGMENT = 10;
