// A photo opened: the picture on its stage, the words to draw with, and the column of what is said of it.

import { kinOf, merged, same } from "./changes.mjs";
import { Column } from "./column.mjs";
import { Hand } from "./draw.mjs";
import { announce, link } from "./el.mjs";
import { notice } from "./notice.mjs";
import { draftOf, keepDraft } from "./drafts.mjs";
import { easel, head } from "./easel.mjs";
import { LAYING, ask as askFace, beginLaying, drawnFaces, faceOf, facePath, partUnder } from "./faces.mjs";
import { MarkForm } from "./form.mjs";
import { Loupe } from "./loupe.mjs";
import { smallMap } from "./map.mjs";
import { Offers } from "./offer.mjs";
import { Overlay } from "./overlay.mjs";
import { Measurer, layCard, pullScale, scaleRegion, written } from "./scale.mjs";
import { hear, nextWaiting, rowOf } from "./row.mjs";
import { prepare } from "./search.mjs";
import { boundsOf, handlesOf } from "./shapes.mjs";
import { store } from "./store.mjs";
import { markWords } from "./told.mjs";
import { address, findingOf, isPast, nameOf, numbered, partOf, takenBackBy, wordOf } from "./naming.mjs";
import { Sheet } from "./zoom.mjs";

export { KEYS } from "./hand_keys.mjs";

/** Keys of what lies in the picture and is no mark of the list: the scale, and a shape that has no words yet. */
const SCALE = "scale";
const FRESH = "fresh";

/** How long saving takes at most, usually. */
const SAVED_MS = 600;

/** A mark that waits as a draft for a picture to open: {photo, draft}. */
let waiting = null;

/** Word, part and level of the fault that was said last. */
let lastSaid = null;

/** Opens a photo in `host`. @param {HTMLElement} host @param {number} no @param {{part?: string|null}} [from] @returns {Promise<{close: () => void}>} */
export async function openPicture(host, no, { part = null } = {}) {
  const desk = new Desk(host, no, part);
  return { close: () => desk.close() };
}

class Desk {
  constructor(host, no, part) {
    Object.assign(this, { no, part, chosen: null, form: null, fresh: null, ends: null, object: null });
    this.build(host);
    this.overlay = new Overlay(this.stage);
    this.sheet = new Sheet(this.stage, this.photo(), (view) => this.overlay.place(view));
    this.loupe = new Loupe(this.stage, this.sheet);
    this.hand = new Hand(this.stage, this.sheet, this);
    this.measurer = new Measurer(no, () => this.photo()?.said);
    this.offers = new Offers(this);
    this.column = new Column(this.said, this);
    this.off = store.on(() => this.draw());
    this.deaf = hear(this);
    this.draw();
    this.takeDraft();
    requestIdleCallback?.(() => prepare([...store.words.tags, ...store.words.cues]));
    scrollTo(0, 0);
    this.stage.focus({ preventScroll: true });
    if (draftOf(no)) this.form.focus();
  }

  close() {
    this.touched();
    this.closed = true;
    this.offers.close();
    this.column.close();
    this.hand.close();
    this.off();
    this.deaf();
    this.sheet.close();
  }

  photo() {
    return store.photo(this.no);
  }

  get tool() {
    return this.hand?.tool ?? null;
  }

  // ---------------------------------------------------------------- the page

  build(host) {
    const row = rowOf(this);
    const nodes = easel(this, this.photo(), row);
    this.many = row.length;
    Object.assign(this, nodes);
    host.replaceChildren(nodes.root);
  }

  /** Shows what is now so. */
  draw() {
    if (this.closed || !this.photo()) return;
    const { said } = this.photo();
    const marks = this.laying ? [] : numbered(this.photo()).filter((it) => it.mark.region);
    const drawn = marks.map((it) => ({ key: it.key, number: it.number, region: it.mark.region, look: isPast(it.mark) ? "past" : "there" }));
    if (said.scale) drawn.push({ key: SCALE, number: written(said.scale.width_mm), region: scaleRegion(said.scale), look: "scale" });
    if (this.ends) drawn.push({ key: "ends", number: "?", region: { line: this.ends }, look: "scale" });
    drawn.push(...drawnFaces(said).filter((it) => !this.laying || it.key !== `face ${this.laying.face}`));
    if (this.laying) drawn.push({ key: LAYING, number: faceOf(this.laying.face)?.label ?? "", region: { outline: this.laying.corners }, look: "face", draw: (it) => facePath(it.outline) });
    drawn.push(...this.offers.drawn());
    if (this.fresh?.region) drawn.push({ key: FRESH, number: "new", region: this.fresh.region, look: "there" });
    this.overlay.draw(drawn);
    this.overlay.light(this.chosenKey);
    this.drawLines();
    this.said.hidden = Boolean(this.form);
    this.formHost.hidden = !this.form;
    this.root.style.setProperty("--up", `${document.getElementById("line")?.offsetHeight ?? 0}px`);
    this.root.classList.toggle("wording", Boolean(this.form));
    this.root.classList.toggle("laying", Boolean(this.laying));
    this.offers.draw();
    this.column.draw();
    this.drawInset();
    const next = nextWaiting(this);
    this.drawTop();
    this.waits.replaceChildren(...(next ? [link(address(next.no, null), `Next that waits: ${next.no}`)] : []));
  }

  /** Pictures may have come meanwhile. */
  drawTop() {
    const row = rowOf(this);
    if (row.length === this.many) return;
    this.many = row.length;
    const top = head(this, this.photo(), row, this.waits);
    this.top.replaceWith(top);
    this.top = top;
  }

  /** Either the words to draw with, or what to do next with the one in hand. */
  drawLines() {
    const { tool, points, held } = this.hand;
    const now = [tool, held >= 0, points.length > 0].join();
    if (now === this.linesNow) return;
    this.linesNow = now;
    const busy = Boolean(tool) || held >= 0;
    this.tools.hidden = busy;
    this.drawing.hidden = !busy;
    this.finish.hidden = tool !== "line" && tool !== "outline";
    this.back.hidden = !tool || !points.length;
    this.leaveTool.textContent = tool ? "Cancel" : "Done";
  }

  drawInset() {
    const lit = [...new Set([...this.photo().said.parts, ...(this.part ? [this.part] : [])])];
    if (this.litNow === lit.join()) return;
    this.litNow = lit.join();
    this.inset.replaceChildren(smallMap(lit));
  }

  // ---------------------------------------------------------------- what the hand asks and tells

  /** Everything that can be chosen in the picture. */
  regions() {
    if (this.laying) return [{ key: LAYING, region: { outline: this.laying.corners } }];
    if (this.form) return this.fresh ? [{ key: FRESH, region: this.fresh.region }] : [];
    const { scale } = this.photo().said;
    const marks = numbered(this.photo()).filter((it) => it.mark.region).map((it) => ({ key: it.key, region: it.mark.region }));
    return scale ? [...marks, { key: SCALE, region: scaleRegion(scale) }] : marks;
  }

  get chosenKey() {
    if (this.laying) return LAYING;
    if (this.fresh) return FRESH;
    if (this.chosen === SCALE) return this.photo().said.scale ? SCALE : null;
    if (!this.chosen) return null;
    const { said } = this.photo();
    const { found } = this;
    if (found?.said !== said || found.chosen !== this.chosen) this.found = { said, chosen: this.chosen, key: placeOf(said.marks, this.chosen) };
    return this.found.key;
  }

  chosenMark() {
    const { chosenKey } = this;
    return this.chosen && this.chosen !== SCALE && chosenKey !== null ? this.photo().said.marks[Number(chosenKey)] : null;
  }

  regionOf(key) {
    if (key === LAYING) return this.laying ? { outline: this.laying.corners } : null;
    if (key === FRESH) return this.fresh?.region ?? null;
    if (key === SCALE) return this.photo().said.scale ? scaleRegion(this.photo().said.scale) : null;
    return this.photo().said.marks[Number(key)]?.region ?? null;
  }

  chosenShape() {
    const key = this.chosenKey;
    return key === null ? null : { key, region: this.regionOf(key) };
  }

  choose(key) {
    if (this.form || this.laying) return;
    this.hand.settle();
    if (this.hand.held >= 0) this.hand.held = -1;
    this.overlay.held = -1;
    this.chosen = key === null ? null : key === SCALE ? SCALE : this.photo().said.marks[Number(key)];
    const region = key === null ? null : this.regionOf(key);
    if (region) this.sheet.reveal(middleOf(region));
    if (this.chosen && this.chosen !== SCALE) announce(`Chosen: ${nameOf(this.chosen)}`);
    this.hint("");
    this.draw();
    const line = this.said.querySelector("li.chosen");
    if (line && matchMedia("(min-width: 64rem)").matches) line.scrollIntoView({ block: "nearest" });
  }

  take(tool, face = null) {
    if (tool !== "face" && this.isLaying()) return;
    this.first(() => this.taken(tool, face));
  }

  taken(tool, face) {
    this.ends = null;
    this.laying = null;
    this.hand.take(tool, face);
    this.stage.scrollIntoView({ block: "nearest" });
    this.draw();
  }

  /** Puts away what is in hand: a tool, or a point of the chosen shape. */
  stop() {
    if (this.tool) this.hand.leave();
    else this.hand.hold(-1);
    this.stage.focus({ preventScroll: true });
    this.draw();
  }

  sketch(sketch) {
    this.overlay.sketch(sketch);
    if (sketch?.region) this.measurer.ask(sketch.region, (it) => this.tell(it));
    else this.tell(null);
  }

  /** A length beside the pointer. */
  tell(measured) {
    const text = this.tool || this.dragging ? measured?.text ?? "" : "";
    if (this.tip.textContent === text) return;
    this.tip.textContent = text;
    this.tip.hidden = !text;
  }

  /** Where the pointer is while something is drawn or pulled. */
  point(at, region = null) {
    this.dragging = Boolean(at && region);
    if (!at) return this.tell(null);
    const [x, y] = [Math.min(at[0] + 18, this.sheet.box.w - 150), Math.max(4, at[1] - 40)];
    this.tip.style.transform = `translate(${x}px, ${y}px)`;
    if (region && this.chosenKey !== SCALE) this.measurer.ask(region, (it) => this.tell(it));
  }

  hint(text) {
    if (this.hintLine.textContent !== text) this.hintLine.textContent = text;
    if (this.column) this.drawLines();
  }

  preview(key, region, held = -1) {
    this.overlay.held = held;
    this.overlay.preview(key, region);
  }

  /** A shape was moved or reshaped. */
  commit(key, region) {
    if (key === FRESH) {
      this.fresh.region = region;
      this.touched();
      this.measureForm();
      return this.draw();
    }
    if (key === LAYING) {
      Object.assign(this.laying, { corners: region.outline, how: "by hand", answer: null });
      askFace(this);
      return this.draw();
    }
    if (key === SCALE) return pullScale(this, handlesOf(region));
    const was = this.photo().said.marks[Number(key)];
    if (!was) return;
    const mark = { ...was, region };
    if (this.chosen && same(this.chosen, was)) this.chosen = mark;
    if (!this.change([{ do: "replace", was, mark }], `shape of ${nameOf(mark)}`)) this.draw();
  }

  change(changes, label) {
    const done = store.change(this.no, changes, label);
    if (done) this.draw();
    return done;
  }

  remove(key) {
    if (key === LAYING) return;
    const was = key === SCALE ? null : this.photo().said.marks[Number(key)];
    if (key === SCALE) this.change([{ do: "scale", was: this.photo().said.scale, to: null }], "scale taken out");
    if (!was) return;
    this.chosen = null;
    this.change([{ do: "remove", was }], `${nameOf(was)} removed`);
    announce(`Removed: ${nameOf(was)}. Control Z brings it back.`);
    this.stage.focus({ preventScroll: true });
  }

  reshape() {
    this.stage.focus({ preventScroll: true });
    const region = this.regionOf(this.chosenKey);
    if (region) this.sheet.show(boundsOf(region));
    this.hand.hold(0);
    this.stage.scrollIntoView({ block: "nearest" });
    this.draw();
  }

  /** A shape is drawn. @param {string} tool @param {any} shape region, or points of a card or tape */
  finished(tool, shape) {
    if (tool === "card") return layCard(this, shape);
    if (tool === "face") return beginLaying(this, this.hand.face, shape);
    if (tool === "tape") {
      this.ends = shape;
      this.draw();
      return this.said.querySelector("#tape-length")?.focus();
    }
    this.fresh = { region: shape };
    this.openForm({ region: shape }, "fresh");
    this.measureForm();
  }

  // ---------------------------------------------------------------- words

  /** Opens the form: for the mark with this key, or for something that is not drawn. @param {string|null} key */
  words(key) {
    if (this.isLaying()) return;
    this.first(() => this.worded(key));
  }

  worded(key) {
    if (this.tool) this.hand.leave();
    if (key === SCALE) return;
    const mark = key === null ? null : this.photo().said.marks[Number(key)];
    if (!mark) this.choose(null);
    this.openForm(mark ?? { region: null }, mark ? "known" : "fresh");
    this.measureForm();
  }

  /** Corners that are pulled right are not dropped by something else either. */
  isLaying() {
    if (this.laying) notice("A side is being laid here: “Lay it so” or “Cancel” first.");
    return Boolean(this.laying);
  }

  /** Nothing that is begun is dropped by something else: the form asks, and `then` follows once it is answered. */
  first(then) {
    const { form } = this;
    if (!form?.filled()) {
      if (form) this.leave();
      return then();
    }
    const save = () => {
      form.node.requestSubmit();
      if (this.form !== form) then();
    };
    const drop = () => {
      this.leave();
      then();
    };
    form.ask("This mark is not saved yet.", [["Save it", save], ["Throw it away", drop], ["Back to the words", () => form.focus()]]);
  }

  /** Keeps what is begun, words or a shape that has none yet, should one go elsewhere. */
  touched() {
    const { form } = this;
    if (!form || this.closed) return;
    const draft = form.filled() || this.fresh?.region ? { opened: this.opened, fresh: this.fresh, chosen: this.chosen, words: form.draft() } : null;
    keepDraft(this.no, draft);
  }

  openForm(mark, fresh, draft = null) {
    this.opened = { mark, fresh };
    const { said } = this.photo();
    const parts = said.parts;
    const from = store.part(this.part ?? "")?.photos.includes(this.no) ? this.part : null;
    const only = parts.length === 1 ? parts[0] : parts.length ? null : this.part;
    // The part of the mark before is no part of this one: what is guessed is asked.
    const part = only ?? (mark.region ? partUnder(said, mark.region) : null) ?? from;
    const same = fresh === "fresh" && !mark.tag && !mark.finding ? lastSaid : null;
    const wanted = { photo: this.photo(), mark, fresh, part, sure: Boolean(only), same, parts: [...new Set([...(this.part ? [this.part] : []), ...parts])] };
    this.form = new MarkForm({ ...wanted, save: (it) => this.save(mark, fresh, it), leave: () => this.first(() => {}), look: () => this.measureForm(), touched: () => this.touched(), draft });
    this.formHost.replaceChildren(this.form.node);
    this.draw();
    this.form.focus();
    this.touched();
    if (!matchMedia("(min-width: 64rem)").matches) this.easelUp();
  }

  /** On a narrow page the shape stays in sight above the form. */
  easelUp() {
    scrollTo(0, 0);
    const region = this.fresh?.region ?? this.chosenMark()?.region;
    if (region) requestAnimationFrame(() => this.sheet.reveal(middleOf(region)));
  }

  measureForm() {
    const region = this.fresh?.region ?? this.chosenMark()?.region;
    if (!this.form || !region) return;
    const { form } = this;
    this.measurer.ask(region, (it) => this.measured(form, it), form.part);
  }

  /** A side that was laid just now measures once it is saved. */
  measured(form, it) {
    form.measure(it);
    const later = it?.problem && store.state === "saving";
    if (later) setTimeout(() => this.form === form && this.measureForm(), SAVED_MS);
  }

  save(opened, fresh, mark) {
    const { marks } = this.photo().said;
    if (fresh === "fresh") return this.keep(null, mark);
    if (marks.some((it) => same(it, opened))) return this.keep(opened, mark);
    const theirs = marks[kinOf(marks, opened)];
    if (theirs) return this.join(opened, theirs, { ...mark, region: opened.region });
    this.form.wanted.save = (it) => this.keep(null, { ...it, region: opened.region });
    this.form.say("This mark was taken away elsewhere in the meantime. Save once more to set it again, or cancel.");
  }

  /** The mark was changed elsewhere while its words were open: what one side alone changed is kept, the rest is asked. */
  join(opened, theirs, mine) {
    const { mark, clash } = merged(opened, mine, theirs);
    if (!clash.length) return this.keep(theirs, mark);
    const other = merged(opened, theirs, mine).mark;
    const text = `This mark was changed elsewhere too. Here: ${markWords(mark)}. There: ${markWords(other)}.`;
    this.form.ask(text, [["Save it as here", () => this.keep(theirs, mark)], ["Save it as there", () => this.keep(theirs, other)], ["Back to the words", () => this.form.focus()]]);
  }

  keep(was, mark) {
    const region = was ? was.region : this.fresh?.region ?? mark.region;
    const kept = { ...mark, region: mark.tag === "absent" ? null : region };
    const name = `${nameOf(kept)} on ${partOf(kept)?.label ?? "the piece"}`;
    if (wordOf(kept)?.kind === "fault") lastSaid = { tag: wordOf(kept).id, part: partOf(kept)?.id ?? null, level: kept.level };
    this.shut();
    this.chosen = wordOf(kept)?.kind === "statement" ? null : kept;
    const taken = takenBackBy(this.photo(), kept);
    const back = taken ? [{ do: "remove", was: taken }] : [];
    const changes = [...back, was ? { do: "replace", was, mark: kept } : { do: "add", mark: kept }];
    store.changeAll([{ photo: this.no, changes }, ...followers(this.no, was, kept)], name);
    announce(taken ? `Said: ${name}. “${store.word(taken.tag).term}” is taken back there; Ctrl Z undoes both.` : `Said: ${name}`);
    this.draw();
    this.stage.focus({ preventScroll: true });
  }

  /** Nothing of the form is kept. */
  leave() {
    this.shut();
    this.draw();
    this.stage.focus({ preventScroll: true });
  }

  shut() {
    this.form = null;
    this.fresh = null;
    this.measurer.drop();
    this.formHost.replaceChildren();
    keepDraft(this.no, null);
  }

  // ---------------------------------------------------------------- to the next picture

  /** The same words and shape in another picture: there as a draft, whose shape is put right and which is then saved or left. */
  carry(mark, to) {
    const later = to.shoot !== this.photo().shoot;
    const draft = { ...mark, ...(later ? { level: null, size: null, note: null, state: "present" } : {}) };
    waiting = { photo: to.no, draft };
    location.hash = address(to.no, partOf(mark)?.id);
  }

  /** Words that were begun in this picture before one went elsewhere. */
  takeUp({ opened, fresh, chosen, words }) {
    Object.assign(this, { fresh, chosen });
    this.openForm(opened.mark, opened.fresh, words);
    this.measureForm();
    notice("This mark is not saved yet.");
  }

  takeDraft() {
    const draft = waiting?.photo === this.no ? waiting.draft : null;
    waiting = null;
    if (draftOf(this.no)) return this.takeUp(draftOf(this.no));
    if (!draft) return;
    this.fresh = { region: draft.region };
    this.openForm(draft, "fresh");
    this.measureForm();
    if (draft.region) this.sheet.reveal(middleOf(draft.region));
    announce("A draft: put its shape right, then save it, or leave it.");
  }
}

/** A finding that gets another name gets it in every picture: the changes to its other marks that bear the old one, by photo. */
function followers(no, was, kept) {
  const finding = was && findingOf(was);
  if (!finding || kept.finding !== finding.id || !was.which || was.which === kept.which) return [];
  const of = (photo) => photo.said.marks.filter((it) => it.which === was.which && findingOf(it)?.id === finding.id && !(photo.no === no && same(it, was)));
  const change = (it) => ({ do: "replace", was: it, mark: { ...it, finding: finding.id, tag: null, part: null, which: kept.which } });
  return store.walk.photos.map((photo) => ({ photo: photo.no, changes: of(photo).map(change) })).filter((it) => it.changes.length);
}

/** The key of a mark among others: the very one, or one that is equal. */
function placeOf(marks, mark) {
  const found = [(it) => it === mark, (it) => same(it, mark), (it) => it.region && same(it.region, mark.region)].map((is) => marks.findIndex(is));
  const at = found.find((it) => it >= 0) ?? -1;
  return at < 0 ? null : String(at);
}

function middleOf(region) {
  const [x, y, w, h] = boundsOf(region);
  return [x + w / 2, y + h / 2];
}
