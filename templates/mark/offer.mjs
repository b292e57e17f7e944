// What the program found in an opened picture and offers there: a card, sides that were laid in other pictures. Drafts: nothing is said
// before the person nods.

import { announce, button, el } from "./el.mjs";
import { beginLaying, faceOf, facePath } from "./faces.mjs";
import { store } from "./store.mjs";

/** How long a picture is open before it is looked at: who only leafs through asks for nothing. */
const STAY_MS = 700;

/** What was found, by picture and by what it rests on. */
const found = new Map();

/** What a person did not want. */
const refused = new Set();

/** The faces of other pictures that are carried over: where they change, other ones are found. */
function known(no) {
  const laid = store.walk.photos.filter((it) => it.no !== no).flatMap((it) => (it.said.faces ?? []).filter((face) => face.how === "by hand").map((face) => [it.no, face]));
  return laid.length ? JSON.stringify(laid) : null;
}

export class Offers {
  /** @param {any} desk of picture.mjs */
  constructor(desk) {
    this.desk = desk;
    this.over = new AbortController();
    this.at = setTimeout(() => this.look(), STAY_MS);
  }

  close() {
    clearTimeout(this.at);
    this.over.abort();
  }

  async look() {
    const { no } = this.desk;
    if (!this.desk.photo()?.said.scale) await this.fetch(`card ${no}`, `/offer/${no}/card`);
    const rests = known(no);
    if (rests && this.free().length) await this.fetch(`faces ${no} ${rests}`, `/offer/${no}/faces`);
  }

  async fetch(key, address) {
    const { signal } = this.over;
    if (signal.aborted || found.has(key)) return;
    const all = await store.offers(address, signal).catch(() => null);
    if (!all) return;
    found.set(key, all);
    if (!signal.aborted) this.desk.draw();
  }

  /** Sides that are not laid in this picture yet. */
  free() {
    const laid = this.desk.photo()?.said.faces ?? [];
    return store.walk.faces.filter((it) => it.size_mm && !laid.some((each) => each.face === it.id));
  }

  /** What is offered now: the card, then one side after the other; nothing while something else is in hand. */
  get now() {
    const { desk } = this;
    const photo = desk.photo();
    if (!photo || desk.form || desk.laying || desk.ends || desk.tool) return null;
    const cards = photo.said.scale ? [] : (found.get(`card ${desk.no}`) ?? []).map((it) => ({ ...it, key: `card ${desk.no}`, corners: it.scale.corners }));
    const free = this.free().map((it) => it.id);
    const sides = (found.get(`faces ${desk.no} ${known(desk.no)}`) ?? []).filter((it) => free.includes(it.laid.face));
    const faces = sides.map((it) => ({ ...it, key: `${it.laid.face} ${desk.no}`, corners: it.laid.lie.corners }));
    return [...cards, ...faces].find((it) => !refused.has(it.key)) ?? null;
  }

  /** What is drawn of it. */
  drawn() {
    const { now } = this;
    if (!now) return [];
    const name = now.scale ? "card?" : `${faceOf(now.laid.face)?.label ?? now.laid.face}?`;
    return [{ key: "offer", number: name, region: { outline: now.corners }, look: "offered", draw: now.scale ? undefined : (it) => facePath(it.outline) }];
  }

  draw() {
    const { now } = this;
    const print = JSON.stringify(now);
    if (print === this.print) return;
    this.print = print;
    // In the place of another line, so that the picture does not jump.
    this.desk.nodBar.hidden = !now;
    this.desk.zooms.hidden = Boolean(now);
    this.desk.nodBar.replaceChildren(...(now ? lines(this, now) : []));
    if (now) announce(now.scale ? "A card may lie here. Y: yes." : `${faceOf(now.laid.face)?.label} may lie here. Y: yes.`);
  }

  /** The person nods. Says whether there was anything to nod at. */
  nod() {
    const { now, desk } = this;
    if (!now) return false;
    if (now.scale) desk.change([{ do: "scale", was: null, to: now.scale }], "card");
    else desk.change([{ do: "face", was: null, to: now.laid }], `${faceOf(now.laid.face)?.label ?? now.laid.face} laid`);
    desk.stage.focus({ preventScroll: true });
    return true;
  }

  /** Not so; it is not offered again. */
  refuse() {
    refused.add(this.now.key);
    this.desk.draw();
    this.desk.stage.focus({ preventScroll: true });
  }

  /** The corners of a side, to be pulled right before they are said. */
  right() {
    const { now, desk } = this;
    beginLaying(desk, now.laid.face, now.corners, now.laid);
  }
}

function lines(offers, now) {
  const label = now.scale ? null : (faceOf(now.laid.face)?.label ?? now.laid.face);
  const ask = now.scale ? "Is this a bank card?" : `Is this the ${label.toLowerCase()}?`;
  const why = now.scale ? `${now.shown} % of its border shows an edge.` : `${now.laid.how[0].toUpperCase()}${now.laid.how.slice(1)}, to ${now.error_px.toFixed(1)} px of 1600.${now.doubt ? ` Unsure: ${now.doubt}.` : ""}`;
  const act = (text, does, key, more = {}) => button(text, () => does(), { data: { key }, ...more });
  return [
    el("p", {}, el("b", {}, ask), ` ${why}`),
    el("p", { class: "acts" }, act("Yes, so", () => offers.nod(), "nod", { class: "first", title: "Y" }), now.scale ? null : act("Put it right", () => offers.right(), "nod-right"), act("No", () => offers.refuse(), "nod-no")),
  ];
}
