// The column beside the picture: what is said of it. View, parts, marks, scale, notes, other pictures of the same thing.

import { STATEMENTS, markOf } from "./changes.mjs";
import { chooser } from "./choose.mjs";
import { button, count, el, link, redraw, sync, thumb } from "./el.mjs";
import { mending } from "./mending.mjs";
import { facesSection } from "./faces.mjs";
import { scaleSection } from "./scale.mjs";
import { store } from "./store.mjs";
import { address, factsOf, faultOn, findingOf, nameOf, numbered, partOf, shootOf, statementOf } from "./naming.mjs";

/** How long typing pauses before a note is kept. */
const TYPED_MS = 400;

/** The choice that takes a part off. */
const OFF = "off";

/** How many pictures a strip shows. */
const STRIP = 24;

export class Column {
  /** @param {HTMLElement} host @param {any} desk of picture.mjs */
  constructor(host, desk) {
    this.desk = desk;
    this.prints = {};
    this.places = {};
    for (const name of ["view", "marks", "parts", "faces", "scale", "notes", "others"]) this.places[name] = el("section", { class: `said-${name}` });
    const title = el("h2", { id: "said-title" }, "What is said of this picture");
    host.append(title, ...Object.values(this.places));
  }

  get photo() {
    return this.desk.photo();
  }

  /** Draws what has changed since the last time. */
  draw() {
    const { said, complaints, notes } = this.photo;
    const { walk } = store;
    if (this.drawn?.said === said && this.drawn.walk === walk && this.drawn.key === this.desk.chosenKey && this.drawn.ends === this.desk.ends && this.drawn.laying === JSON.stringify(this.desk.laying ?? null)) return;
    this.drawn = { said, walk, key: this.desk.chosenKey, ends: this.desk.ends, laying: JSON.stringify(this.desk.laying ?? null) };
    const findings = walk.findings.map((it) => [it.id, it.state, it.marks.length]);
    this.section("view", [said.view], () => this.view());
    this.section("parts", [said.parts, said.marks.filter((it) => STATEMENTS.includes(it.tag)), said.parts.length ? 0 : this.unlaid(), said.view, complaints, notes, store.part(this.desk.part ?? "")?.photos], () => this.parts());
    this.section("marks", [said.marks, findings, this.desk.chosenKey, walk.parts.map((it) => it.photos.length)], null);
    if (!this.desk.laying?.typed) this.section("faces", [said.faces, said.parts, this.desk.laying], () => facesSection(this.desk));
    this.section("scale", [said.scale, this.desk.ends], () => scaleSection(this.desk));
    this.drawNotes();
    this.section("others", [said.marks, this.desk.chosenKey, this.about()?.photos, findings], () => this.others());
  }

  section(name, facts, make) {
    const print = JSON.stringify(facts);
    if (print === this.prints[name]) return;
    this.prints[name] = print;
    if (make) redraw(this.places[name], ...make());
    else this.marks();
  }

  // ---------------------------------------------------------------- view and parts

  view() {
    const { said } = this.photo;
    const choices = store.words.views.map((it) => ({ id: it.id, label: it.label, hint: "" }));
    const onChoose = (to) => this.desk.change([{ do: "view", was: said.view, to }], to ? `view: ${store.view(to)?.label}` : "view taken out");
    const how = said.view ? store.view(said.view)?.how : "Which of the views is it? A close picture of a fault is one too.";
    return [chooser({ name: "View", choices, value: said.view, onChoose, most: 60, key: "view", early: true }), el("p", { class: "small" }, how ?? "")];
  }

  parts() {
    const { said, complaints, notes } = this.photo;
    const stated = said.marks.filter((it) => STATEMENTS.includes(it.tag)).map((it) => it.part);
    const ids = [...new Set([...said.parts, ...stated])];
    const order = new Map(store.walk.parts.map((it, n) => [it.id, n]));
    ids.sort((a, b) => order.get(a) - order.get(b));
    const rest = store.walk.parts.filter((it) => !said.parts.includes(it.id));
    const shown = new Set(this.usual().map((it) => it.id));
    const choices = rest.map((it) => ({ id: it.id, label: it.label })).sort((a, b) => shown.has(b.id) - shown.has(a.id));
    return [
      complaints?.length ? mending(this.photo) : null,
      ...(notes ?? []).map((it) => el("p", { class: "small" }, it)),
      el("h3", {}, "It shows"),
      ids.length ? el("ul", { class: "shows" }, ...ids.map((it) => this.partLine(it))) : el("p", { class: "small" }, this.unlaid()),
      this.offer(),
      chooser({ name: "Lay on one more part", choices, onChoose: (id) => id && this.lay([id]), most: 60, key: "lay" }),
    ].filter(Boolean);
  }

  /** What is known of the parts when none is named. */
  unlaid() {
    const marked = new Set(this.photo.said.marks.map((it) => partOf(it)?.label).filter(Boolean));
    return marked.size ? `No whole part is named. Its marks are on: ${[...marked].join(", ")}.` : "Not laid on any part yet.";
  }

  /** The outer parts that the chosen view usually shows and that are not named yet. */
  usual() {
    const { said } = this.photo;
    const shows = store.view(said.view)?.shows ?? [];
    return store.walk.parts.filter((it) => !it.inner && !said.parts.includes(it.id) && (shows.includes(it.kind) || shows.includes(it.id)));
  }

  /** What can be laid with one press: what the view usually shows, or the part that one came from. */
  offer() {
    const usual = this.usual();
    const from = store.part(this.desk.part ?? "");
    if (!usual.length && from && !from.photos.includes(this.photo.no)) {
      return el("p", { class: "offer" }, `You came from: ${from.label}. `, button("Lay here", () => this.lay([from.id]), { data: { key: "usual" } }));
    }
    if (!usual.length) return null;
    const names = usual.map((it) => it.label).join(", ");
    const act = button(usual.length === 1 ? "Lay here" : `Lay on these ${usual.length}`, () => this.lay(usual.map((it) => it.id)), { data: { key: "usual" } });
    return el("p", { class: "offer" }, `This view usually shows also: ${names}. `, act);
  }

  lay(ids) {
    const { said } = this.photo;
    const names = ids.map((it) => store.part(it)?.label).join(", ");
    this.desk.change([{ do: "parts", was: said.parts, to: [...said.parts, ...ids] }], `laid on ${names}`);
  }

  partLine(id) {
    const { said } = this.photo;
    const label = store.part(id)?.label ?? id;
    const tag = statementOf(this.photo, id)?.tag ?? "";
    const fault = faultOn(this.photo, id);
    const term = (it) => (it.id === "sound" && fault ? `${it.term}: but ${findingOf(fault)?.id ?? nameOf(fault)} is marked` : it.term);
    const options = [["", "as its marks say"], ...store.words.statements.map((it) => [it.id, term(it)])];
    if (said.parts.includes(id)) options.push([OFF, "take this part off"]);
    const choice = el(
      "select",
      { "aria-label": `Said of ${label}`, data: { key: `said ${id}` }, on: { change: (it) => (it.target.value === OFF ? this.takeOff(id) : this.state(id, it.target.value)) } },
      ...options.map(([value, text]) => el("option", { value, selected: value === tag, disabled: value === "sound" && value !== tag && Boolean(fault) }, text)),
    );
    return el("li", {}, link(`#part/${encodeURIComponent(id)}`, label), choice);
  }

  takeOff(id) {
    const { said } = this.photo;
    const was = statementOf(this.photo, id);
    const parts = { do: "parts", was: said.parts, to: said.parts.filter((it) => it !== id) };
    this.desk.change([parts, ...(was ? [{ do: "remove", was }] : [])], `taken off ${store.part(id)?.label ?? id}`);
  }

  /** Says of a whole part what is said; one statement at a time. */
  state(part, tag) {
    const was = statementOf(this.photo, part);
    const label = store.part(part)?.label ?? part;
    const changes = was ? [{ do: "remove", was }] : [];
    if (tag) changes.push({ do: "add", mark: markOf({ tag, part }) });
    this.desk.change(changes, `${label}: ${store.word(tag)?.term ?? "as its marks say"}`);
  }

  // ---------------------------------------------------------------- marks

  /** Only lines that differ are made anew: there may be hundreds. */
  marks() {
    const all = numbered(this.photo);
    const { chosenKey } = this.desk;
    const stamp = ({ mark, key, number }) => JSON.stringify([number, nameOf(mark), factsOf(mark), Boolean(mark.region), key === chosenKey && [mark.note, partOf(mark)?.photos]]);
    if (!this.markList) {
      this.markTitle = el("h3");
      this.markNone = el("p", { class: "small" }, "Nothing is marked yet. Draw round what you see: the words are by the picture.");
      this.markList = el("ol", { class: "marks" });
      this.places.marks.append(this.markTitle, this.markNone, this.markList);
    }
    this.markTitle.textContent = all.length ? count(all.length, "mark") : "Marks";
    this.markNone.hidden = all.length > 0;
    this.markList.hidden = !all.length;
    sync(this.markList, all, (it) => it.key, (it) => this.markLine(it), stamp);
  }

  markLine({ mark, key, number }) {
    const chosen = key === this.desk.chosenKey;
    const act = button("", () => this.desk.choose(chosen ? null : key), { class: "mark-button", "aria-pressed": String(chosen), data: { key: `mark ${key}` } });
    act.append(
      el("span", { class: mark.region ? "no" : "no undrawn" }, number),
      el("span", {}, el("b", {}, nameOf(mark)), el("span", { class: "small" }, factsOf(mark)), mark.region ? null : el("span", { class: "small" }, "not drawn")),
    );
    return el("li", { class: chosen ? "chosen" : "" }, act, chosen ? this.acts(mark, key) : null);
  }

  acts(mark, key) {
    return el(
      "div",
      {},
      mark.note ? el("p", { class: "said-note" }, mark.note) : null,
      el(
        "p",
        { class: "acts" },
        button("Change words", () => this.desk.words(key), { data: { key: "act-words" } }),
        mark.region ? button("Change shape", () => this.desk.reshape(), { data: { key: "act-shape" } }) : null,
        button("Remove", () => this.desk.remove(key), { data: { key: "act-remove" } }),
      ),
      this.carries(mark),
    );
  }

  /** The other pictures of the part, to carry the mark into one of them as a draft. */
  carries(mark) {
    const part = partOf(mark);
    const finding = findingOf(mark)?.id;
    const isThere = (photo) => finding && photo.said.marks.some((it) => findingOf(it)?.id === finding);
    const others = (part?.photos ?? []).filter((it) => it !== this.photo.no).map((it) => store.photo(it)).filter((it) => it && !isThere(it));
    if (!others.length) return null;
    const one = (to) => {
      const props = { "aria-label": `Carry over to picture ${to.no}`, data: { key: `carry ${to.no}` } };
      return el("li", {}, button([thumb(to, ""), el("span", {}, String(to.no))], () => this.desk.carry(mark, to), props));
    };
    const list = el("ul", { class: "by", role: "list", "aria-label": "Carry over to" }, ...others.slice(0, STRIP).map(one));
    return el("details", { class: "carry", data: { key: "act-carry" } }, el("summary", {}, "Carry over to another picture"), list);
  }

  // ---------------------------------------------------------------- notes

  drawNotes() {
    if (!this.noteFields) this.makeNotes();
    for (const [name, field] of Object.entries(this.noteFields)) {
      const text = this.photo.said[name] ?? "";
      if (field !== document.activeElement && field.value !== text) field.value = text;
    }
  }

  makeNotes() {
    this.noteFields = {};
    const one = (name, label) => {
      const id = `said-${name}`;
      const field = el("textarea", { id, rows: 2, on: { input: () => this.typed(name), change: () => this.keepNote(name) } });
      this.noteFields[name] = field;
      return el("div", { class: "field" }, el("label", { for: id }, label), field);
    };
    this.places.notes.append(el("h3", {}, "Notes"), one("note", "Note, for the report"), one("private_note", "Private note, for you alone, never in a report"));
  }

  typed(name) {
    clearTimeout(this.noteAt);
    this.noteAt = setTimeout(() => this.keepNote(name), TYPED_MS);
  }

  keepNote(name) {
    clearTimeout(this.noteAt);
    const to = this.noteFields[name].value.trim() || null;
    const was = this.photo.said[name];
    if (to !== was) this.desk.change([{ do: name, was, to }], name === "note" ? "note" : "private note");
  }

  /** Keeps what is typed and not kept yet. */
  close() {
    for (const name of Object.keys(this.noteFields ?? {})) if (this.noteFields[name] === document.activeElement) this.keepNote(name);
  }

  // ---------------------------------------------------------------- other pictures

  /** The part that one came from, or that of the chosen mark, or the first one shown. */
  about() {
    const mark = this.desk.chosenMark();
    return (mark ? partOf(mark) : null) ?? store.part(this.desk.part ?? "") ?? store.part(this.photo.said.parts[0] ?? "");
  }

  others() {
    const mark = this.desk.chosenMark();
    const finding = mark ? findingOf(mark) : null;
    const part = this.about();
    const seen = finding ? [...new Set(finding.marks.map((it) => it.photo))] : [];
    return [
      finding && seen.length > 1 ? this.strip(`${finding.id} in other pictures`, seen, part) : null,
      part && part.photos.length > 1 ? this.strip(`Other pictures of ${part.label}`, part.photos, part) : null,
    ].filter(Boolean);
  }

  strip(title, photos, part) {
    const others = photos.filter((it) => it !== this.photo.no).map((it) => store.photo(it)).filter(Boolean);
    const one = (photo) => {
      const words = `${photo.no}, ${shootOf(photo)}`;
      return el("li", {}, el("a", { href: address(photo.no, part?.id) }, thumb(photo, ""), el("span", {}, words)));
    };
    return el(
      "div",
      {},
      el("h3", {}, title),
      el("ul", { class: "by", tabindex: 0, role: "list", "aria-label": title }, ...others.slice(0, STRIP).map(one)),
      others.length > STRIP ? el("p", { class: "small" }, `and ${others.length - STRIP} more, on the page of the part`) : null,
    );
  }
}
