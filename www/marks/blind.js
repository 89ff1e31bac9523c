// Whether the coach is in the middle of marking again, so that the first marks stay out of sight: in this view, in
// the others, and after a reload. Kept for this tab only; what was answered is in the session.
//
// Not for: what is asked (Rust) or how it looks (remark.js).

const KEY = "wetframe marking again";

/** @type {{session: string, remarking: number} | null} */
let going = kept();

/** @returns {{session: string, remarking: number} | null} */
function kept() {
  try {
    const text = sessionStorage.getItem(KEY);
    const [session, remarking] = text?.split(" ") ?? [];
    return session && Number(remarking) > 0 ? { session, remarking: Number(remarking) } : null;
  } catch (error) {
    console.info("This browser keeps nothing for a tab; a reload stops marking again until it is gone on with.", error);
    return null;
  }
}

/** @param {typeof going} next */
function keep(next) {
  going = next;
  try {
    if (next) sessionStorage.setItem(KEY, `${next.session} ${next.remarking}`);
    else sessionStorage.removeItem(KEY);
  } catch (error) {
    console.info("This browser keeps nothing for a tab; a reload stops marking again until it is gone on with.", error);
  }
}

/**
 * The second marking of the open clip that is going on here; null while none is.
 * @param {import("../sitting/store.js").Store} store
 * @returns {number | null}
 */
export function blindPass(store) {
  if (!going || store.readOnly || going.session !== store.id) return null;
  const { remarking } = going;
  return store.remarkings().some((each) => each.id === remarking && !each.finished) ? remarking : null;
}

/** From now on the first marks are out of sight. @param {import("../sitting/store.js").Store} store @param {number} remarking */
export function goBlind(store, remarking) {
  if (store.id !== null) keep({ session: store.id, remarking });
}

export function seeAgain() {
  keep(null);
}
