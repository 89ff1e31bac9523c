// Files in and out: choosing, dropping, saving. With the file picker where the browser has it (a chosen clip can then
// be opened again with one click later), with the plain input and a download everywhere else.

/** @typedef {{file: File, handle: FileSystemFileHandle|null}} Chosen */

const CLIP_ENDINGS = [".mp4", ".m4v", ".mov", ".webm", ".mkv"];
const SESSION_ENDING = ".wetframe";

/**
 * Whether a file is meant as a session: by its name, since its content is judged by the session reader itself.
 * @param {File} file
 */
export function isSessionFile(file) {
  return /\.(wetframe|json)$/i.test(file.name);
}

/**
 * Asks for files. Nothing chosen gives an empty list.
 * @param {{what: "clip"|"session"|"any", several?: boolean}} wish
 * @returns {Promise<Chosen[]>}
 */
export async function chooseFiles({ what, several = false }) {
  const endings = [...(what === "session" ? [] : CLIP_ENDINGS), ...(what === "clip" ? [] : [SESSION_ENDING, ".json"])];
  const picker = /** @type {any} */ (globalThis).showOpenFilePicker;
  if (picker) {
    try {
      /** @type {FileSystemFileHandle[]} */
      const handles = await picker({ multiple: several, id: what === "session" ? "session" : "clip", types: pickerTypes(what), excludeAcceptAllOption: false });
      return Promise.all(handles.map(async (handle) => ({ file: await handle.getFile(), handle })));
    } catch (error) {
      if (/** @type {Error} */ (error).name === "AbortError") {
        return []; // the coach closed the picker
      }
      if (/** @type {Error} */ (error).name !== "SecurityError" && /** @type {Error} */ (error).name !== "NotAllowedError") {
        throw error;
      }
      // The picker is barred here (an embedded page, for one): the plain input still works.
    }
  }
  return chooseByInput([...endings, ...(what === "session" ? [] : ["video/*"])], several);
}

/** @param {"clip"|"session"|"any"} what */
function pickerTypes(what) {
  const clip = { description: "Clips", accept: { "video/*": CLIP_ENDINGS } };
  const session = { description: "Sessions", accept: { "application/json": [SESSION_ENDING, ".json"] } };
  if (what === "clip") return [clip];
  if (what === "session") return [session];
  return [clip, session];
}

/**
 * @param {string[]} accept
 * @param {boolean} several
 * @returns {Promise<Chosen[]>}
 */
function chooseByInput(accept, several) {
  return new Promise((resolve) => {
    const input = document.createElement("input");
    input.type = "file";
    input.multiple = several;
    input.accept = accept.join(",");
    input.hidden = true;
    const done = () => {
      resolve(Array.from(input.files ?? [], (file) => ({ file, handle: null })));
      input.remove();
    };
    input.addEventListener("change", done, { once: true });
    input.addEventListener("cancel", done, { once: true });
    document.body.append(input);
    input.click();
  });
}

/**
 * What was dropped. Must be called at once in the drop event: the browser empties the list after it.
 * @param {DataTransfer} transfer
 * @returns {Promise<Chosen[]>}
 */
export async function droppedFiles(transfer) {
  const waiting = Array.from(transfer.items)
    .filter((item) => item.kind === "file")
    .map((item) => {
      const file = item.getAsFile();
      const asked = /** @type {any} */ (item).getAsFileSystemHandle;
      /** @type {Promise<any>} */
      const handle = asked ? asked.call(item).catch(() => null) : Promise.resolve(null); // no handle: the file itself is enough
      return { file, handle };
    });
  const chosen = await Promise.all(waiting.map(async ({ file, handle }) => ({ file, handle: await handle })));
  return chosen
    .filter(({ file, handle }) => file !== null && handle?.kind !== "directory")
    .map(({ file, handle }) => ({ file: /** @type {File} */ (file), handle }));
}

/**
 * Gives bytes to the coach as a file: through the picker where there is one, else as a download.
 * @param {{bytes: Uint8Array|string, name: string, type: string, description: string}} what
 * @returns {Promise<boolean>} false when the coach closed the picker
 */
export async function saveFile({ bytes, name, type, description }) {
  const picker = /** @type {any} */ (globalThis).showSaveFilePicker;
  if (picker) {
    try {
      /** @type {any} */
      const handle = await picker({ suggestedName: name, types: [{ description, accept: { [type]: [name.slice(name.lastIndexOf("."))] } }] });
      const writable = await handle.createWritable();
      await writable.write(bytes);
      await writable.close();
      return true;
    } catch (error) {
      if (/** @type {Error} */ (error).name === "AbortError") {
        return false;
      }
      if (/** @type {Error} */ (error).name !== "SecurityError" && /** @type {Error} */ (error).name !== "NotAllowedError") {
        throw error;
      }
      // The picker is barred here: a download still works.
    }
  }
  const address = URL.createObjectURL(new Blob([/** @type {BlobPart} */ (bytes)], { type }));
  const anchor = document.createElement("a");
  anchor.href = address;
  anchor.download = name;
  document.body.append(anchor);
  anchor.click();
  anchor.remove();
  // The download has begun once the click has been handled; a minute is kept for slow devices.
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
  return true;
}

/**
 * A file's name from a session's label and date, of letters that every system takes.
 * @param {string} label
 * @param {string} date
 * @param {string} rest  what it is and its ending: "session.wetframe"
 */
export function fileName(label, date, rest) {
  const words = label
    .normalize("NFKD")
    .replace(/\p{Mark}+/gu, "")
    .replace(/[^\p{Letter}\p{Number}]+/gu, "-")
    .replace(/^-+|-+$/g, "");
  return [words, date, rest].filter((part) => part !== "").join("_");
}
