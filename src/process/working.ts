/** What a job takes besides burning, and how far off the burning itself may be. Minutes. */

export interface Working {
  /** min to thread the wire, once. */
  readonly thread: number;
  /** min somebody is busy at a stop. */
  readonly stop: number;
  /** min to clamp, square and set zero, once a job. */
  readonly setup: number;
  /** Area rates turn out between these multiples of the table's. */
  readonly rateRange: readonly [low: number, high: number];
  readonly source: string;
}

export const WORKING: Working = {
  thread: 1.5,
  stop: 5,
  setup: 30,
  rateRange: [0.67, 1.67],
  source:
    "common practice, no source; range: 100-250 around 150 mm²/min in steel 40-60 mm thick",
};
