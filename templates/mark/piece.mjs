// The page of the whole piece: what is to be looked at again, the pile, the findings, the views still missing, all pictures.

import { button, count, el, redraw } from "./el.mjs";
import { findingLine } from "./finding.mjs";
import { due } from "./naming.mjs";
import { askedOf, caption, guessed, handBar, lastLaid, notLaid, opener, picked, pictureList, pile, putDown, takeGuesses } from "./pile.mjs";
import { store } from "./store.mjs";

const NARROW = matchMedia("(max-width: 63.99rem)");

/** Opens the page of the piece in `host`. */
export function piecePage(host) {
  const page = { pile: pile(), all: pictureList((photo) => [opener(photo), el("p", { class: "caption" }, ...caption(photo))], () => "", "All pictures") };
  for (const name of ["top", "hand", "waiting", "again", "next", "findings", "missing", "pictures"]) page[name] = el("div");
  page.hand.className = "held";
  page.every = el("details", { class: "all", on: { toggle: () => page.every.open && page.all.draw(store.photos()) } });
  page.pictures.append(page.every);
  host.replaceChildren(page.top, page.hand, page.waiting, page.again, page.next, page.findings, page.missing, page.pictures);
  return { draw: () => draw(page), out: putDown, key: (event) => onKey(page, event) };
}

/** T takes the guesses; V and P go to the view and the part of what is picked up. */
function onKey(page, event) {
  const key = event.key.toLowerCase();
  if (key === "t") return takeGuesses();
  const field = { v: "hand view", p: "hand part" }[key];
  const there = field && page.hand.querySelector(`[data-key="${field}"]`);
  there?.focus();
  there?.click();
  return Boolean(there);
}

function when(host, stamp, make) {
  const text = JSON.stringify(stamp);
  if (host.stamp === text) return;
  host.stamp = text;
  redraw(host, make() ?? []);
}

function draw(page) {
  const photos = notLaid();
  document.body.toggleAttribute("data-waits", photos.length > 0);
  when(page.top, [photos.length, lastLaid(), guessed().length], () => pileHead(photos));
  when(page.hand, [picked(), askedOf(), store.walk.parts.length], () => handBar());
  when(page.waiting, photos.length > 0, () => (photos.length ? page.pile.node : null));
  page.pile.draw(photos);
  drawAgain(page.again);
  drawNext(page.next, photos.length);
  drawFindings(page.findings);
  drawMissing(page.missing);
  drawAll(page);
}

/** What leads while pictures wait: to take what is guessed right of them. */
function pileHead(photos) {
  const said = lastLaid() ? el("p", { class: "done" }, `${lastLaid()}.`) : null;
  if (!photos.length) return said ? [said] : null;
  const sure = guessed().length;
  const take = sure ? button([`Take the ${count(sure, "guess", "guesses")} `, el("kbd", { "aria-hidden": "true" }, "T")], () => takeGuesses(), { class: "first", "aria-keyshortcuts": "T", data: { key: "take" } }) : null;
  const how = sure ? "Look over them. Pick up what is guessed wrong, then take the others." : "Pick up those that show the same, then choose the view or the part.";
  return [el("div", { class: "lead-line" }, el("div", {}, el("h2", { id: "pile" }, "Not laid yet", el("span", { class: "quiet" }, ` ${count(photos.length, "picture")}`)), el("p", { class: "quiet" }, how)), take), said];
}

/** With every picture laid and every finding looked at: the first part of which nothing is said. */
function drawNext(host, waiting) {
  const silent = store.walk.parts.find((it) => !it.inner && it.state === "silent");
  const again = due().length;
  when(host, [waiting, again, silent?.id], () => {
    if (waiting || again) return null;
    if (!silent) return el("section", {}, el("h2", {}, "All is said"), el("p", { class: "quiet" }, "Every picture is laid, and something is said of every outer part."));
    return el("section", {}, el("h2", {}, "Next"), el("p", {}, el("a", { class: "act first", href: `#part/${encodeURIComponent(silent.id)}`, data: { key: "next part" } }, `${silent.label}: say what is to be seen`)));
  });
}

function drawAgain(host) {
  const { shoots } = store.walk;
  const again = due();
  const lines = shoots.map((it) => ({ shoot: it, number: again.filter((item) => item.shoot === it.no).length }));
  const lead = lines.filter((it) => it.number > 0);
  when(host, lead, () => {
    if (!lead.length) return null;
    const entries = lead.map(({ shoot, number }, n) => el("li", {}, el("a", { class: n ? "act" : "act first", href: `#again/${shoot.no}` }, `${shoot.label}: ${count(number, "finding")}`)));
    return el("section", {}, el("h2", {}, "What is it now?"), el("p", { class: "quiet" }, "Findings from earlier of which these shoots say nothing yet."), el("ul", { class: "go" }, ...entries));
  });
}

function drawFindings(host) {
  const { findings } = store.walk;
  when(host, findings, () => {
    if (!findings.length) return null;
    return el("section", {}, el("h2", {}, "Findings", el("span", { class: "quiet" }, ` ${findings.length}`)), el("ul", { class: "findings" }, ...findings.map((it) => findingLine(it))));
  });
}

function drawMissing(host) {
  const stages = new Set(store.shown === null ? store.walk.shoots.map((it) => it.stage) : [store.shoot(store.shown).stage]);
  const due = store.walk.missing_views.filter((it) => stages.has(it.stage));
  const files = store.walk.missing_files;
  when(host, [due, files], () => {
    if (!due.length && !files.length) return null;
    const byStage = Object.entries(Object.groupBy(due, (it) => it.stage));
    const lists = byStage.map(([stage, views]) => el("details", { open: byStage.length === 1 && !NARROW.matches }, el("summary", {}, `At ${stage}: ${count(views.length, "view")}`), el("ul", { class: "lines" }, ...views.map(viewLine))));
    const gone = files.length ? el("p", { class: "note" }, `Not in the folder any more: ${files.join(", ")}`) : null;
    return el("section", {}, el("h2", {}, "Views still missing", el("span", { class: "quiet" }, ` ${due.length}`)), ...lists, gone);
  });
}

function viewLine(it) {
  const how = store.view(it.view)?.how;
  return el("li", {}, el("b", {}, it.label), how ? `. ${how}` : "");
}

function drawAll(page) {
  const photos = store.photos();
  if (!page.every.firstChild) page.every.append(el("summary", {}, el("h2", {}, "All pictures")), page.all.node);
  if (page.every.open) page.all.draw(photos);
}
