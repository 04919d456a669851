/** Draws from a seeded stream of numbers in [0, 1). */
export type Random = () => number;

export const between = (rnd: Random, low: number, high: number): number =>
  low + (high - low) * rnd();

export const whole = (rnd: Random, low: number, high: number): number =>
  Math.floor(between(rnd, low, high + 1));

export const pick = <T>(rnd: Random, from: readonly T[]): T =>
  from[Math.floor(rnd() * from.length)] as T;

export const maybe = <T extends object>(
  rnd: Random,
  share: number,
  what: T,
): Partial<T> => (rnd() < share ? what : {});
