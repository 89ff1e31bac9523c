// What another view asks the marking view to open when it comes next: once, and only then.

let isAskedFor = false;

/** The next marking view opens with the choice of what to mark again. */
export function askToMarkAgain() {
  isAskedFor = true;
}

/** Whether that was asked for; the wish is then fulfilled. */
export function takeWishToMarkAgain() {
  const was = isAskedFor;
  isAskedFor = false;
  return was;
}
