// The session's file into the coach's hands: the one way out that always works, storage or not.

import { fileName, saveFile } from "../sitting/files.js";

/**
 * @param {import("../sitting/desk.js").Desk} desk
 * @param {import("../sitting/store.js").Store} store
 * @returns {Promise<boolean>} whether it was saved
 */
export async function saveSessionFile(desk, store) {
  const { athlete, date } = store.openSession();
  const saved = await saveFile({
    bytes: store.toFile(),
    name: fileName(athlete.label, date, "session.wetframe"),
    type: "application/json",
    description: "wetframe session",
  });
  if (saved) {
    desk.noteHandedOver();
  }
  return saved;
}
