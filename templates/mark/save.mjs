// The line at the top: where one is, undo and redo, and whether all is saved. The dialog for what the file says otherwise.

import { announce, button, el, link, redraw } from "./el.mjs";
import { bothCanStand, merged } from "./changes.mjs";
import { begunIn } from "./drafts.mjs";
import { noticed } from "./notice.mjs";
import { store } from "./store.mjs";
import { told } from "./told.mjs";

let drawn = "";
let heard = "saved";

function send(name) {
  document.dispatchEvent(new Event(name));
}

/** Draws the line into `host`. */
export function drawSaving(host) {
  const route = document.body.dataset.route;
  const stamp = JSON.stringify([route, location.hash, store.state, store.saving, begunIn(), noticed(), store.undoLabel, store.redoLabel, store.conflicts.size, store.refused.length]);
  if (stamp === drawn) return;
  drawn = stamp;
  redraw(host, el("div", { class: "where" }, where(route), steps()), saving(), toldNow(), ...store.refused.map(refusal));
  hear();
}

function where(route) {
  return route === "piece" ? null : link("#piece", "← The piece");
}

function steps() {
  const [back, forth] = [store.undoLabel, store.redoLabel];
  const step = (name, label, what) => button(name, () => send(what), { class: "plain", disabled: !label, data: { key: what, again: "" }, "aria-label": label ? `${name}: ${label}` : name, title: label ?? "" });
  return [step("Take back", back, "undo"), step("Do again", forth, "redo"), button("Keys", () => send("keys"), { class: "plain", data: { key: "keys" } })];
}

function saving() {
  const sign = { saved: begunIn().length ? "○" : "●", saving: "○", away: "▲", failed: "▲", full: "▲", shut: "▲", refused: "▲", stuck: "◆" }[store.state];
  const choose = store.conflicts.size ? button("Choose", () => send("choose"), { data: { key: "choose" } }) : null;
  return el("p", { class: `saving ${store.state}` }, el("span", { "aria-hidden": "true" }, sign), el("span", { id: "saving" }, words()), choose);
}

/** A mark that is begun and not saved is no part of "all saved". */
function words() {
  const begun = begunIn();
  if (store.state !== "saved" || !begun.length) return store.saving;
  return [begun.length === 1 ? "one mark is not saved yet: " : "marks not saved yet: ", ...begun.flatMap((no, n) => [n ? ", " : "", link(`#picture/${no}`, `picture ${no}`)])];
}

/** What was done just now. */
function toldNow() {
  const it = noticed();
  if (!it) return null;
  const there = it.photo && !(document.body.dataset.route === "picture" && location.hash.split(/[/?]/)[1] === String(it.photo));
  return el("p", { class: "told-now" }, it.text, there ? [" ", link(`#picture/${it.photo}`, "Open it")] : "");
}

/** "saving" is not said aloud: it comes and goes with every stroke. */
function hear() {
  if (store.state === heard || store.state === "saving") return;
  if (heard !== "saved" || store.state !== "saved") announce(store.saving);
  heard = store.state;
}

/** What the program would not write, with its reason; what was said stays to be read until it is let go. */
function refusal(it) {
  const changes = it.entries.flatMap((entry) => entry.changes);
  const [first] = it.complaints;
  return el(
    "div",
    { class: "refusal", role: "alert" },
    el("p", {}, el("b", {}, `Not written for picture ${it.photo}: `), it.message),
    first && !it.message.includes(first.message) ? el("p", {}, `${first.file}, line ${first.line}: ${first.message}`, first.help ? `. ${first.help}` : "") : null,
    el("p", { class: "quiet" }, "You said: ", changes.map((change) => told(change).mine).join("; ")),
    el("p", { class: "acts" }, link(`#picture/${it.photo}`, "Open the picture"), button("Try again", () => store.tryAgain(it)), button("Let it go", () => store.letGo(it))),
  );
}

// ---------------------------------------------------------------- conflict

/** Shows both sides of the first contradiction in words; the person chooses. */
export function showConflict(dialog) {
  const conflict = [...store.conflicts.values()][0];
  if (!conflict) return;
  const choices = conflict.stuck.map(() => "mine");
  const settle = () => {
    dialog.close();
    store.settle(conflict.photo, choices);
    if (store.conflicts.size) return showConflict(dialog);
    const place = document.querySelector("#picture:not([hidden]) .stage") ?? document.getElementById("place");
    place.focus({ preventScroll: true });
  };
  dialog.replaceChildren(
    el("h2", { id: "conflict-title" }, "The file says something else"),
    el("p", {}, `The text file of picture ${conflict.photo} was changed by somebody else, in another window or by hand, while you said something here. Nothing was written over. Choose:`),
    ...conflict.stuck.map((it, n) => question(it, n, choices)),
    el("p", { class: "acts" }, button("Save this choice", settle, { class: "first" }), button("Not now", () => dialog.close())),
  );
  dialog.showModal();
}

function question(stuck, n, choices) {
  const { change, theirs } = stuck;
  const both = change.do === "replace" && theirs ? { ...change, mark: merged(change.was, change.mark, theirs).mark } : change;
  const words = told(both, theirs);
  const option = (choice, name, text) => {
    const props = { type: "radio", name: `side-${n}`, checked: choice === "mine", on: { change: () => (choices[n] = choice) } };
    return el("label", { class: "side" }, el("input", props), el("span", {}, el("b", {}, name), text ? el("span", {}, text) : ""));
  };
  return el(
    "fieldset",
    {},
    el("legend", {}, words.about),
    option("mine", "Keep mine", words.mine),
    option("theirs", "Keep the file's", words.theirs),
    bothCanStand(stuck.change, stuck.theirs) ? option("both", "Keep both", "") : null,
  );
}
