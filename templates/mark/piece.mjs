// The page of the whole piece: what is to be looked at again, the pile, the findings, the views still missing, all pictures.

import { count, el, link, redraw } from "./el.mjs";
import { findingLine } from "./finding.mjs";
import { caption, handBar, lastLaid, notLaid, opener, picked, pictureList, pile, putDown } from "./pile.mjs";
import { store } from "./store.mjs";

/** Opens the page of the piece in `host`. */
export function piecePage(host) {
  const page = { pile: pile(), all: pictureList((photo) => [opener(photo), el("p", { class: "caption" }, ...caption(photo))], () => "", "All pictures") };
  for (const name of ["again", "hand", "top", "waiting", "findings", "missing", "pictures"]) page[name] = el("div");
  page.hand.className = "held";
  page.every = el("details", { class: "all", on: { toggle: () => page.every.open && page.all.draw(store.photos()) } });
  page.pictures.append(page.every);
  host.replaceChildren(page.again, page.top, page.hand, page.waiting, page.findings, page.missing, page.pictures);
  return { draw: () => draw(page), out: putDown };
}

function when(host, stamp, make) {
  const text = JSON.stringify(stamp);
  if (host.stamp === text) return;
  host.stamp = text;
  redraw(host, make() ?? []);
}

function draw(page) {
  drawAgain(page.again);
  const photos = notLaid();
  when(page.top, [photos.length, lastLaid()], () => pileHead(photos));
  when(page.hand, [picked(), store.walk.parts.length], () => handBar());
  when(page.waiting, photos.length > 0, () => (photos.length ? page.pile.node : null));
  page.pile.draw(photos);
  drawFindings(page.findings);
  drawMissing(page.missing);
  drawAll(page);
}

function pileHead(photos) {
  const said = lastLaid() ? el("p", { class: "done" }, `${lastLaid()}. `) : null;
  const empty = "Something is said of every picture. Choose a part on the drawing to go on.";
  const how = "Nothing is said yet of these. Pick up those that show the same part, then choose the part; or open one.";
  return [el("h2", { id: "pile" }, "Not laid yet", el("span", { class: "quiet" }, ` ${count(photos.length, "picture")}`)), said, el("p", { class: "quiet" }, photos.length ? how : empty)];
}

function drawAgain(host) {
  const { again, shoots } = store.walk;
  const lines = shoots.map((it) => ({ shoot: it, number: again.filter((item) => item.shoot === it.no).length }));
  const due = lines.filter((it) => it.number > 0 && (store.shown === null || it.shoot.no === store.shown));
  when(host, due, () => {
    if (!due.length) return null;
    const entries = due.map(({ shoot, number }) => el("li", {}, link(`#again/${shoot.no}`, `${shoot.label}: ${count(number, "finding")} to look at again`)));
    return el("section", {}, el("h2", {}, "What is it now?"), el("p", { class: "quiet" }, "Known from earlier; nothing is said of them in these shoots."), el("ul", { class: "go" }, ...entries));
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
    const lists = byStage.map(([stage, views]) => el("details", { open: byStage.length === 1 }, el("summary", {}, `At ${stage}: ${count(views.length, "view")}`), el("ul", { class: "lines" }, ...views.map(viewLine))));
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
