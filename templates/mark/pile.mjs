// Pictures of which nothing is said yet: the pile, picking up, and laying onto a part.

import { announce, button, count, el, sync, thumb } from "./el.mjs";
import { chooser } from "./choose.mjs";
import { store } from "./store.mjs";

const PAGE = 48;

/** Numbers of the pictures picked up. */
const inHand = new Set();
let last = null;

/** Pictures of the shoot shown of which nothing is said. */
export function notLaid() {
  return store.photos().filter((it) => it.silent);
}

/** Numbers of the pictures picked up. */
export function picked() {
  return [...inHand];
}

/** Puts all pictures down again; says whether there were any. */
export function putDown() {
  const any = inHand.size > 0;
  inHand.clear();
  if (any) store.show(store.shown);
  return any;
}

function toggle(no) {
  if (!inHand.delete(no)) inHand.add(no);
  last = null;
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

/** A click on a part while pictures are picked up lays them there; else it goes on to the part. */
export function layOn(part, event) {
  if (!inHand.size) return;
  event.preventDefault();
  const numbers = picked();
  inHand.clear();
  last = lay(numbers, part);
  store.show(store.shown);
}

/** What was laid last, to say it on the page. */
export function lastLaid() {
  return last;
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
export function pictureList(make, stamp = () => "", name = null) {
  const list = el("ul", { class: "pictures", "aria-label": name });
  const more = el("p", { class: "acts" });
  let most = PAGE;
  const draw = (photos) => {
    const entry = (photo) => el("li", {}, ...make(photo));
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

/** The pile of the piece's page: pictures are picked up and laid on a part or said to be a view. */
export function pile() {
  const pictures = pictureList(
    (photo) => [opener(photo), el("p", { class: "caption" }, ...caption(photo)), pickButton(photo)],
    (photo) => inHand.has(photo.no),
  );
  return pictures;
}

function pickButton(photo) {
  const up = inHand.has(photo.no);
  const props = { "aria-pressed": String(up), "aria-label": `Pick up picture ${photo.no}`, data: { key: `pick ${photo.no}` } };
  return button("Pick up", () => toggle(photo.no), props);
}

/** What can be done with the pictures picked up; `null` when none is. */
export function handBar() {
  if (!inHand.size) return null;
  const numbers = picked();
  const parts = store.walk.parts.map((it) => ({ id: it.id, label: it.label, hint: it.told }));
  const onPart = (id) => id && layOn(id, { preventDefault() {} });
  const views = store.words.views.map((it) => ({ id: it.id, label: it.label, hint: "" }));
  return el(
    "div",
    { class: "hand", role: "group", "aria-label": "Pictures picked up" },
    el("p", {}, `${count(numbers.length, "picture")} picked up: choose the part on the drawing, or here.`),
    el("div", { class: "fields" }, chooser({ name: "Lay here: part", choices: parts, onChoose: onPart, key: "hand part" }), chooser({ name: "or say the view", choices: views, onChoose: (id) => id && sayView(numbers, id), key: "hand view" })),
    el("p", { class: "acts" }, button("Put down", putDown, { data: { key: "put down" } })),
  );
}

/** Outer parts that a view usually shows whole; none when it shows a part of a kind of which there are several to choose from. */
export function partsOfView(view) {
  const whole = view.id.endsWith("_whole") || view.shows.some((it) => store.part(it));
  const outer = store.walk.parts.filter((it) => !it.inner && (view.shows.includes(it.id) || view.shows.includes(it.kind)));
  return whole || outer.length === 1 ? outer.map((it) => it.id) : [];
}

function sayView(numbers, id) {
  const view = store.view(id);
  const parts = partsOfView(view);
  const all = numbers.map((no) => {
    const { said } = store.photo(no);
    const to = [...said.parts, ...parts.filter((it) => !said.parts.includes(it))];
    return { photo: no, changes: [{ do: "view", was: said.view, to: id }, { do: "parts", was: said.parts, to }] };
  });
  inHand.clear();
  const shown = parts.length ? `, laid on ${parts.map((it) => store.part(it).label).join(", ")}` : "";
  last = `${count(numbers.length, "picture")}: ${view.label}${shown}`;
  store.changeAll(all, last);
  announce(`${last}. Ctrl Z takes it back.`);
  store.show(store.shown);
}
