// The sheet of keys, and the switch for keys of a single letter.

import { button, el } from "./el.mjs";

const OFF = "asfound single keys off";

const EVERYWHERE = [
  ["Ctrl Z", "take the last step back"],
  ["Ctrl Shift Z, Ctrl Y", "do it again"],
  ["Esc", "one step out: picture, part, piece"],
  ["?", "this sheet"],
];

const PLACES = [
  ["Pictures not laid yet", [["T", "take the guesses without “?”, but for the pictures picked up"], ["Space", "picks up the one that has the focus"], ["Shift + click", "pick up all from the last one on"], ["V, P", "the view, the part of what is picked up"]]],
  ["On the drawing", [["arrow keys", "from part to part"], ["Enter", "open the part"]]],
  ["At a part", [["arrow keys", "from picture to picture, once one is chosen"], ["N, P", "next part, previous part"], ["O", "open the chosen picture"]]],
  ["What is it now?", [["1 to 7", "say the state, in the order of the buttons; goes on by itself"], ["0 to 4", "the level, where it is asked"], ["N, P", "next one, previous one"], ["+, -, 0", "both pictures closer, further, whole"]]],
];

/** Whether keys of a single letter work. */
export function singleKeys() {
  return localStorage.getItem(OFF) === null;
}

function setSingleKeys(on) {
  if (on) localStorage.removeItem(OFF);
  else localStorage.setItem(OFF, "off");
}

/** Opens the sheet. */
export async function showKeys(dialog) {
  const drawing = await import("./picture.mjs").then((it) => it.KEYS ?? []).catch(() => []);
  const places = drawing.length ? [...PLACES, ["In a picture", drawing]] : PLACES;
  const box = el("input", { type: "checkbox", id: "single-keys", checked: singleKeys(), on: { change: (event) => setSingleKeys(event.target.checked) } });
  dialog.replaceChildren(
    el("div", { class: "title-line" }, el("h2", { id: "keys-title" }, "Keys"), button("Close", () => dialog.close(), { autofocus: true })),
    el("div", { class: "sheet" }, table("Everywhere", EVERYWHERE), ...places.map(([name, keys]) => table(name, keys))),
    el("p", { class: "check" }, box, el("label", { for: "single-keys" }, "Keys of a single letter, number or sign work (with a screen reader or by voice, better off)")),
  );
  dialog.showModal();
}

function table(name, keys) {
  const lines = keys.flatMap(([key, what]) => [el("dt", {}, ...key.split(/(, | to )/).map((it) => (/^(, | to )$/.test(it) ? it : el("kbd", {}, it)))), el("dd", {}, what)]);
  return el("section", {}, el("h3", {}, name), el("dl", {}, ...lines));
}
