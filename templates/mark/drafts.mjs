// Marks that are begun and not saved, by picture: whoever goes elsewhere, or opens the page anew, finds them again there.

import { store } from "./store.mjs";

/** Keeps the draft of a picture; `null` when nothing is begun in it any more. */
export function keepDraft(no, draft) {
  const was = draftOf(no) !== null;
  store.keepDraft(no, draft);
  if (was !== Boolean(draft)) store.show(store.shown);
}

/** The draft of a picture, or `null`. */
export function draftOf(no) {
  return store.drafts.find((it) => it.photo === Number(no))?.draft ?? null;
}

/** The pictures in which a mark is begun. */
export function begunIn() {
  return store.drafts.map((it) => it.photo);
}

addEventListener("beforeunload", (event) => {
  if (store.drafts.length) event.preventDefault();
});
