// What was done just now, told to who looks and to who listens: it stands in the line at the top until the next step.

import { announce } from "./el.mjs";
import { store } from "./store.mjs";

let last = null;

const now = () => JSON.stringify([location.hash, store.undoLabel, store.redoLabel]);

/** Tells `text`; `photo` is the picture in which it happened, to go there. */
export function notice(text, photo = null) {
  announce(text);
  last = { text, photo, at: now() };
  store.show(store.shown);
}

/** What is told now: {text, photo}, or `null`. */
export function noticed() {
  return last?.at === now() ? last : null;
}
