// The form of a mark: its word, part, level, size, which one, note, and what became of a finding that is known.

import { STATEMENTS, markOf } from "./changes.mjs";
import { chooser } from "./choose.mjs";
import { isExtent, misfit } from "./fits_level.mjs";
import { button, el } from "./el.mjs";
import { singleKeys } from "./keys.mjs";
import { likely, sized } from "./search.mjs";
import { store } from "./store.mjs";
import { LEVELS, findingOf, nameOf, partOf, takenBackBy, wordOf } from "./naming.mjs";
import { WordField } from "./word_field.mjs";

/** What a number alone is a number of, by the unit in which the trade book has the fault measured. */
const UNITS = { "%": "%", cm2: "cm2", count: "in all", "0-4": "of 4", degrees: "degrees" };

/** How many characters may tell one of several apart. */
const NAME = 120;

/** Whether two parts are the same, one inside the other, or inside the same one: a fault on one may be meant by the other. */
function isRelated(one, other) {
  const whole = (id) => store.part(id)?.whole ?? id;
  return one === other || whole(one) === other || whole(other) === one;
}

/** The form for one mark; `save(mark)` and `leave()` are called once. */
export class MarkForm {
  /** @param {{photo: any, mark: any, fresh: "fresh"|"known", part: string|null, parts: any[], save: (mark: any) => void, leave: () => void, look: () => void, touched: () => void, draft?: any}} wanted */
  constructor(wanted) {
    this.wanted = wanted;
    this.mark = markOf(wanted.mark);
    this.part = partOf(this.mark)?.id ?? wanted.part ?? null;
    // A part that was only guessed is asked.
    this.sure = Boolean(partOf(this.mark)) || wanted.sure;
    this.word = wordOf(this.mark);
    const title = wanted.fresh === "fresh" ? (this.mark.region ? "A new mark" : "Said without drawing") : nameOf(this.mark);
    const part = () => this.part;
    this.here = this.markedHere();
    // A mark that was carried over from another picture says which one it is.
    this.one = wanted.fresh === "fresh" && this.word ? (findingOf(this.mark)?.id ?? null) : null;
    this.words = new WordField({ part, drawn: Boolean(this.mark.region), here: this.here, onPick: (it) => this.picked(it), same: wanted.same ? () => this.sameAsLast() : null });
    this.rest = el("div", { class: "rest" });
    this.partHost = el("div");
    this.wrong = el("p", { class: "wrong", role: "alert" });
    const save = el("button", { type: "submit", class: "first" }, "Save");
    this.becomesHost = el("p", { class: "same", role: "status" });
    this.question = el("div", { class: "question", role: "group", tabindex: -1, hidden: true });
    this.acts = el("p", { class: "acts" }, save, button("Cancel", () => wanted.leave(), { class: "plain" }), el("span", { class: "small of-keys" }, "Enter saves; in a note, Ctrl Enter"));
    const on = { submit: (it) => this.submit(it), keydown: (it) => this.key(it), input: () => wanted.touched(), change: () => wanted.touched(), focusin: (it) => this.clear(it.target) };
    this.node = el(
      "form",
      { class: "mark-form", "aria-labelledby": "form-title", novalidate: true, on },
      el("h2", { id: "form-title" }, title),
      this.words.node,
      wanted.same ? this.sameButton() : null,
      this.becomesHost,
      this.partHost,
      this.rest,
      el("div", { class: "foot" }, this.wrong, this.question, this.acts),
    );
    if (this.word) this.words.name(this.mark.finding ? `${this.mark.finding} again: ${this.word.term}` : this.word.term);
    this.drawPart();
    this.drawRest();
    this.opened = this.print();
    if (wanted.draft) this.restore(wanted.draft);
  }

  // ---------------------------------------------------------------- what is begun

  /** What stands in the form, to be taken up again by `restore`. */
  draft() {
    this.read();
    return { mark: { ...this.mark }, part: this.part, sure: this.sure, word: this.word?.id ?? null, one: this.one ?? null, size: this.ownSize ?? null, typed: this.words.field.value, named: Boolean(this.words.named) };
  }

  restore({ mark, part, sure, word, one, size, typed, named }) {
    Object.assign(this, { mark, part, sure, word: store.word(word ?? ""), one, ownSize: size });
    if (named) this.words.name(typed);
    else if (typed) {
      this.words.field.value = typed;
      this.words.list();
    }
    this.drawPart();
    this.drawRest();
  }

  print() {
    const { region: _, ...mark } = this.draft().mark;
    if (this.isMeasured(mark.size)) mark.size = null;
    return JSON.stringify([mark, this.part, this.word?.id, this.words.named ? null : this.words.field.value, this.one ?? null]);
  }

  /** Whether words would be lost with it. */
  filled() {
    return this.print() !== this.opened;
  }

  /** Asks in the place of the buttons; no answer is chosen beforehand. @param {string} text @param {[string, () => void][]} answers */
  ask(text, answers) {
    const one = ([label, act]) => button(label, () => this.unask() || act());
    this.question.replaceChildren(el("p", {}, el("b", {}, text)), el("p", { class: "acts" }, ...answers.map(one)));
    this.question.setAttribute("aria-label", text);
    this.question.hidden = false;
    this.acts.hidden = true;
    this.say("");
    this.question.focus({ preventScroll: true });
  }

  unask() {
    this.question.hidden = true;
    this.acts.hidden = false;
  }

  /** The field that is typed in lies above the bar at the foot. */
  clear(field) {
    if (field.matches(":focus-visible") && !field.closest(".foot, .word-field")) field.scrollIntoView({ block: "nearest" });
  }

  sameButton() {
    const { tag, part, level } = this.wanted.same;
    const words = [store.word(tag).term, store.part(part)?.label, level ? `level ${level}` : null].filter(Boolean).join(", ");
    this.same = button(["Same as last: ", words, " ", el("kbd", { "aria-hidden": "true" }, "=")], () => this.sameAsLast(), { class: "plain same-as" });
    return this.same;
  }

  /** The findings that other marks of this picture are about: a further mark is not one of these again. */
  markedHere() {
    const others = this.wanted.photo.said.marks.filter((it) => it !== this.wanted.mark);
    return new Set(others.map((it) => findingOf(it)?.id).filter(Boolean));
  }

  /** Word, part and level of the last fault once more: a finding of its own. */
  sameAsLast() {
    const { same } = this.wanted;
    Object.assign(this.mark, { finding: null, tag: same.tag, state: "present", which: null, level: same.level });
    this.one = null;
    this.part = same.part;
    this.sure = true;
    this.word = store.word(same.tag);
    this.words.name(this.word.term);
    this.drawPart();
    this.drawRest();
    this.goOn();
    this.wanted.touched();
  }

  focus() {
    this.words.field.focus({ preventScroll: true });
    if (this.word) this.words.field.select();
  }

  // ---------------------------------------------------------------- word and part

  /** @param {import("./word_field.mjs").Pick} pick */
  picked(pick) {
    const { finding, word } = pick;
    this.read();
    this.one = finding ? finding.id : null;
    if (finding) {
      Object.assign(this.mark, { finding: finding.id, tag: null, part: null, which: null });
      this.part = finding.part;
      this.word = store.word(finding.tag);
    } else {
      if (word.id !== this.mark.tag) Object.assign(this.mark, { finding: null, tag: word.id, state: "present", which: null });
      this.word = word;
    }
    if (!this.criterion(this.mark.level)) this.mark.level = null;
    this.drawPart();
    this.drawRest();
    this.say("");
    this.wanted.touched();
    if (this.part && (this.sure || finding)) return this.goOn();
    const field = this.partHost.querySelector("input");
    field.focus({ preventScroll: true });
    if (!this.part) field.click();
  }

  /** After the word and the part comes the level; without levels the size, or the note. */
  goOn() {
    const next = this.rest.querySelector("input[type=radio]:checked, input[type=radio], input, textarea");
    next?.focus({ preventScroll: true });
  }

  drawPart() {
    const here = new Set(this.wanted.parts);
    const far = (it) => (here.has(it.id) ? 0 : here.has(it.whole) ? 1 : 2);
    const unlikely = (it) => (likely(this.word ?? {}, it.kind) === "no" ? 1 : 0);
    // What the picture shows stands first, with what is inside of it; among these what the fault is usual on.
    const choices = store.walk.parts.map((it) => ({ id: it.id, label: it.label, rank: [far(it) < 2 ? 0 : 1, unlikely(it), far(it)] }));
    choices.sort((a, b) => a.rank[0] - b.rank[0] || a.rank[1] - b.rank[1] || a.rank[2] - b.rank[2]);
    const onChoose = (id) => {
      this.read();
      if (id !== this.part) {
        Object.assign(this.mark, { finding: null, tag: this.word?.id ?? null });
        this.one = null;
      }
      this.part = id;
      this.sure = Boolean(id);
      this.drawRest();
      if (!this.words.named) this.words.list();
      this.wanted.look();
      this.wanted.touched();
      if (id && this.word) this.goOn();
    };
    this.partHost.replaceChildren(chooser({ name: "On which part?", choices, value: this.part, onChoose }));
  }

  // ---------------------------------------------------------------- the rest

  get known() {
    const it = findingOf({ ...this.mark, part: this.part, tag: this.mark.tag });
    return it && this.wanted.fresh === "fresh" && !this.mark.finding && this.here.has(it.id) ? null : it;
  }

  /** The findings of this word on this part that it may be again: asked where there are several of the kind. */
  several() {
    if (this.wanted.fresh !== "fresh" || !this.part || this.word?.kind !== "fault") return [];
    const all = store.walk.findings.filter((it) => it.tag === this.word.id && isRelated(it.part, this.part));
    const elsewhere = all.some((it) => it.part !== this.part);
    return all.length > 1 || elsewhere ? all.filter((it) => !this.here.has(it.id)) : [];
  }

  /** Which of several it is: one that is known, or another one. */
  oneOf() {
    const all = this.several();
    if (!all.length) return null;
    const one = (id, name, words) => {
      const radio = el("input", { type: "radio", name: "one", value: id, checked: this.one === id, on: { change: () => this.chooseOne(id) } });
      return el("label", {}, radio, el("b", {}, name), el("span", {}, words));
    };
    const known = (it) => one(it.id, it.id, [it.part === this.part ? null : it.part_label, it.which, it.plain, it.state_words].filter(Boolean).join(", "));
    return el("fieldset", { class: "levels" }, el("legend", {}, "Which one is it?"), ...all.map(known), one("new", "another", "a new finding"));
  }

  chooseOne(id) {
    this.read();
    this.one = id;
    const known = id === "new" ? { finding: null, tag: this.word.id } : { finding: id, tag: null, part: null };
    Object.assign(this.mark, known);
    this.words.name(id === "new" ? this.word.term : `${id} again: ${this.word.term}`);
    this.drawRest();
    this.rest.querySelector("[name=one]:checked").focus({ preventScroll: true });
  }

  /** Whether it is not said yet which of several it is. */
  asksOne() {
    return this.several().length > 0 && !this.one && !this.mark.finding && !this.mark.which;
  }

  /** A name that no finding of the kind has: the next number, as a person would count them. */
  nextName() {
    const has = (which) => Boolean(findingOf({ finding: null, part: this.part, tag: this.word.id, which }));
    if (!has(null)) return null;
    let number = 2;
    while (has(String(number))) number += 1;
    return String(number);
  }

  criterion(level) {
    return level ? this.word?.levels?.[level - 1] ?? null : null;
  }

  drawRest() {
    const { word, mark } = this;
    if (this.same) this.same.hidden = Boolean(word);
    this.becomes();
    if (!word) return this.rest.replaceChildren();
    const statement = STATEMENTS.includes(word.id);
    this.rest.replaceChildren(
      ...[
        this.takesBack(),
        this.oneOf(),
        ...(statement ? [] : [this.states(), this.levels(), this.size(), this.which()]),
        this.line("note", "Note, for the report", mark.note, {}),
        this.meaning(),
      ].filter(Boolean),
    );
    this.fill();
  }

  /** What the mark becomes, beside its word: a finding that is known, or a new one. */
  becomes() {
    const { word, part, mark } = this;
    const fresh = this.wanted.fresh === "fresh" && part && word?.kind === "fault";
    const which = this.node.elements?.namedItem("which")?.value?.trim() || mark.which;
    const finding = fresh ? (mark.finding ? store.finding(mark.finding) : findingOf({ finding: null, part, tag: word.id, which })) : null;
    const here = finding && this.here.has(finding.id);
    const was = this.wanted.fresh === "fresh" || !word ? null : findingOf(this.wanted.mark);
    const leaves = was && findingOf({ ...mark, part, tag: mark.finding ? null : word.id, which })?.id !== was.id;
    const texts = [
      [leaves, `No longer ${was?.id}, or ${was?.id} by another name? Saving asks.`],
      [!fresh, ""],
      [this.one === "new" && !which, "This is a new finding."],
      [fresh && !which && this.asksOne(), "There are several of these. Say below which one it is."],
      [!finding, "This is a new finding."],
      [finding && !here, `This is ${finding?.id} again. Is it another one? Then say which below.`],
      [here && which, `${finding?.id} is called so, and is marked here already. Say it in other words.`],
      [here, `${finding?.id} is marked here already: this is a new finding.`],
    ];
    const text = texts.find(([is]) => is)[1];
    if (this.becomesHost.textContent !== text) this.becomesHost.textContent = text;
  }

  /** Help with the word: folded, so that what is to be said comes first. */
  meaning() {
    const { word } = this;
    const lines = [
      el("p", {}, word.plain),
      word.recognise ? el("p", {}, el("b", {}, "How to tell: "), word.recognise) : null,
      word.look_alikes ? el("p", {}, el("b", {}, "May be confused with: "), word.look_alikes) : null,
      word.trap ? el("p", {}, el("b", {}, "Mind: "), word.trap) : null,
      word.measure_how ? el("p", {}, el("b", {}, "Measure: "), word.measure_how) : null,
    ];
    return el("details", { class: "meaning" }, el("summary", {}, "What is that?"), ...lines);
  }

  /** What this picture says of the part until now, if the fault cannot stand beside it. */
  takesBack() {
    const said = takenBackBy(this.wanted.photo, { ...this.mark, part: this.part });
    return said ? el("p", { class: "same" }, `This picture says of it: ${store.word(said.tag).term.toLowerCase()}. Saving a fault on it takes that back.`) : null;
  }

  /** What became of it: only of a finding that the book knows. */
  states() {
    const finding = this.known;
    if (!finding && this.mark.state === "present") return null;
    const options = store.words.states.map((it) => el("option", { value: it.id, selected: it.id === this.mark.state }, it.label));
    const label = finding ? `What this picture shows of ${finding.id}` : "What this picture shows of it";
    return el("p", { class: "field" }, el("label", { for: "form-state" }, label), el("select", { id: "form-state", name: "state" }, ...options));
  }

  /** The levels that this fault has, each with its criterion. */
  levels() {
    const some = (this.word.levels ?? []).map((text, n) => ({ text, level: n + 1 })).filter((it) => it.text);
    if (!some.length) return null;
    const one = ({ text, level }) => {
      const radio = el("input", { type: "radio", name: "level", value: level, checked: this.mark.level === level });
      return el("label", {}, radio, el("b", {}, `${level} ${LEVELS[level - 1]}`), el("span", {}, text));
    };
    const legend = el("legend", {}, "Level ", el("span", { class: "small" }, "the highest that is met", el("span", { class: "of-keys" }, "; keys 0 to 4")));
    const unsaid = this.wanted.fresh !== "fresh" && !this.mark.level;
    const none = el("label", {}, el("input", { type: "radio", name: "level", value: "0", checked: unsaid }), el("b", {}, "0 not said"));
    this.misfitHost = el("p", { class: "misfit", role: "status" });
    return el("fieldset", { class: "levels", on: { change: () => this.compare() } }, legend, ...some.map(one), none, this.misfitHost);
  }

  /** Says at once where the size is beyond the words of the level. */
  compare() {
    const value = (name) => this.node.elements?.namedItem(name)?.value?.trim() ?? "";
    const text = misfit(this.word, Number(value("level")), sized(value("size"), this.unit)) ?? "";
    if (this.misfitHost && this.misfitHost.textContent !== text) this.misfitHost.textContent = text;
  }

  get unit() {
    const first = (this.word?.measure_unit ?? "").split(/[, ]/)[0];
    return UNITS[first] ?? store.walk.units;
  }

  size() {
    const what = this.word.measure_what ? `: ${this.word.measure_what}` : "";
    const it = this.line("size", `Size${what}, in ${this.unit}`, this.mark.size, {});
    this.measureHost = el("div", { class: "measured" });
    it.append(this.measureHost);
    it.querySelector("input").addEventListener("input", () => {
      this.ownSize = true;
      this.drawMeasured();
    });
    return it;
  }

  /** Tells two of a kind apart; what that makes of the mark stands beside its word. */
  which() {
    const it = this.line("which", "Which one, if there are several", this.mark.which, { hint: "left ring, near the back edge" });
    it.querySelector("input").addEventListener("input", () => {
      this.becomes();
      this.say(this.tooLong() ?? "");
    });
    return it;
  }

  /** What is said of a name that is too long to tell one from another; `null` of any other. */
  tooLong() {
    const { length } = this.node.elements?.namedItem("which")?.value?.trim() ?? "";
    return length > NAME ? `“Which one” is ${length} characters long, and may be ${NAME}. Say the rest in the note.` : null;
  }

  line(name, label, value, { hint = null }) {
    const id = `form-${name}`;
    const field = name === "note" ? el("textarea", { id, name, rows: 1 }) : el("input", { id, name, type: "text", autocomplete: "off", enterkeyhint: "done", placeholder: hint });
    field.value = value ?? "";
    return el("div", { class: `field of-${name}` }, el("label", { for: id }, label), field);
  }

  /** What the picture's scale gives for the shape. @param {any|null} measured of the server */
  measure(measured) {
    this.measured = measured;
    if (this.measureHost) this.fill();
  }

  /** What a shape measures is its size, until one says another one, or none. */
  fill() {
    const field = this.node.querySelector("#form-size");
    if (!field) return;
    const free = this.wanted.fresh === "fresh" && !this.ownSize && (!field.value || this.isMeasured(field.value));
    if (free) field.value = this.auto = (isExtent(this.word) ? this.measured?.size : null) ?? "";
    this.drawMeasured();
  }

  isMeasured(size) {
    return Boolean(this.auto) && size === this.auto;
  }

  drawMeasured() {
    const { measured } = this;
    this.compare();
    if (measured?.problem) return this.measureHost.replaceChildren(el("p", { class: "small" }, `Not measured here: ${measured.problem}`));
    if (!measured?.text) return this.measureHost.replaceChildren();
    const field = this.node.querySelector("#form-size");
    const is = field?.value === measured.size;
    const use = () => {
      field.value = is ? "" : measured.size;
      this.ownSize = true;
      this.drawMeasured();
      this.wanted.touched();
      field.focus();
    };
    const act = measured.size ? button(is ? "leave it out" : "use it", use, { class: "use" }) : null;
    const notes = (measured.notes ?? []).map((it) => el("p", { class: "small" }, it));
    this.measureHost.replaceChildren(el("p", {}, `measured here: ${measured.text} `, act), ...notes);
  }

  // ---------------------------------------------------------------- keys, save

  key(event) {
    const { target } = event;
    if (event.isComposing) return;
    if (event.key === "Escape") {
      event.preventDefault();
      event.stopPropagation();
      if (this.question.hidden) return this.wanted.leave();
      this.unask();
      return this.focus();
    }
    // In a note that is begun Enter begins a new line.
    const ends = target.matches("textarea") ? event.ctrlKey || event.metaKey || (!event.shiftKey && !target.value.trim()) : !event.shiftKey && target.matches("select, [type=radio]");
    if (event.key === "Enter" && ends) {
      event.preventDefault();
      return this.node.requestSubmit();
    }
    if (event.key === "Enter" && !event.defaultPrevented && this.partHost.contains(target) && this.part && this.word) {
      event.preventDefault();
      this.sure = true;
      return this.goOn();
    }
    const writes = target.matches("input[type=text], textarea");
    if (writes || !singleKeys() || event.ctrlKey || event.altKey || event.metaKey || !/^[0-4]$/.test(event.key)) return;
    const radio = this.node.querySelector(`[name=level][value="${event.key}"]`);
    if (!radio) return;
    event.preventDefault();
    radio.checked = true;
    radio.focus();
    this.compare();
    this.wanted.touched();
  }

  /** Takes what stands in the fields into the mark. */
  read() {
    const value = (name) => this.node.elements.namedItem(name)?.value?.trim() || null;
    const { mark } = this;
    if (!this.rest.childElementCount) return;
    mark.level = Number(value("level")) || null;
    mark.size = sized(value("size") ?? "", this.unit);
    mark.which = this.node.elements.namedItem("which") ? value("which") : mark.which;
    mark.note = value("note");
    mark.state = value("state") ?? mark.state;
  }

  say(text) {
    this.wrong.textContent = text;
  }

  submit(event) {
    event.preventDefault();
    this.unask();
    if (!this.word) {
      this.say("Choose a word first.");
      return this.words.field.focus();
    }
    if (!this.part && !this.mark.finding) {
      this.say("Say on which part it is.");
      return this.partHost.querySelector("input").focus();
    }
    this.read();
    const long = this.tooLong();
    if (long) {
      this.say(long);
      return this.rest.querySelector("#form-which").focus();
    }
    if (this.asksOne()) {
      this.say("Which one is it? Choose one, or “another”.");
      return this.rest.querySelector("[name=one]").focus();
    }
    const levels = this.node.elements.namedItem("level");
    if (levels && !levels.value) {
      this.say("Which level? 1 to 4; 0 if you cannot say.");
      return this.rest.querySelector("[name=level]").focus();
    }
    if (this.one === "new" && !this.mark.which) this.mark.which = this.nextName();
    const mark = this.result();
    const parting = this.parting(mark);
    if (parting) this.ask(...parting);
    else this.wanted.save(mark);
  }

  /** A mark that would leave its numbered finding: what that means, and the answers; `null` when it stays. */
  parting(mark) {
    const was = this.wanted.fresh === "fresh" ? null : findingOf(this.wanted.mark);
    const to = findingOf(mark);
    if (!was || to?.id === was.id) return null;
    const named = was.which ? `${was.id}, “${was.which}”` : was.id;
    const left = was.marks.length > 1 ? "keeps its other marks" : "has no mark left and is taken out";
    const sameKind = wordOf(mark)?.id === was.tag && partOf(mark)?.id === was.part;
    const answers = [
      sameKind ? [`Still ${was.id}: only its name changes`, () => this.wanted.save(markOf({ ...mark, finding: was.id, tag: null, part: null }))] : null,
      [to ? `It is ${to.id}` : "Another one: a new finding", () => this.wanted.save(mark)],
      ["Back to the words", () => this.focus()],
    ];
    return [`This mark is of ${named}. ${sameKind ? "Is it still that one? If not," : "If it is saved so,"} ${was.id} ${left}.`, answers.filter(Boolean)];
  }

  /** The mark as it is to be written. */
  result() {
    const { mark, word } = this;
    if (!mark.finding) Object.assign(mark, { tag: word.id, part: this.part });
    // A name that a finding got later is told with its number.
    const named = mark.finding || !mark.which ? null : findingOf(mark);
    if (named && named.numbered_as !== mark.which) Object.assign(mark, { finding: named.id, tag: null, part: null });
    if (STATEMENTS.includes(word.id)) Object.assign(mark, { level: null, size: null, which: null, state: "present", finding: null });
    if (word.id === "absent") mark.region = null;
    return markOf(mark);
  }
}
