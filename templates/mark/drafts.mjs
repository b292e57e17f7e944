// Words of marks that are begun and not saved, by picture: whoever goes elsewhere finds them again there.

import { store } from "./store.mjs";

/** @type {Map<number, any>} */
const begun = new Map();

/** Keeps the draft of a picture; `null` when nothing is begun in it any more. */
export function keepDraft(no, draft) {
  const was = begun.has(no);
  if (draft) begun.set(no, draft);
  else begun.delete(no);
  if (was !== Boolean(draft)) store.show(store.shown);
}

/** The draft of a picture, or `null`. */
export function draftOf(no) {
  return begun.get(no) ?? null;
}

/** The pictures in which words are begun. */
export function begunIn() {
  return [...begun.keys()];
}

addEventListener("beforeunload", (event) => {
  if (begun.size) event.preventDefault();
});
