/** Milliseconds after which a page that nobody sees, and that is therefore not painted, is no longer waited for. */
const UNSEEN_MS = 250;

/** Resolves once what is drawn now has been painted. */
export function painted(): Promise<void> {
  return new Promise((resolve) => {
    const unseen = setTimeout(resolve, UNSEEN_MS);
    requestAnimationFrame(() => {
      clearTimeout(unseen);
      // A frame is painted right after what it asks for has run: a task of its own comes after that.
      setTimeout(resolve);
    });
  });
}
