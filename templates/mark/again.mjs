// "What is it now?": findings known from before, one after the other, beside the pictures of a later shoot.

import { announce, button, count, el, large, link, redraw, sync, thumb } from "./el.mjs";
import { markOf } from "./changes.mjs";
import { cut } from "./cut.mjs";
import { findingName, lastMark, markAt } from "./finding.mjs";
import { store } from "./store.mjs";

const LEVELS = ["trace", "visible", "heavy", "failing"];
/** States for which a level says something. */
const WITH_LEVEL = ["present", "better", "worse", "repaired"];

/** Opens the queue of a shoot in `host`. */
export function againPage(host, shoot) {
  const page = { host, shoot, at: 0, order: [], picture: new Map(), level: new Map() };
  Object.assign(page, { head: el("div"), now: el("div", { class: "then-now" }), say: el("div") });
  page.strip = el("div", { class: "strip", role: "radiogroup", "aria-label": "Pictures of this shoot" });
  page.others = el("section", { class: "others" }, el("h3", {}, "Another picture of this shoot"), page.strip);
  host.replaceChildren(page.head, page.now, page.say, page.others);
  return { draw: () => draw(page), title: () => `What is it now? ${store.walk.piece.title}`, key: (event) => onKey(page, event) };
}

function draw(page) {
  const due = store.walk.again.filter((it) => it.shoot === page.shoot);
  for (const it of due) if (!page.order.some((known) => known.finding === it.finding)) page.order.push(it);
  page.order = page.order.filter((it) => store.finding(it.finding));
  const item = page.order[page.at] ?? null;
  const stamp = JSON.stringify([page.at, page.order.length, item && store.finding(item.finding), item && said(page, item), item && page.picture.get(item.finding), item && page.level.get(item.finding)]);
  if (stamp === page.stamp) return;
  page.stamp = stamp;
  page.others.hidden = !item || candidates(item).length < 2;
  if (!item) return redraw(page.now, el("p", { class: "empty" }, page.order.length ? "That was the last one. " : "Every finding known before is spoken for in this shoot. ", link("#piece", "Back to the piece"))), redraw(page.say), redraw(page.head, title(page));
  const finding = store.finding(item.finding);
  redraw(page.head, title(page), el("p", { class: "lead" }, el("b", {}, findingName(finding)), `, ${finding.part_label}`), el("p", { class: "quiet" }, finding.plain));
  redraw(page.now, before(item, finding), after(page, item, finding));
  redraw(page.say, answers(page, item, finding));
}

function title(page) {
  const shoot = store.shoot(page.shoot);
  const place = page.at < page.order.length ? `${page.at + 1} of ${page.order.length}` : `${page.order.length} looked at`;
  return el("div", {}, el("p", { class: "eyebrow" }, shoot.label), el("h2", {}, "What is it now?", el("span", { class: "quiet" }, ` ${place}`)));
}

// ---------------------------------------------------------------- before and now

function before(item, finding) {
  const place = item.earlier ?? lastMark(finding, item.shoot);
  const photo = place ? store.photo(place.photo) : null;
  if (!photo) return el("p", { class: "empty" }, "No earlier picture.");
  const mark = markAt(place);
  const facts = [mark?.level ? `level ${mark.level}` : null, mark?.size, mark?.note].filter(Boolean).join(" · ");
  const words = el("figcaption", {}, el("b", {}, "Before"), `: picture ${photo.no}, ${store.shoot(photo.shoot).label}`, facts ? el("span", { class: "quiet" }, facts) : "");
  return el("figure", {}, el("a", { href: `#picture/${photo.no}?part=${finding.part}`, data: { key: "before" } }, cut(photo, mark?.region ?? null, { alt: `Before, picture ${photo.no}` })), words);
}

function pictureOf(page, item) {
  const spoken = said(page, item)?.photo;
  return store.photo(page.picture.get(item.finding) ?? spoken) ?? candidates(item)[0] ?? null;
}

function after(page, item, finding) {
  const photo = pictureOf(page, item);
  if (!photo) return el("p", { class: "empty" }, "This shoot has no picture.");
  const image = large(photo, `Now, picture ${photo.no}`, 36);
  const words = el("figcaption", {}, el("b", {}, "Now"), `: picture ${photo.no}, ${store.shoot(photo.shoot).label}`);
  sync(page.strip, candidates(item), (it) => it.no, (it) => choice(page, item, it), (it) => `${item.finding} ${it.no === photo.no}`);
  return el("figure", {}, el("a", { href: `#picture/${photo.no}?part=${finding.part}`, data: { key: "now" } }, image), words);
}

/** The likely pictures first, then the others of the shoot. */
function candidates(item) {
  const likely = item.candidates.map((no) => store.photo(no)).filter(Boolean);
  const others = store.walk.photos.filter((it) => it.shoot === item.shoot && !likely.includes(it));
  return [...likely, ...others].slice(0, 60);
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
  const now = said(page, item)?.mark ?? null;
  const mark = markOf({ finding: item.finding, level: page.level.get(item.finding) ?? null, ...now, ...fields });
  if (!WITH_LEVEL.includes(mark.state)) mark.level = null;
  const change = now ? { do: "replace", was: now, mark } : { do: "add", mark };
  const words = store.words.states.find((it) => it.id === mark.state).label;
  const text = `${findingName(finding)}: ${words}, picture ${photo.no}`;
  if (store.change(photo.no, [change], text)) announce(`${text}. N goes to the next one, Ctrl Z takes it back.`);
}

function answers(page, item, finding) {
  const now = said(page, item)?.mark ?? null;
  const states = store.words.states.map((it, n) => {
    const props = { "aria-pressed": String(now?.state === it.id), data: { key: `state ${it.id}` }, "aria-keyshortcuts": String(n + 1) };
    return button([el("kbd", { "aria-hidden": "true" }, String(n + 1)), ` ${it.label}`], () => put(page, item, { state: it.id }), props);
  });
  const buttons = el("div", { class: "acts states", role: "group", "aria-label": "What is it now?" });
  buttons.append(...states);
  return el(
    "section",
    { class: "say" },
    buttons,
    !now || WITH_LEVEL.includes(now.state) ? levels(page, item, finding, now) : null,
    now ? noteField(page, item, now) : null,
    el("p", { class: "acts" }, page.at > 0 ? button("Previous one", () => step(page, -1), { data: { key: "previous" } }) : null, button(now ? "Next one" : "Leave it open, next one", () => step(page, 1), { class: now ? "first" : null, data: { key: "next" } })),
  );
}

function levels(page, item, finding, now) {
  const criteria = store.word(finding.tag)?.levels ?? [];
  const value = now ? now.level : (page.level.get(item.finding) ?? null);
  const pick = (level) => {
    page.level.set(item.finding, level);
    if (now) put(page, item, { level });
    else draw(page);
  };
  const option = (level, ...text) => {
    const props = { type: "radio", name: "level-now", checked: value === level, data: { key: `level ${level}` }, on: { change: () => pick(level) } };
    return el("label", { class: "level" }, el("input", props), el("span", {}, ...text));
  };
  const offered = criteria.map((text, n) => (text ? option(n + 1, el("b", {}, `${n + 1} ${LEVELS[n]}`), ` ${text}`) : null));
  return el("fieldset", { class: "levels" }, el("legend", {}, "How much of it is there now"), option(null, "not said"), ...offered);
}

function noteField(page, item, now) {
  const take = (event) => put(page, item, { note: event.target.value.trim() || null });
  const field = el("input", { id: "note-now", type: "text", autocomplete: "off", data: { key: "note now" }, on: { change: take } });
  field.value = now.note ?? "";
  return el("p", { class: "field" }, el("label", { for: "note-now" }, "Note for the report"), field);
}

// ---------------------------------------------------------------- steps

function step(page, by) {
  page.at = Math.min(page.order.length, Math.max(0, page.at + by));
  draw(page);
  const item = page.order[page.at];
  announce(item ? `${findingName(store.finding(item.finding))}, ${page.at + 1} of ${count(page.order.length, "finding")}` : "That was the last one");
  if (!page.host.contains(document.activeElement)) page.host.focus({ preventScroll: true });
}

function onKey(page, event) {
  const key = event.key.toLowerCase();
  if (key === "n" || key === "p") {
    step(page, key === "n" ? 1 : -1);
    return true;
  }
  const state = store.words.states[Number(key) - 1];
  const item = page.order[page.at];
  if (!state || !item || event.target.type === "radio") return false;
  put(page, item, { state: state.id });
  return true;
}
