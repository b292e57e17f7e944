// "What is it now?": findings known from before, one after the other, beside the pictures of a later shoot; at the end what was said.

import { announce, button, count, el, link, redraw, sync, thumb } from "./el.mjs";
import { markOf } from "./changes.mjs";
import { findingName, lastMark, markAt } from "./finding.mjs";
import { LEVELS, isLaid, stateLabel } from "./naming.mjs";
import { store } from "./store.mjs";
import { twin } from "./twin.mjs";

/** States for which a level says something. */
const WITH_LEVEL = ["present", "better", "worse", "repaired"];
/** States after which the level is asked before it goes on: it is known to be another one. */
const ASKS_LEVEL = ["better", "worse"];

/** Opens the queue of a shoot in `host`. */
export function againPage(host, shoot) {
  const page = { host, shoot, at: 0, order: [], picture: new Map(), spoken: new Set() };
  Object.assign(page, { head: el("div"), now: el("div"), say: el("div") });
  page.strip = el("div", { class: "strip", role: "radiogroup", "aria-label": "Pictures that show it" });
  page.others = el("section", { class: "others" }, el("h3", {}, "Another picture that shows it"), page.strip);
  host.replaceChildren(page.head, page.now, page.say, page.others);
  const close = () => page.twin?.close();
  return { draw: () => draw(page), title: () => `What is it now? ${store.walk.piece.title}`, key: (event) => onKey(page, event), close };
}

function draw(page) {
  take(page);
  const item = page.order[page.at] ?? null;
  const stamp = JSON.stringify([page.at, page.order.length, item ?? page.order.map((it) => said(page, it)), item && store.finding(item.finding), item && said(page, item), item && page.picture.get(item.finding), page.asks]);
  if (stamp === page.stamp) return;
  page.stamp = stamp;
  page.others.hidden = !item || candidates(item).length < 2;
  if (!item) {
    showTwin(page, null);
    return redraw(page.say, summary(page)), redraw(page.head, title(page));
  }
  const finding = store.finding(item.finding);
  redraw(page.head, title(page), el("p", { class: "lead" }, el("b", {}, findingName(finding)), `, ${finding.part_label}`, el("span", { class: "quiet" }, ` ${finding.plain}`)));
  showTwin(page, item, finding);
  redraw(page.say, answers(page, item, finding));
}

/** The findings to be looked at, those that came and those that were spoken for meanwhile; one that was taken back is gone to again. */
function take(page) {
  const due = store.walk.again.filter((it) => it.shoot === page.shoot);
  for (const it of due) {
    const at = page.order.findIndex((known) => known.finding === it.finding);
    if (at < 0) page.order.push(it);
    else page.order[at] = it;
  }
  page.order = page.order.filter((it) => store.finding(it.finding));
  page.order.forEach((it, n) => {
    const spoken = Boolean(said(page, it));
    if (!spoken && page.spoken.delete(it.finding) && page.at < page.order.length) Object.assign(page, { at: n, asks: false });
    if (spoken) page.spoken.add(it.finding);
  });
}

function title(page) {
  const shoot = store.shoot(page.shoot);
  const place = page.at < page.order.length ? `${page.at + 1} of ${page.order.length}` : "done";
  return el("h2", {}, "What is it now?", el("span", { class: "quiet" }, ` ${place} · ${shoot.label}`));
}

// ---------------------------------------------------------------- before and now

function showTwin(page, item, finding) {
  const photo = item ? pictureOf(page, item) : null;
  const stamp = JSON.stringify(item && [item.finding, photo?.no, item.straight, item.earlier]);
  if (stamp === page.twinStamp) return;
  page.twinStamp = stamp;
  page.twin?.close();
  page.twin = null;
  if (!item) return redraw(page.now);
  if (!photo) return redraw(page.now, nowhere(page, finding));
  const place = item.earlier ?? lastMark(finding, item.shoot);
  const before = place ? store.photo(place.photo) : null;
  const same = before?.said.view && before.said.view === photo.said.view && store.view(before.said.view)?.fixed;
  const panes = before ? [{ photo: before, what: "Before", region: markAt(place)?.region ?? null }, { photo, what: "Now", region: null }] : [{ photo, what: "Now", region: null }];
  const sides = panes.map((it) => item.straight?.sides.find((side) => side.photo === it.photo.no) ?? null);
  const straight = panes.length > 1 && sides.every(Boolean);
  const wanted = panes.map((it, n) => ({
    photo: it.photo,
    name: `${it.what}, picture ${it.photo.no}`,
    label: [el("b", {}, it.what), ": ", link(`#picture/${it.photo.no}?part=${finding.part}`, `picture ${it.photo.no}`), `, ${store.shoot(it.photo.shoot).label}`],
    region: straight ? sides[n].outline : it.region,
    corners: straight ? sides[n].corners : null,
    look: n ? "past" : "there",
    frame: n && same ? (panes[0].region ?? null) : null,
  }));
  page.twin = twin(wanted, straight ? item.straight.size_mm : null);
  redraw(page.now, page.twin.node);
  sync(page.strip, candidates(item), (it) => it.no, (it) => choice(page, item, it), (it) => `${item.finding} ${it.no === photo.no}`);
}

/** No picture of the shoot is said to show it: nothing can be said of it yet. */
function nowhere(page, finding) {
  const { part, part_label } = finding;
  const waiting = store.walk.photos.filter((it) => it.shoot === page.shoot && !isLaid(it)).length;
  const whole = encodeURIComponent(store.part(part)?.whole ?? part);
  const [place, words] = waiting ? ["#piece", `Lay the ${count(waiting, "picture")} of this shoot first`] : [`#part/${whole}`, `Lay a picture on ${part_label}`];
  return el("div", { class: "empty" }, el("p", {}, `No picture of this shoot is said to show ${part_label}.`), el("p", {}, el("a", { class: "act first", href: place, data: { key: "lay first" } }, words)));
}

function pictureOf(page, item) {
  const spoken = said(page, item)?.photo;
  return store.photo(page.picture.get(item.finding) ?? spoken) ?? candidates(item)[0] ?? null;
}

/** The pictures that show it, best first. */
function candidates(item) {
  return item.candidates.map((no) => store.photo(no)).filter(Boolean);
}

function choice(page, item, photo) {
  const pick = () => {
    page.picture.set(item.finding, photo.no);
    draw(page);
  };
  const props = { type: "radio", name: "now-picture", checked: photo.no === pictureOf(page, item).no, data: { key: `now ${photo.no}` }, on: { change: pick } };
  return el("label", {}, el("input", props), thumb(photo), el("span", {}, el("span", { class: "unseen" }, "Picture "), String(photo.no)));
}

// ---------------------------------------------------------------- answers

/** What is said of the finding in this shoot: {photo, mark}; on the chosen picture if there, else on another. */
function said(page, item) {
  const wanted = page.picture.get(item.finding);
  const photos = store.walk.photos.filter((it) => it.shoot === page.shoot);
  const all = photos.flatMap((photo) => photo.said.marks.filter((mark) => mark.finding === item.finding).map((mark) => ({ photo: photo.no, mark })));
  return all.find((it) => it.photo === wanted) ?? (wanted === undefined ? (all.at(-1) ?? null) : null);
}

function put(page, item, fields) {
  const finding = store.finding(item.finding);
  const photo = pictureOf(page, item);
  if (!photo) return false;
  const now = said(page, item)?.mark ?? null;
  const mark = markOf({ finding: item.finding, ...now, ...fields });
  if (!WITH_LEVEL.includes(mark.state)) mark.level = null;
  const change = now ? { do: "replace", was: now, mark } : { do: "add", mark };
  const text = `${findingName(finding)}: ${stateLabel(mark.state)}, picture ${photo.no}`;
  if (store.change(photo.no, [change], text)) announce(`${text}. Ctrl Z takes it back.`);
  return true;
}

/** Says the state; goes on by itself, but asks the level first where it is another one now. */
function answer(page, item, state) {
  if (!put(page, item, { state })) return;
  page.asks = ASKS_LEVEL.includes(state) && criteria(item).some(Boolean);
  if (page.asks) draw(page);
  else step(page, 1);
}

function level(page, item, level) {
  put(page, item, { level });
  step(page, 1);
}

function criteria(item) {
  return store.word(store.finding(item.finding).tag)?.levels ?? [];
}

function answers(page, item, finding) {
  if (!pictureOf(page, item)) return el("p", { class: "acts" }, ...walk(page));
  if (page.asks) return levels(page, item);
  const now = said(page, item)?.mark ?? null;
  const states = store.words.states.map((it, n) => {
    const props = { "aria-pressed": String(now?.state === it.id), data: { key: `state ${it.id}` }, "aria-keyshortcuts": String(n + 1) };
    return button([el("kbd", { "aria-hidden": "true" }, String(n + 1)), ` ${it.label}`], () => answer(page, item, it.id), props);
  });
  const buttons = el("div", { class: "acts states", role: "group", "aria-label": `What is ${finding.id} now?` });
  buttons.append(...states);
  buttons.append(...walk(page));
  return el("section", { class: "say" }, buttons);
}

function walk(page) {
  const back = page.at > 0 ? button("Previous one", () => step(page, -1), { class: "plain", data: { key: "previous" } }) : null;
  return [back, button("Leave it open, next one", () => step(page, 1), { class: "plain", data: { key: "next" } })].filter(Boolean);
}

function levels(page, item) {
  const options = criteria(item).map((text, n) => {
    const inside = [el("kbd", { "aria-hidden": "true" }, String(n + 1)), el("b", {}, ` ${LEVELS[n]}`), ` ${text}`];
    return text ? button(inside, () => level(page, item, n + 1), { data: { key: `level ${n + 1}` } }) : null;
  });
  const none = button([el("kbd", { "aria-hidden": "true" }, "0"), " not said"], () => level(page, item, null), { data: { key: "level 0" } });
  return el("section", { class: "say" }, el("h3", {}, "How much of it is there now?"), el("div", { class: "acts levels-now", role: "group", "aria-label": "Level" }, ...options.filter(Boolean), none));
}

// ---------------------------------------------------------------- the end

/** What was said of each, to be read once more and taken back where it is wrong. */
function summary(page) {
  const { order } = page;
  if (!order.length) return el("p", { class: "empty" }, "Every finding known before is spoken for in this shoot. ", link("#piece", "Back to the piece"));
  const spoken = order.map((item) => ({ item, now: said(page, item) }));
  const done = spoken.filter((it) => it.now);
  const back = el("a", { class: "act first", href: "#piece", data: { key: "done" } }, "All right: back to the piece");
  const all = done.length ? button(`Take all ${done.length} back`, () => takeBack(page, done), { class: "plain", data: { key: "all back" } }) : null;
  return el("section", {}, el("p", { class: "acts" }, back, all), el("ul", { class: "lines summary" }, ...spoken.map((it, n) => line(page, it, n))));
}

function line(page, { item, now }, n) {
  const finding = store.finding(item.finding);
  const words = now ? [stateLabel(now.mark.state), now.mark.level ? `level ${now.mark.level}` : null, `picture ${now.photo}`].filter(Boolean).join(", ") : "left open";
  const again = () => {
    Object.assign(page, { at: n, asks: false });
    draw(page);
  };
  const back = now ? button("Take back", () => takeBack(page, [{ item, now }]), { class: "plain", "aria-label": `Take back: ${finding.id}`, data: { key: `back ${finding.id}` } }) : null;
  return el("li", {}, el("span", {}, el("b", {}, findingName(finding)), `, ${finding.part_label}`), el("b", {}, words), el("span", {}, button("Look again", again, { class: "plain", "aria-label": `Look again: ${finding.id}` }), back));
}

function takeBack(page, lines) {
  const photos = Object.groupBy(lines, (it) => it.now.photo);
  const all = Object.entries(photos).map(([no, list]) => ({ photo: Number(no), changes: list.map((it) => ({ do: "remove", was: it.now.mark })) }));
  const text = lines.length === 1 ? `${lines[0].item.finding}: taken back` : `${lines.length} findings: taken back`;
  if (store.changeAll(all, text)) announce(text);
}

// ---------------------------------------------------------------- steps

function step(page, by) {
  page.at = Math.min(page.order.length, Math.max(0, page.at + by));
  page.asks = false;
  draw(page);
  const item = page.order[page.at];
  if (item) announce(`${findingName(store.finding(item.finding))}, ${page.at + 1} of ${count(page.order.length, "finding")}`);
  if (!page.host.contains(document.activeElement)) page.host.focus({ preventScroll: true });
}

function onKey(page, event) {
  const key = event.key.toLowerCase();
  const item = page.order[page.at];
  if (key === "n" || key === "p") step(page, key === "n" ? 1 : -1);
  else if (key === "+" || key === "=") page.twin?.zoom(1.5);
  else if (key === "-") page.twin?.zoom(1 / 1.5);
  else if (!item || event.target.type === "radio" || !/^\d$/.test(key)) return false;
  else return digit(page, item, Number(key));
  return true;
}

function digit(page, item, number) {
  if (page.asks) {
    if (number && !criteria(item)[number - 1]) return false;
    level(page, item, number || null);
    return true;
  }
  const state = store.words.states[number - 1];
  if (state) answer(page, item, state.id);
  else if (number === 0) page.twin?.whole();
  return Boolean(state) || number === 0;
}
