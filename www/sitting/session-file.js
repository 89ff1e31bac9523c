// The bytes of a chosen session file, refused unread where it is too large to be one. Not for: what is in it.

import { PageTrouble } from "./trouble.js";

/** A session file larger than this is refused unread: ten thousand marks take about 2 MB. */
const LARGEST_SESSION_FILE_BYTES = 64 * 1024 * 1024;

/**
 * @param {File} file
 * @returns {Promise<Uint8Array>}
 */
export async function bytesOfSession(file) {
  if (file.size > LARGEST_SESSION_FILE_BYTES) {
    throw new PageTrouble(
      "session_file_too_large",
      `${file.name} is ${Math.round(file.size / 1e6)} MB; a session file with ten thousand marks is about 2 MB, so this is something else.`,
      "Choose the .wetframe file. A clip is added as a clip.",
      file.name,
    );
  }
  return new Uint8Array(await file.arrayBuffer());
}
