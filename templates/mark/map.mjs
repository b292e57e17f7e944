// The piece unfolded: each part shows by pattern and word what was said of it. Under the drawing the same as a plain list.

import { count, el, redraw, svg } from "./el.mjs";
import { layOn, mayLay, picked } from "./pile.mjs";
import { store } from "./store.mjs";

/** States of a part in the order of the legend, with the words of the legend. */
export const STATES = [
  ["silent", "nothing said yet"],
  ["sound", "looked for, nothing found"],
  ["faults", "findings"],
  ["closed", "findings, 0 still there"],
  ["not_examined", "not examined"],
  ["absent", "not there"],
];

/** The smallest side of what can be hit, units of the drawing. */
const REACH = 36;
/** How far what can be hit may reach over a neighbour's edge. */
const EDGE = 2;
const LINE = 13;
const LETTER = 5.9;

/** States that have a pattern. */
const PATTERNS = ["sound", "faults", "closed", "not_examined"];

let drawn = "";
/** Parts whose inner parts are listed, and whether the list is open; `null` as wide windows have it. */
const unfolded = new Set();
let listOpen = null;

/** Draws the map into `host`; `page` says which part is chosen. */
export function drawMap(host, page) {
  const chosen = page.route === "part" ? page.id : null;
  const parts = store.walk.parts.map((it) => [it.id, it.state, it.told]);
  const stamp = JSON.stringify([chosen, parts, store.walk.map, mayLay() && picked().length]);
  if (stamp === drawn) return;
  drawn = stamp;
  const whole = chosen ? store.part(chosen).whole : null;
  if (whole && whole !== chosen) unfolded.add(whole);
  redraw(
    host,
    el("h2", { id: "map-title" }, "The piece"),
    mayLay() ? el("p", { class: "ask" }, `Choose the part that ${picked().length === 1 ? "this picture shows" : "these pictures show"}.`) : null,
    patterns(),
    el("div", { class: "plans" }, ...store.walk.map.plans.map((plan) => drawing(plan, [whole ?? chosen].filter(Boolean)))),
    elsewhere(),
    legend(),
    list(chosen),
  );
}

/** The drawing alone, small, with `parts` lit: for beside a picture. */
export function smallMap(parts) {
  const plan = store.walk.map.plans.find((it) => it.name === "wide") ?? store.walk.map.plans[0];
  if (!plan) return el("div");
  const lit = parts.map((id) => store.part(id)?.whole ?? id);
  const names = parts.map((id) => store.part(id)?.label ?? id).join(", ");
  const picture = svg("svg", { viewBox: `0 0 ${plan.w} ${plan.h}`, class: "plan small", role: "img", "aria-label": names ? `Lit on the drawing: ${names}` : "The piece, nothing lit" });
  picture.append(...outlines(plan), ...groups(plan).filter((it) => it.parts.some((id) => lit.includes(id))).map((it) => rect("lit", it)));
  return picture;
}

// ---------------------------------------------------------------- the drawing

function patterns() {
  const of = (name, size, ...inside) => svg("pattern", { id: `state-${name}`, width: size, height: size, patternUnits: "userSpaceOnUse", class: `of-${name}` }, ...inside);
  const question = "M6 7.5c0-4 6-4 6 0c0 2-3 2-3 4.5M9 14.6v1.2";
  return svg("svg", { class: "unseen", "aria-hidden": "true", width: 0, height: 0 }, svg("defs", {},
    of("sound", 7, svg("circle", { cx: 3.5, cy: 3.5, r: 0.95 })),
    of("faults", 6, svg("path", { d: "M-1 7L7 -1M-1 1L1 -1M5 7L7 5" })),
    of("closed", 16, svg("path", { d: "M-1 17L17 -1M-1 1L1 -1M15 17L17 15" })),
    of("not_examined", 22, svg("path", { d: question })),
  ));
}

function outlines(plan) {
  const shapes = plan.shapes.map((it) => svg("path", { class: it.class, d: it.path }));
  return [...shapes, ...plan.dots.map((it) => svg("circle", { class: "dot", cx: it.x, cy: it.y, r: it.r }))];
}

/** Places of a plan, parts in the same place together, large ones first: [{parts, x, y, w, h}]. */
function groups(plan) {
  const found = new Map();
  for (const it of plan.places) {
    const [x, y, w, h] = [it.x, it.y, it.w, it.h].map(Number);
    const key = [x, y, w, h].join();
    if (!found.has(key)) found.set(key, { x, y, w, h, parts: [] });
    found.get(key).parts.push(it.part);
  }
  return [...found.values()].sort((a, b) => b.w * b.h - a.w * a.h);
}

function drawing(plan, lit) {
  const all = groups(plan);
  const picture = svg("svg", { viewBox: `0 0 ${plan.w} ${plan.h}`, class: `plan ${plan.name}`, role: "group", "aria-label": "The piece unfolded; arrow keys go from part to part" });
  const start = all.find((it) => lit.includes(it.parts[0])) ?? all[0];
  const places = all.map((it) => place(plan, it, all, { lit: it.parts.some((id) => lit.includes(id)), start: it === start }));
  const told = svg("g", { "aria-hidden": "true" }, ...all.flatMap((it) => words(plan, it, all)));
  picture.append(svg("g", { class: "ground" }, ...all.map(fillOf)), ...outlines(plan), told, ...places, names(plan));
  picture.addEventListener("keydown", (event) => move(event, picture));
  return picture;
}

function names(plan) {
  return svg("g", { class: "names", "aria-hidden": "true" }, ...plan.words.map((it) => svg("text", { class: it.class, x: it.x, y: it.y, text: it.text })));
}

function rect(name, { x, y, w, h }, grow = 0) {
  return svg("rect", { class: name, x: x - grow, y: y - grow, width: w + 2 * grow, height: h + 2 * grow });
}

/** How a part is shown: its state; `closed` for findings of which none is still there. */
export function shade(part) {
  const closed = part?.state === "faults" && / 0 still there$/.test(part.told);
  return closed ? "closed" : (part?.state ?? "silent");
}

/** The state that a place shows: of several parts in one place the one that says least. */
function stateOf(group) {
  const order = ["silent", "not_examined", "faults", "closed", "absent", "sound"];
  const states = group.parts.map((id) => shade(store.part(id)));
  return states.sort((a, b) => order.indexOf(a) - order.indexOf(b))[0];
}

function fillOf(group) {
  const state = stateOf(group);
  const area = rect(`state ${state}`, group);
  if (PATTERNS.includes(state)) area.setAttribute("fill", `url(#state-${state})`);
  const ground = rect("paper", group);
  if (state !== "absent") return svg("g", {}, ground, area);
  const { x, y, w, h } = group;
  return svg("g", {}, ground, area, svg("path", { class: "crossed", d: `M${x} ${y}l${w} ${h}M${x} ${y + h}l${w} ${-h}` }));
}

/** What can be hit of a place: small ones reach beyond themselves, but not into a small neighbour. */
function reach(group, all) {
  const grown = { ...group };
  for (const [at, size, other, across] of [["x", "w", "y", "h"], ["y", "h", "x", "w"]]) {
    const more = REACH - group[size];
    if (more <= 0) continue;
    const beside = all.filter((it) => it !== group && it[size] < 4 * REACH && it[other] < group[other] + group[across] && it[other] + it[across] > group[other]);
    const end = group[at] + group[size];
    const after = Math.min(...beside.map((it) => it[at]).filter((it) => it >= end - 0.5)) + EDGE;
    const before = Math.max(...beside.map((it) => it[at] + it[size]).filter((it) => it <= group[at] + 0.5)) - EDGE;
    const start = Math.max(Math.min(group[at] - more / 2, after - REACH), before);
    Object.assign(grown, { [at]: start, [size]: Math.max(group[size], Math.min(REACH, after - start)) });
  }
  return grown;
}

function place(plan, group, all, { lit, start }) {
  const parts = group.parts.map((id) => store.part(id)).filter(Boolean);
  const label = parts.map((it) => `${it.label}: ${it.told}`).join("; ");
  const hit = rect("hit", reach(group, all));
  const id = group.parts[0];
  const props = { href: `#part/${id}`, class: lit ? "part lit" : "part", "aria-label": label, tabindex: start ? 0 : -1, "aria-current": lit ? "true" : null };
  return svg("a", { ...props, data: { key: `${plan.name} ${id}`, part: id }, on: { click: (event) => layOn(id, event) } }, svg("title", { text: label }), hit, rect("ring", group));
}

/** Whether smaller places lie on most of this one. */
function covered(group, all) {
  const inside = all.filter((it) => it !== group && it.x >= group.x - 1 && it.y >= group.y - 1 && it.x + it.w <= group.x + group.w + 1 && it.y + it.h <= group.y + group.h + 1);
  return inside.reduce((sum, it) => sum + it.w * it.h, 0) > 0.35 * group.w * group.h;
}

/** Room that words already on the drawing leave in a place, left and right of its middle. */
function roomIn(plan, { x, y, w, h }) {
  const words = plan.words.map((it) => ({ x: Number(it.x), y: Number(it.y), text: it.text }));
  const there = words.filter((it) => it.x > x && it.x < x + w && it.y > y && it.y < y + h);
  return w - 2 * Math.max(0, ...there.map((it) => it.x + it.text.length * LETTER - x));
}

/** The words of a place where there is room for them; else the number of findings; else nothing (the list says it). */
function words(plan, group, all) {
  const part = store.part(group.parts[0]);
  if (!part || covered(group, all)) return [];
  const room = Math.floor((roomIn(plan, group) - 8) / LETTER);
  const fits = (lines) => lines.length * LINE <= group.h - 4 && lines.every((it) => it.length <= room);
  const short = part.state === "faults" && group.w > 12 && group.h > LINE ? [String(part.findings.length || "")] : [];
  const text = [[part.told], (part.state === "faults" ? part.told.split(", ") : [part.told]).flatMap((it) => wrap(it, room))].find(fits) ?? short;
  const [x, y] = [group.x + group.w / 2, group.y + group.h / 2 - ((text.length - 1) * LINE) / 2 + 4];
  return text.map((it, n) => svg("text", { class: "told", x, y: y + n * LINE, text: it }));
}

function wrap(text, room) {
  const lines = [""];
  for (const word of text.split(" ")) {
    const longer = `${lines.at(-1)} ${word}`.trim();
    if (longer.length <= room || lines.at(-1) === "") lines[lines.length - 1] = longer;
    else lines.push(word);
  }
  return lines;
}

const WAYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

/** Arrow keys: to the nearest part that lies in that direction. */
function move(event, picture) {
  const way = WAYS[event.key];
  const from = event.target.closest?.("a.part");
  if (!way || !from) return;
  event.preventDefault();
  const middle = (node) => {
    const box = node.querySelector(".ring").getBBox();
    return [box.x + box.width / 2, box.y + box.height / 2];
  };
  const [x, y] = middle(from);
  let best = null;
  for (const node of picture.querySelectorAll("a.part")) {
    const [dx, dy] = [middle(node)[0] - x, middle(node)[1] - y];
    const ahead = dx * way[0] + dy * way[1];
    const aside = Math.abs(dx * way[1]) + Math.abs(dy * way[0]);
    if (node === from || ahead < 2 || aside > ahead * 2) continue;
    if (!best || ahead + 2 * aside < best.far) best = { node, far: ahead + 2 * aside };
  }
  if (!best) return;
  from.setAttribute("tabindex", "-1");
  best.node.setAttribute("tabindex", "0");
  best.node.focus();
}

// ---------------------------------------------------------------- legend and list

/** A small field with the pattern of a state. */
export function swatch(state) {
  const area = rect(`state ${state}`, { x: 1, y: 1, w: 32, h: 20 });
  if (PATTERNS.includes(state)) area.setAttribute("fill", `url(#state-${state})`);
  const crossed = state === "absent" ? svg("path", { class: "crossed", d: "M1 1l32 20M1 21l32 -20" }) : null;
  return svg("svg", { class: "swatch", viewBox: "0 0 34 22", "aria-hidden": "true" }, area, crossed);
}

/** Outer parts that the drawing does not show by themselves. */
function elsewhere() {
  const parts = store.walk.map.elsewhere.map((id) => store.part(id)).filter(Boolean);
  if (!parts.length) return null;
  const links = parts.map((it) => el("li", {}, el("a", { href: `#part/${it.id}`, "aria-label": `${it.label}: ${it.told}`, data: { key: `beside ${it.id}` }, on: { click: (event) => layOn(it.id, event) } }, swatch(shade(it)), it.label)));
  return el("ul", { class: "elsewhere", "aria-label": "Not on the drawing by themselves" }, ...links);
}

function legend() {
  const number = (state) => store.walk.parts.filter((it) => shade(it) === state).length;
  return el("ul", { class: "legend", "aria-label": "What the patterns say" }, ...STATES.map(([state, words]) => el("li", {}, swatch(state), el("span", {}, words, el("span", { class: "quiet" }, ` ${number(state)}`)))));
}

function list(chosen) {
  const outer = store.walk.parts.filter((it) => !it.inner);
  const open = el("ul", { class: "parts" }, ...outer.map((part) => entry(part, chosen)));
  const props = { open: listOpen ?? matchMedia("(min-width: 64rem)").matches, on: { toggle: (event) => (listOpen = event.target.open) } };
  const title = el("summary", { data: { key: "list" } }, el("h3", { id: "list-title" }, "All parts, in walking order"));
  return el("nav", { class: "list", "aria-labelledby": "list-title" }, el("details", props, title, open));
}

function entry(part, chosen) {
  const inner = store.walk.parts.filter((it) => it.inner && it.whole === part.id);
  return el("li", {}, line(part, chosen), inner.length ? within(part, inner, chosen) : null);
}

function line(part, chosen) {
  const props = { href: `#part/${part.id}`, class: "line-to", "aria-current": part.id === chosen ? "true" : null, data: { key: `list ${part.id}` }, on: { click: (event) => layOn(part.id, event) } };
  return el("a", props, swatch(shade(part)), el("span", {}, part.label), el("span", { class: "quiet" }, part.told));
}

/** The inner parts, listed once they are asked for. */
function within(part, inner, chosen) {
  const spoken = inner.filter((it) => it.state !== "silent").length;
  const name = `${count(inner.length, "inner part")}, ${spoken} spoken for`;
  const lines = () => inner.map((it) => el("li", {}, line(it, chosen)));
  const list = el("ul", {}, ...(unfolded.has(part.id) ? lines() : []));
  const toggle = (event) => {
    if (event.target.open) unfolded.add(part.id);
    else unfolded.delete(part.id);
    if (event.target.open && !list.firstChild) list.append(...lines());
  };
  return el("details", { open: unfolded.has(part.id), on: { toggle } }, el("summary", { data: { key: `within ${part.id}` } }, name), list);
}
