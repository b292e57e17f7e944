// A part's page: the pictures that show it, the three statements about the whole part, its findings, what is missing, what waits.

import { announce, button, count, el, large, link, redraw, sync, thumb } from "./el.mjs";
import { STATEMENTS, markOf, same } from "./changes.mjs";
import { chooser } from "./choose.mjs";
import { findingLine } from "./finding.mjs";
import { partOfMark } from "./guess.mjs";
import { shade, swatch } from "./map.mjs";
import { faultOn, nameOf } from "./naming.mjs";
import { caption, lay, notLaid, opener, pictureList } from "./pile.mjs";
import { store } from "./store.mjs";

/** How many pictures the strip holds at once: those round the chosen one. */
const STRIP = 48;

/** The picture chosen last on each part. */
const chosen = new Map();

/** Opens the page of a part in `host`. */
export function partPage(host, id) {
  const page = { host, id, waiting: pictureList((photo) => waitingEntry(page, photo), () => "", "Pictures not laid yet") };
  Object.assign(page, { head: el("div"), strip: el("div"), say: el("div"), rest: el("div"), wait: el("div") });
  page.group = el("div", { class: "strip", role: "radiogroup", "aria-label": "Pictures that show it" });
  page.look = el("div", { class: "look" }, page.strip, page.say, page.group);
  host.replaceChildren(page.head, page.look, page.rest, page.wait);
  return {
    draw: () => draw(page),
    title: () => `${store.part(id).label}, ${store.walk.piece.title}`,
    key: (event) => onKey(page, event),
  };
}

function draw(page) {
  const part = store.part(page.id);
  if (!part) return;
  const photos = part.photos.map((no) => store.photo(no)).filter((it) => it && (store.shown === null || it.shoot === store.shown));
  if (!photos.some((it) => it.no === chosen.get(page.id))) chosen.set(page.id, best(part, photos)?.no ?? null);
  const photo = store.photo(chosen.get(page.id));
  drawHead(page, part);
  drawStrip(page, photos, photo);
  drawSay(page, part, photo);
  const own = part.findings.map((id) => store.finding(id));
  const within = store.walk.parts.filter((it) => it.inner && it.whole === part.id);
  when(page.rest, [own, within.map((it) => [it.id, it.told]), part.missing_views], () => [findings(part), inside(within), missing(part)]);
  drawWaiting(page, part);
}

/** The picture to begin with: of a view that shows the part whole, then with few other parts on it, then the newest. */
function best(part, photos) {
  const rank = (it) => {
    const view = store.view(it.said.view ?? "");
    const whole = view?.fixed && (view.shows.includes(part.id) || view.shows.includes(part.kind));
    return [whole ? 0 : 1, view && !view.fixed && view.needs_part && !view.shows.length ? 1 : 0, it.said.parts.length || 99, -it.shoot];
  };
  const order = (a, b) => rank(a).map((it, n) => it - rank(b)[n]).find((it) => it !== 0) ?? 0;
  return [...photos].sort(order)[0] ?? null;
}

/** Redraws `host` only when `stamp` changed. */
function when(host, stamp, make) {
  const text = JSON.stringify(stamp);
  if (host.stamp === text) return;
  host.stamp = text;
  redraw(host, make() ?? []);
}

// ---------------------------------------------------------------- head

/** The part before or after on the walk; from an outer part to an outer one, what is inside is on its page. */
function beside(page, step) {
  const parts = store.walk.parts.filter((it) => !it.inner || store.part(page.id).inner);
  return parts[parts.findIndex((it) => it.id === page.id) + step] ?? null;
}

function drawHead(page, part) {
  const [before, after] = [beside(page, -1), beside(page, 1)];
  when(page.head, [part.label, part.told, part.state, before?.id, after?.id], () => {
    const whole = part.inner ? store.part(part.whole) : null;
    const steps = [before ? link(`#part/${before.id}`, `← ${before.label}`) : null, after ? link(`#part/${after.id}`, `${after.label} →`) : null];
    return [
      el("nav", { class: "walk", "aria-label": "The walk round the piece" }, ...steps),
      whole ? el("p", { class: "eyebrow" }, "Part of ", link(`#part/${whole.id}`, whole.label)) : null,
      el("h2", {}, part.label),
      el("p", { class: "told" }, swatch(shade(part)), el("b", {}, part.told)),
      el("p", { class: "quiet" }, part.plain),
    ];
  });
}

// ---------------------------------------------------------------- pictures of the part

function drawStrip(page, photos, photo) {
  page.group.hidden = photos.length < 2;
  if (!photos.length) return when(page.strip, "none", () => el("p", { class: "empty" }, "No picture shows it yet. Lay one here from those below, or open any picture and say that it shows this part."));
  when(page.strip, [photo.no, photo.digest], () => preview(page, photo));
  const make = (it) => choice(page, it);
  const marks = (it) => it.said.marks.filter((mark) => partOfMark(store.walk, mark) === page.id);
  const at = photos.indexOf(photo);
  const start = Math.max(0, Math.min(at - STRIP / 2, photos.length - STRIP));
  sync(page.group, photos.slice(start, start + STRIP), (it) => it.no, make, (it) => `${it.no === photo.no} ${JSON.stringify(marks(it))}`);
}

function preview(page, photo) {
  const alt = `Picture ${photo.no} of ${store.part(page.id).label}`;
  const image = large(photo, alt, 46);
  const address = `#picture/${photo.no}?part=${page.id}`;
  const view = store.view(photo.said.view)?.label;
  const words = el("figcaption", {}, el("b", {}, `Picture ${photo.no}`), `, ${store.shoot(photo.shoot).label}`, view ? `: ${view}` : "");
  return el("figure", { class: "preview" }, el("a", { href: address, data: { key: "preview" } }, image), words);
}

function choice(page, photo) {
  const own = photo.said.marks.filter((mark) => partOfMark(store.walk, mark) === page.id);
  const statement = own.find((it) => STATEMENTS.includes(it.tag));
  const told = statement ? store.word(statement.tag).term : own.length ? count(own.length, "mark") : "";
  const pick = () => {
    chosen.set(page.id, photo.no);
    draw(page);
  };
  const props = { type: "radio", name: "shown-picture", checked: photo.no === chosen.get(page.id), data: { key: `show ${photo.no}` }, on: { change: pick } };
  return el("label", {}, el("input", props), thumb(photo), el("span", {}, el("span", { class: "unseen" }, "Picture "), String(photo.no), told ? `: ${told}` : ""));
}

// ---------------------------------------------------------------- what is said of it

function drawSay(page, part, photo) {
  const own = photo?.said.marks.filter((it) => it.part === part.id && STATEMENTS.includes(it.tag)) ?? [];
  const silent = store.walk.parts.filter((it) => it.inner && it.whole === part.id && it.state === "silent");
  when(page.say, [photo?.no, own, photo?.said.view, photo?.said.parts, silent.map((it) => it.id)], () => {
    if (!photo) return null;
    const acts = STATEMENTS.map((tag) => statementButton(part, photo, tag, own));
    const there = faultOn(photo, part.id);
    const fault = el("a", { class: "act", href: `#picture/${photo.no}?part=${part.id}`, data: { key: "fault" } }, "Something to be seen: mark it");
    return el(
      "section",
      { class: "say" },
      el("h3", {}, `What picture ${photo.no} says of it`),
      el("p", { class: "acts", role: "group", "aria-label": `${part.label}, the whole of it, on picture ${photo.no}` }, ...acts, fault),
      own.length && silent.length ? innerToo(silent, photo, own.at(-1).tag) : null,
      there && !own.some((it) => it.tag === "sound") ? el("p", { class: "small" }, marked(there)) : null,
      el("div", { class: "fields" }, viewField(photo)),
      photo.said.parts.includes(part.id) ? el("p", {}, button("It does not show this part", () => takeOff(part, photo), { class: "plain", data: { key: "off" } })) : null,
    );
  });
}

/** The same statement of the parts inside of which nothing is said, in one step. */
function innerToo(silent, photo, tag) {
  const term = store.word(tag).term.toLowerCase();
  const text = `${term}, of ${count(silent.length, "inner part")}`;
  const act = () => {
    const changes = silent.map((it) => ({ do: "add", mark: markOf({ tag, part: it.id }) }));
    if (store.change(photo.no, changes, text)) announce(`${text}. Ctrl Z takes it back.`);
  };
  const names = silent.map((it) => it.label).join(", ");
  return el("p", {}, button(`Say it of its ${count(silent.length, "inner part")} too`, act, { title: names, data: { key: "inner too" } }));
}

function statementButton(part, photo, tag, own) {
  const [word, said] = [store.word(tag), own.find((it) => it.tag === tag)];
  const props = { "aria-pressed": String(Boolean(said)), title: word.plain, data: { key: `say ${tag}` } };
  return button(word.term, () => say(part, photo, tag), props);
}

/** Why a part is not sound in a picture. */
function marked(fault) {
  return `${nameOf(fault)} is marked on it here, so it cannot be “${store.word("sound").term.toLowerCase()}”. Take the mark away first, or say of it that it is gone.`;
}

/** Says a statement of the whole part on a picture; said already, it is taken back; another one gives way. */
export function say(part, photo, tag) {
  const own = photo.said.marks.filter((it) => it.part === part.id && STATEMENTS.includes(it.tag));
  const mark = markOf({ tag, part: part.id });
  const has = own.some((it) => it.tag === tag);
  const fault = tag === "sound" && !has ? faultOn(photo, part.id) : null;
  if (fault) return announce(`Not said: ${marked(fault)}`);
  const gone = own.map((was) => ({ do: "remove", was }));
  const words = `${part.label}: ${store.word(tag).term}, picture ${photo.no}`;
  const text = has ? `${words}, no longer said` : words;
  if (store.change(photo.no, has ? gone : [...gone, { do: "add", mark }], text)) announce(`${text}. Ctrl Z takes it back.`);
}

function takeOff(part, photo) {
  const to = photo.said.parts.filter((it) => it !== part.id);
  const text = `picture ${photo.no} no longer laid on ${part.label}`;
  if (store.change(photo.no, [{ do: "parts", was: photo.said.parts, to }], text)) announce(text);
}

/** The field for a picture's view; views that show `part` or one of the picture's parts come first. */
export function viewField(photo) {
  const kinds = photo.said.parts.flatMap((id) => [id, store.part(id)?.kind]);
  const likely = (view) => view.shows.some((it) => kinds.includes(it));
  const all = [...store.words.views].sort((a, b) => likely(b) - likely(a));
  const choices = all.map((it) => ({ id: it.id, label: it.label, hint: "" }));
  const choose = (to) => !same(to, photo.said.view) && store.change(photo.no, [{ do: "view", was: photo.said.view, to }], `picture ${photo.no}: ${to ? store.view(to).label : "no view"}`);
  return chooser({ name: "View", choices, value: photo.said.view, onChoose: choose, key: `view ${photo.no}`, early: true });
}

// ---------------------------------------------------------------- findings, missing views, what waits

function findings(part) {
  const own = part.findings.map((id) => store.finding(id)).filter(Boolean);
  if (!own.length) return null;
  return el("section", {}, el("h3", {}, count(own.length, "finding")), el("ul", { class: "findings" }, ...own.map((it) => findingLine(it, part.id))));
}

function inside(parts) {
  if (!parts.length) return null;
  const line = (it) => el("li", {}, el("a", { class: "line-to", href: `#part/${it.id}` }, swatch(shade(it)), el("span", {}, it.label), el("span", { class: "quiet" }, it.told)));
  return el("section", {}, el("h3", {}, "Its own parts"), el("ul", { class: "inside" }, ...parts.map(line)));
}

function missing(part) {
  const stages = new Map();
  for (const it of part.missing_views) stages.set(it.view, [...(stages.get(it.view) ?? []), it.stage].filter(Boolean));
  if (!stages.size) return null;
  const label = (view) => part.missing_views.find((it) => it.view === view).label;
  const lines = [...stages].map(([view, at]) => el("li", {}, el("b", {}, label(view)), at.length ? ` (${at.join(", ")})` : "", store.view(view) ? `. ${store.view(view).how}` : ""));
  return el("section", {}, el("h3", {}, "Views still missing"), el("ul", { class: "lines" }, ...lines));
}

function waitingEntry(page, photo) {
  const act = () => {
    lay([photo.no], page.id);
    chosen.set(page.id, photo.no);
    draw(page);
  };
  const name = `Lay here: picture ${photo.no} shows ${store.part(page.id).label}`;
  return [opener(photo, page.id), el("p", { class: "caption" }, ...caption(photo)), button("Lay here", act, { "aria-label": name, data: { key: `lay ${photo.no}` } })];
}

function drawWaiting(page, part) {
  const photos = notLaid();
  when(page.wait, [photos.length > 0, part.label], () => {
    if (!photos.length) return null;
    return el("section", {}, el("h3", {}, "Not laid yet"), el("p", { class: "quiet" }, `Does one of these show it? A picture may be laid on several parts.`), page.waiting.node);
  });
  page.waiting.draw(photos);
}

// ---------------------------------------------------------------- keys

function onKey(page, event) {
  const key = event.key.toLowerCase();
  const step = { n: 1, p: -1 }[key];
  const next = step ? beside(page, step) : null;
  if (next) location.hash = `#part/${next.id}`;
  if (key === "o" && chosen.get(page.id)) location.hash = `#picture/${chosen.get(page.id)}?part=${page.id}`;
  return Boolean(next) || key === "o";
}
