/** Long work says now and then that it goes on, so that its caller can show that, or end it by throwing. */

/** Called after so many small pieces of work, one if not said; what it throws ends the work and comes out as it is. */
export type OnStep = (pieces?: number) => void;

export const noStep: OnStep = () => {};

/** Passes on one call for every `n` pieces. */
export function oneIn(n: number, onStep: () => void): OnStep {
  let done = 0;
  return (pieces = 1) => {
    done += pieces;
    if (done < n) return;
    done = 0;
    onStep();
  };
}
