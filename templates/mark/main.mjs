// Starts the page: fetches what is known, follows the address (#piece, #part/ID, #picture/NO, #again/SHOOT), hears keys.

import { againPage } from "./again.mjs";
import { ask } from "./ask.mjs";
import { count, el, isTyping, link, redraw } from "./el.mjs";
import { drawHead } from "./head.mjs";
import { showKeys, singleKeys } from "./keys.mjs";
import { drawMap } from "./map.mjs";
import { notice } from "./notice.mjs";
import { partPage } from "./part.mjs";
import { piecePage } from "./piece.mjs";
import { drawSaving, showConflict } from "./save.mjs";
import { store } from "./store.mjs";
import { guard } from "./tap.mjs";

const LOOK = 2000;
const NARROW = matchMedia("(max-width: 63.99rem)");
const host = (id) => document.getElementById(id);

/** The page shown: {route, id, part, draw(), key(event), close()}. */
let page = null;

/** What the address says: {route, id, part}. */
export function read(hash) {
  const [, route = "piece", id = "", query = ""] = /^#([a-z]+)\/?([^?]*)\??(.*)$/.exec(hash) ?? [];
  return { route, id: decodeURIComponent(id), part: new URLSearchParams(query).get("part") };
}

/** How far down each place was read, to come back to it. */
const scrolled = new Map();
let shownAt = null;

async function go() {
  const place = read(location.hash);
  if (shownAt !== null) scrolled.set(shownAt, scrollY);
  shownAt = location.hash;
  page?.close?.();
  document.body.dataset.route = place.route;
  host("picture").hidden = place.route !== "picture";
  host("main").hidden = place.route === "picture";
  host("head").hidden = place.route === "picture";
  page = { ...place, ...open(place) };
  draw();
  if (place.route === "picture") await openPhoto(place);
  else comeBack();
}

/** Where one was on this page; a page not read before begins at its top. */
function comeBack() {
  const was = scrolled.get(location.hash);
  if (page.route === "piece" && was === undefined) return scrollTo(0, 0);
  if (was === undefined) return toTop();
  host("place").focus({ preventScroll: true });
  scrollTo(0, was);
}

function open({ route, id }) {
  if (route === "part" && store.part(id)) return partPage(host("place"), id);
  if (route === "again" && store.shoot(id)) return againPage(host("place"), Number(id));
  if (route === "picture") return {};
  return piecePage(host("place"));
}

/** Opens the picture: the whole page is its own. */
async function openPhoto({ id, part }) {
  const place = host("picture");
  const photo = store.photo(id);
  if (!photo) return redraw(place, el("p", { class: "pad" }, `There is no picture ${id}. `, link("#piece", "Back to the piece")));
  document.title = `Picture ${photo.no}, ${store.walk.piece.title}`;
  try {
    const here = page;
    const { openPicture } = await import("./picture.mjs");
    if (page !== here) return;
    const opened = await openPicture(place, photo.no, { part });
    here.close = () => opened?.close();
    if (page !== here) here.close();
  } catch (error) {
    console.error(error);
    await notOpened(place, photo.no);
  }
}

/** Says why a picture could not be opened; while the program is gone the picture is tried again by itself. */
async function notOpened(place, no) {
  const here = page;
  const error = await ask(`/version/${no}`).then(() => null, (it) => it);
  if (page !== here) return;
  const gone = error && error.status === undefined;
  const why = gone ? `The program behind this page does not answer. ${store.startAgain}` : error ? `It could not be opened: ${error.message}.` : "It could not be opened. Load the page again.";
  redraw(place, el("p", { class: "pad", role: "alert" }, el("b", {}, `Picture ${no}. `), `${why} `, link("#piece", "Back to the piece")));
  if (!gone) return;
  const again = async () => {
    if (page !== here) return;
    if (await ask(`/version/${no}`).then(() => true, (it) => it.status !== undefined)) go();
    else setTimeout(again, LOOK);
  };
  setTimeout(again, LOOK);
}

/** In a narrow window the pictures that wait come before the drawing. */
function order() {
  const first = page.route === "piece" && NARROW.matches && document.body.hasAttribute("data-waits");
  const [map, place] = [host("map"), host("place")];
  if (first === (place.compareDocumentPosition(map) === Node.DOCUMENT_POSITION_FOLLOWING)) return;
  if (first) map.before(place);
  else place.before(map);
}

function toTop() {
  host("place").focus({ preventScroll: true });
  if (NARROW.matches && page.route !== "piece") host("place").scrollIntoView({ block: "start" });
  else scrollTo(0, 0);
}

function draw() {
  drawSaving(host("line"));
  if (!page || page.route === "picture") return;
  document.title = page.title?.() ?? store.walk.piece.title;
  drawHead(host("head"));
  drawMap(host("map"), page);
  page.draw?.();
  order();
}

// ---------------------------------------------------------------- keys

function stepOut() {
  if (page.route === "piece") return page.out?.();
  const photo = page.route === "picture" ? store.photo(page.id) : null;
  const part = page.part ?? (page.route === "part" && store.part(page.id)?.inner ? store.part(page.id).whole : null);
  location.hash = part && (photo || part !== page.id) ? `#part/${part}` : "#piece";
}

/** The step in another picture that was asked about: pressed once more, it is taken. */
let asked = null;

/** A step in a picture that is not the one in sight is told before it is taken. */
function asksFirst(again) {
  const [label, photos] = again ? [store.redoLabel, store.redoPhotos] : [store.undoLabel, store.undoPhotos];
  const here = page.route === "picture" ? Number(page.id) : null;
  if (!label || here === null || photos.includes(here)) return false;
  const it = `${location.hash} ${again} ${label}`;
  if (asked === it) return false;
  asked = it;
  const where = photos.length > 1 ? `in ${count(photos.length, "other picture")}` : `in picture ${photos[0]}`;
  notice(`The last step is ${where}: ${label}. Press once more to ${again ? "do it again" : "take it back"}`, photos.length > 1 ? null : photos[0]);
  return true;
}

function undo(again) {
  if (asksFirst(again)) return;
  asked = null;
  const step = again ? store.redo() : store.undo();
  if (!step) return notice(again ? "Nothing to do again" : "Nothing to take back");
  const done = again ? "Done again" : "Taken back";
  const [photo, ...more] = step.photos;
  const where = more.length ? `in ${count(step.photos.length, "picture")}` : `in picture ${photo}`;
  const text = step.done ? `${done} ${where}: ${step.label}` : `Not ${done.toLowerCase()} ${where}: ${step.label}. The file says something else by now`;
  notice(text, more.length ? null : photo);
}

function onKey(event) {
  if (event.defaultPrevented || isTyping() || document.querySelector("dialog[open]")) return;
  const held = event.ctrlKey || event.metaKey;
  const key = event.key.toLowerCase();
  if (held && !event.altKey && (key === "z" || key === "y")) {
    event.preventDefault();
    return undo(key === "y" || event.shiftKey);
  }
  if (held || event.altKey) return;
  if (event.key === "Escape") return stepOut();
  if (!singleKeys()) return;
  if (event.key === "?") return showKeys(host("keys"), page.route);
  // A key that is held down answers once.
  if (event.repeat) return;
  if (page.key?.(event)) event.preventDefault();
}

// ---------------------------------------------------------------- start

async function start() {
  guard();
  host("skip").addEventListener("click", () => toTop());
  try {
    await store.start();
  } catch (error) {
    const again = el("button", { type: "button", on: { click: () => location.reload() } }, "Try again");
    redraw(host("head"), el("p", {}, `The program behind this page does not answer (${error.message}). Start it again, then `, again));
    return;
  }
  drawHead(host("head"));
  await new Promise(requestAnimationFrame);
  store.on(draw);
  addEventListener("hashchange", go);
  addEventListener("keydown", onKey);
  document.addEventListener("undo", () => undo(false));
  document.addEventListener("redo", () => undo(true));
  document.addEventListener("keys", () => showKeys(host("keys"), page.route));
  document.addEventListener("choose", () => showConflict(host("conflict")));
  addEventListener("focus", () => store.refreshSoon());
  NARROW.addEventListener("change", draw);
  setInterval(() => {
    if (document.hidden) return;
    const shown = page.route === "picture" ? [Number(page.id)] : store.walk.photos.slice(0, 1).map((it) => it.no);
    for (const no of new Set([...shown, ...store.refused.map((it) => it.photo)])) store.look(no);
  }, LOOK);
  await go();
}

start();
