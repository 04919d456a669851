/** Light or dark: as the system has it, until the user says otherwise. */

const KEY = "kerfwright.theme";

export function startTheme(button: HTMLElement): void {
  const system = matchMedia("(prefers-color-scheme: dark)");
  const dark = (): boolean =>
    document.documentElement.dataset.theme === "dark" ||
    (document.documentElement.dataset.theme === undefined && system.matches);
  const show = (): void => {
    button.textContent = dark() ? "Light" : "Dark";
  };
  try {
    const kept = localStorage.getItem(KEY);
    if (kept === "dark" || kept === "light")
      document.documentElement.dataset.theme = kept;
  } catch {
    // A browser that keeps nothing follows the system.
  }
  button.addEventListener("click", () => {
    const next = dark() ? "light" : "dark";
    document.documentElement.dataset.theme = next;
    try {
      localStorage.setItem(KEY, next);
    } catch {
      // It holds for this visit.
    }
    show();
  });
  system.addEventListener("change", show);
  show();
}
