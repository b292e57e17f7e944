// The row of pictures in which an opened one stands: the one before, the next, the next that waits; and the keys for it.

import { announce, isTyping } from "./el.mjs";
import { singleKeys } from "./keys.mjs";
import { address, isLaid } from "./naming.mjs";
import { store } from "./store.mjs";

/** The pictures that are gone through: those of the shoot that is shown, if this is one of them. */
export function rowOf(desk) {
  const shown = store.photos();
  return shown.some((it) => it.no === desk.no) ? shown : store.walk.photos;
}

/** The next picture that is not laid, after this one and then from the start. */
export function nextWaiting(desk) {
  const row = rowOf(desk);
  const here = row.findIndex((it) => it.no === desk.no);
  return [...row.slice(here + 1), ...row.slice(0, here)].find((it) => !isLaid(it)) ?? null;
}

/** Hears the keys of an opened picture; gives back what ends it. */
export function hear(desk) {
  const hide = (event) => desk.stage.classList.toggle("bare", hides(event));
  const key = (event) => pageKey(desk, event);
  const all = [["keydown", key], ...["keydown", "keyup", "blur"].map((name) => [name, hide])];
  for (const [name, act] of all) addEventListener(name, act);
  return () => all.forEach(([name, act]) => removeEventListener(name, act));
}

/** A held H hides the marks, so that what lies under them is seen. */
function hides(event) {
  const held = event.type === "keydown" && event.key.toLowerCase() === "h" && !event.ctrlKey && !event.metaKey && !event.altKey;
  return held && singleKeys() && !isTyping(event.target);
}

function pageKey(desk, event) {
  if (event.defaultPrevented || event.ctrlKey || event.altKey || event.metaKey || isTyping(event.target) || document.querySelector("dialog[open]")) return;
  const waits = event.key.toLowerCase() === "n" && singleKeys() && !desk.form && !desk.laying ? nextWaiting(desk) : null;
  const by = { PageUp: -1, PageDown: 1 }[event.key];
  if (!by && !waits) return;
  event.preventDefault();
  const list = rowOf(desk);
  const to = waits ?? list[list.findIndex((it) => it.no === desk.no) + by];
  if (to) location.hash = address(to.no, waits ? null : desk.part);
  else announce(by < 0 ? "This is the first picture" : "This is the last picture");
}
