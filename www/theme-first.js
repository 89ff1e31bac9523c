// Sets the chosen theme before the first paint; a module would come too late and flash the other one.
try {
  const theme = localStorage.getItem("wetframe theme");
  if (theme === "light" || theme === "dark") {
    document.documentElement.dataset.theme = theme;
  }
} catch {
  // Storage denied: the default theme stands, and the page says so once it has started (sitting/storage.js).
}
