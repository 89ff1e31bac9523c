// Light for a bright poolside, dark for the evening: the system's wish until the coach chooses.

const KEY = "wetframe theme";

/** @returns {"light"|"dark"} the theme that is shown now */
export function shownTheme() {
  const chosen = document.documentElement.dataset.theme;
  if (chosen === "light" || chosen === "dark") {
    return chosen;
  }
  return matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light";
}

/**
 * @param {"light"|"dark"} theme
 * @returns {boolean} whether this device will remember it
 */
export function chooseTheme(theme) {
  document.documentElement.dataset.theme = theme;
  try {
    localStorage.setItem(KEY, theme);
    return true;
  } catch {
    return false; // storage denied: the choice holds for this tab, and the caller may say so
  }
}

/** @param {() => void} changed  called when the system's wish changes */
export function watchSystemTheme(changed) {
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", changed);
}
