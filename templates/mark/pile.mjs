// Pictures that are not laid yet: what each may be, taken at one press or laid by hand.

import { announce, button, count, el, sync, thumb } from "./el.mjs";
import { chooser } from "./choose.mjs";
import { isLaid } from "./naming.mjs";
import { notice } from "./notice.mjs";
import { store } from "./store.mjs";

const PAGE = 48;

/** Views of a small place, which any part may be seen in. */
const CLOSE = ["defect_close", "defect_scale", "part_close"];

/** How many views are offered at one press. */
const LIKELY = 6;

/** Numbers of the pictures picked up. */
const inHand = new Set();
let last = null;
let lastPicked = null;

/** Pictures that were laid on a part, but whose view is not said: asked once, right then. */
let asked = null;

/** Pictures of the shoot shown that are not laid yet. */
export function notLaid() {
  return store.photos().filter((it) => !isLaid(it));
}

/** Numbers of the pictures picked up. */
export function picked() {
  return [...inHand];
}

/** Numbers of the pictures whose view is asked: those still laid there, of which none is said. */
export function askedOf() {
  const open = ({ said }) => said.parts.includes(asked.part) && !said.view;
  return (asked?.numbers ?? []).filter((no) => open(store.photo(no)));
}

/** Puts all pictures down again; says whether there were any. */
export function putDown() {
  const any = inHand.size > 0 || askedOf().length > 0;
  inHand.clear();
  asked = null;
  if (any) store.show(store.shown);
  return any;
}

/** Picks a picture up or puts it down; with `range` all from the last one on. */
function toggle(no, range = false) {
  const row = notLaid().map((it) => it.no);
  const [from, to] = [row.indexOf(lastPicked), row.indexOf(no)];
  const all = range && from >= 0 ? row.slice(Math.min(from, to), Math.max(from, to) + 1) : [no];
  const up = !inHand.has(no);
  for (const it of all) if (up) inHand.add(it); else inHand.delete(it);
  [lastPicked, last, asked] = [no, null, null];
  steady(no, () => store.show(store.shown));
}

/** What comes above a picture when it is picked up does not move it from under the hand. */
function steady(no, act) {
  const top = () => document.querySelector(`[data-key="pick ${no}"]`)?.getBoundingClientRect().top;
  const before = top();
  act();
  requestAnimationFrame(() => scrollBy(0, (top() ?? before) - before));
}

/** All between the first and the last one that is picked up. */
function pickBetween() {
  const row = notLaid().map((it) => it.no);
  const at = picked().map((it) => row.indexOf(it)).filter((it) => it >= 0);
  for (const no of row.slice(Math.min(...at), Math.max(...at) + 1)) inHand.add(no);
  store.show(store.shown);
}

/** The changes that say of `photo` that it shows `part`, in `view` if one is given. */
function laying(photo, part, view = null) {
  const { said } = photo;
  const changes = said.parts.includes(part) ? [] : [{ do: "parts", was: said.parts, to: [...said.parts, part] }];
  if (view && view !== said.view) changes.push({ do: "view", was: said.view, to: view });
  return changes;
}

/** Lays pictures onto a part. */
export function lay(numbers, part) {
  const { label } = store.part(part);
  const all = numbers.map((no) => ({ photo: no, changes: laying(store.photo(no), part) }));
  const text = `${numbers.length === 1 ? `picture ${numbers[0]}` : count(numbers.length, "picture")} laid on ${label}`;
  if (store.changeAll(all, text)) announce(`${text}. Ctrl Z takes it back.`);
  return text;
}

/** Whether a part that is chosen on the drawing is where pictures are laid: only beside the pictures themselves. */
export function mayLay() {
  return inHand.size > 0 && document.body.dataset.route === "piece";
}

/** A click on a part while pictures are picked up lays them there; else it goes on to the part. */
export function layOn(part, event) {
  if (!mayLay()) return;
  event.preventDefault();
  const numbers = picked();
  inHand.clear();
  last = lay(numbers, part);
  const bare = numbers.filter((no) => !store.photo(no).said.view);
  asked = bare.length ? { numbers: bare, part } : null;
  store.show(store.shown);
  toNext();
}

/** The picture that waits next comes under the hand. */
function toNext() {
  requestAnimationFrame(() => document.querySelector(askedOf().length ? ".hand" : ".card .pick")?.focus({ preventScroll: true }));
}

// ---------------------------------------------------------------- guesses

/** The pictures whose guess is taken with the others: sure ones that are not picked up. */
export function guessed() {
  return notLaid().slice(0, PAGE).filter((it) => guessOf(it)?.sure && !inHand.has(it.no));
}

/** What a picture may be; what is said of it by now stays. */
function guessOf({ said, guess }) {
  if (!guess) return null;
  return { ...guess, view: said.view ?? guess.view, parts: said.parts.length ? said.parts : guess.parts };
}

/** Lays pictures as they are guessed, in one step. */
export function takeGuesses(photos = guessed()) {
  if (!photos.length && notLaid().some((it) => guessOf(it))) notice("No guess is sure enough to be taken with the others: press “Yes, so” where one is right.");
  if (!photos.length) return false;
  const all = photos.map((photo) => {
    const { said } = photo;
    const guess = guessOf(photo);
    const to = [...said.parts, ...guess.parts.filter((it) => !said.parts.includes(it))];
    return { photo: photo.no, changes: [{ do: "view", was: said.view, to: guess.view }, { do: "parts", was: said.parts, to }] };
  });
  last = photos.length === 1 ? `Picture ${photos[0].no} laid: ${store.view(guessOf(photos[0]).view).label}` : `${photos.length} pictures laid as guessed`;
  for (const it of photos) inHand.delete(it.no);
  if (store.changeAll(all, last)) announce(`${last}. Ctrl Z takes it back.`);
  store.show(store.shown);
  toNext();
  return true;
}

function guessLine(photo) {
  const guess = guessOf(photo);
  if (!guess) return [el("p", { class: "guess none" }, "no guess")];
  const label = store.view(guess.view)?.label ?? guess.view;
  const names = guess.parts.map((it) => store.part(it)?.label ?? it);
  const parts = names.length > 2 ? `${names[0]} and ${names.length - 1} more parts` : names.join(", ");
  const words = el("p", { class: "guess", title: names.join(", ") }, el("b", {}, guess.sure ? label : `${label}?`), parts ? el("span", {}, parts) : null, el("span", { class: "quiet" }, guess.why));
  if (guess.sure) return [words];
  const act = button("Yes, so", () => takeGuesses([photo]), { class: "plain", "aria-label": `Yes, so: picture ${photo.no} is ${label}`, data: { key: `take ${photo.no}` } });
  return [words, act];
}

/** What was laid last, to say it on the page; nothing once it is taken back, or something else is done. */
export function lastLaid() {
  return last && store.undoLabel === last ? last : null;
}

/** "5 · 10:31", and what the program noticed about the picture. */
export function caption(photo) {
  const time = /\b\d\d:\d\d/.exec(photo.taken ?? "")?.[0];
  const notes = [...photo.notes, ...photo.complaints.map((it) => it.message)];
  return [el("b", {}, String(photo.no)), time ? ` ${time}` : "", notes.length ? el("span", { class: "note" }, notes.join("; ")) : ""];
}

/** The small picture as a link that opens it. */
export function opener(photo, part = null) {
  const query = part ? `?part=${part}` : "";
  return el("a", { class: "open", href: `#picture/${photo.no}${query}`, data: { key: `open ${photo.no}` } }, thumb(photo, `Open picture ${photo.no}`));
}

/**
 * A list of pictures that shows `PAGE` of them and more when asked. Gives {node, draw(photos)}; `make(photo)` gives the lines of an entry,
 * `stamp(photo)` changes when they do.
 */
export function pictureList(make, stamp = () => "", name = null, looks = "pictures") {
  const list = el("ul", { class: looks, "aria-label": name });
  const more = el("p", { class: "acts" });
  let most = PAGE;
  const draw = (photos) => {
    const entry = (photo) => el("li", { class: "card" }, ...make(photo));
    sync(list, photos.slice(0, most), (it) => it.no, entry, (it) => `${it.digest} ${stamp(it)}`);
    const rest = photos.length - most;
    const next = button(`Show ${Math.min(rest, PAGE)} more of ${rest}`, () => {
      most += PAGE;
      draw(photos);
    });
    more.replaceChildren(...(rest > 0 ? [next] : []));
  };
  return { node: el("div", {}, list, more), draw };
}

/** The sheet of the piece's page: each picture with what it may be; those that are picked up are laid by hand. */
export function pile() {
  const stamp = (photo) => JSON.stringify([inHand.has(photo.no), guessOf(photo)]);
  return pictureList((photo) => [pickButton(photo), cardCaption(photo), ...guessLine(photo)], stamp, "Pictures not laid yet", "pictures sheet-of");
}

function pickButton(photo) {
  const up = inHand.has(photo.no);
  const props = { class: "pick", "aria-pressed": String(up), "aria-label": `Pick up picture ${photo.no}`, data: { key: `pick ${photo.no}` } };
  return button([thumb(photo)], (event) => toggle(photo.no, event.shiftKey), props);
}

function cardCaption(photo) {
  const open = el("a", { href: `#picture/${photo.no}`, "aria-label": `Open picture ${photo.no}`, data: { key: `open ${photo.no}` } }, "open");
  return el("p", { class: "caption" }, ...caption(photo), " ", open);
}

/** What can be done with the pictures picked up, or the view that is asked of those just laid; `null` when there is none. */
export function handBar() {
  if (askedOf().length) return askView();
  if (!inHand.size) return null;
  const numbers = picked();
  const parts = store.walk.parts.map((it) => ({ id: it.id, label: it.label, hint: it.told }));
  const onPart = (id) => id && layOn(id, { preventDefault() {} });
  const between = numbers.length > 1 ? button("And those between", pickBetween, { class: "plain", data: { key: "between" } }) : null;
  return el(
    "div",
    { class: "hand", role: "group", "aria-label": "Pictures picked up" },
    el("p", {}, el("b", {}, `${numbers.length === 1 ? "Picture" : `${numbers.length} pictures`} picked up: ${numbers.join(", ")}.`), " Choose the view or the part; or the part on the drawing."),
    el("div", { class: "fields" }, chooser({ name: "View", choices: viewChoices(numbers), onChoose: (id) => id && sayView(numbers, id), key: "hand view", early: true }), chooser({ name: "Part", choices: parts, onChoose: onPart, key: "hand part" })),
    el("p", { class: "acts" }, between, button("Let go", putDown, { class: "plain", data: { key: "put down" } })),
  );
}

/** Views, those first that are guessed of these pictures, then those not taken yet in this shoot. */
function viewChoices(numbers) {
  const guesses = new Set(numbers.map((no) => store.photo(no).guess?.view));
  const taken = new Set(store.photos().map((it) => it.said.view));
  const rank = (it) => (guesses.has(it.id) ? 0 : taken.has(it.id) && it.fixed ? 2 : 1);
  const views = [...store.words.views].sort((a, b) => rank(a) - rank(b));
  return views.map((it) => ({ id: it.id, label: it.label, hint: "" }));
}

/** Which view the pictures are that were just laid: the likely ones at one press. */
function askView() {
  const { part } = asked;
  const numbers = askedOf();
  const { kind } = store.part(part);
  const close = store.words.views.filter((it) => CLOSE.includes(it.id));
  const whole = store.words.views.filter((it) => !CLOSE.includes(it.id) && (it.shows.includes(part) || it.shows.includes(kind))).sort((a, b) => a.shows.length - b.shows.length);
  const likely = [...whole.slice(0, LIKELY - close.length), ...close];
  const say = (id) => id && sayView(numbers, id, false);
  const acts = likely.map((it) => button(it.label, () => say(it.id), { data: { key: `view ${it.id}` } }));
  const others = chooser({ name: "Another view", choices: viewChoices(numbers), onChoose: say, key: "hand view", early: true });
  return el("div", { class: "hand", role: "group", tabindex: -1, "aria-label": "Their view" }, el("p", {}, el("b", {}, `${count(numbers.length, "picture")} laid on ${store.part(part).label}. `), "Which view?"), el("p", { class: "acts" }, ...acts, button("Later", putDown, { class: "plain" })), others);
}

/** Outer parts that a view usually shows whole; none when it shows a part of a kind of which there are several to choose from. */
export function partsOfView(view) {
  const whole = view.fixed;
  const outer = store.walk.parts.filter((it) => !it.inner && (view.shows.includes(it.id) || view.shows.includes(it.kind)));
  return whole || outer.length === 1 ? outer.map((it) => it.id) : [];
}

function sayView(numbers, id, withParts = true) {
  const view = store.view(id);
  const parts = withParts ? partsOfView(view) : [];
  const all = numbers.map((no) => {
    const { said } = store.photo(no);
    const to = [...said.parts, ...parts.filter((it) => !said.parts.includes(it))];
    return { photo: no, changes: [{ do: "view", was: said.view, to: id }, { do: "parts", was: said.parts, to }] };
  });
  inHand.clear();
  if (withParts) asked = null;
  const shown = parts.length ? `, laid on ${parts.map((it) => store.part(it).label).join(", ")}` : "";
  last = `${count(numbers.length, "picture")}: ${view.label}${shown}`;
  store.changeAll(all, last);
  announce(`${last}. Ctrl Z takes it back.`);
  store.show(store.shown);
  toNext();
}
