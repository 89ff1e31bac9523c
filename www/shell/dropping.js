// Files dropped anywhere on the page.

/**
 * @param {{cover: HTMLElement, receive: (transfer: DataTransfer) => void}} parts
 *   `cover` is shown while files are held over the page
 */
export function watchDropping({ cover, receive }) {
  let depth = 0;
  const holdsFiles = (/** @type {DragEvent} */ event) => event.dataTransfer?.types.includes("Files") ?? false;
  const showCover = (/** @type {boolean} */ isShown) => {
    cover.hidden = !isShown;
  };
  window.addEventListener("dragenter", (event) => {
    if (!holdsFiles(event)) return;
    depth += 1;
    showCover(true);
  });
  window.addEventListener("dragleave", (event) => {
    if (!holdsFiles(event)) return;
    depth = Math.max(0, depth - 1);
    if (depth === 0) showCover(false);
  });
  window.addEventListener("dragover", (event) => {
    if (holdsFiles(event)) event.preventDefault();
  });
  window.addEventListener("drop", (event) => {
    depth = 0;
    showCover(false);
    if (!holdsFiles(event) || !event.dataTransfer) return;
    event.preventDefault();
    receive(event.dataTransfer);
  });
}
