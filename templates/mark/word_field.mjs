// The field in which the word of a mark is found: faults, observations, statements, and findings of the part that are known.

import { el } from "./el.mjs";
import { notice } from "./notice.mjs";
import { again, ranked } from "./search.mjs";
import { store } from "./store.mjs";

const KINDS = { fault: "fault", look: "observation", statement: "statement" };

let fields = 0;

/** @typedef {{finding: any} | {word: any}} Pick */

/** A field that lists words at once and narrows them as one types. */
export class WordField {
  /** @param {{part: () => string|null, drawn: boolean, here: Set<string>, onPick: (pick: Pick) => void}} wanted */
  constructor(wanted) {
    this.wanted = wanted;
    fields += 1;
    this.id = `word-${fields}`;
    this.at = 0;
    this.found = [];
    const { words } = store;
    this.all = [...words.tags, ...words.cues, ...words.statements.map((it) => ({ kind: "statement", ...it }))];
    const props = { id: this.id, type: "text", role: "combobox", autocomplete: "off", spellcheck: "false", autocapitalize: "off", enterkeyhint: "next" };
    const aria = { "aria-autocomplete": "list", "aria-expanded": "true", "aria-controls": `${this.id}-list`, placeholder: "white ring, loose edge, smell …" };
    const on = { input: () => this.list(), keydown: (it) => this.key(it), click: () => this.list(), blur: () => this.named && this.name(this.named) };
    this.field = el("input", { ...props, ...aria, "aria-describedby": `${this.id}-how`, on });
    this.box = el("ul", { id: `${this.id}-list`, role: "listbox", "aria-label": "Words", class: "word-list" });
    const how = el("p", { id: `${this.id}-how`, class: "small" }, "Say it as you would say it. Arrow keys and Enter choose.");
    this.node = el("div", { class: "word-field" }, el("label", { for: this.id }, "What is it?"), this.field, how, this.box);
    this.list();
  }

  /** Fills the list for what is typed now. */
  list() {
    const query = this.named && this.field.value === this.named ? "" : this.field.value;
    const part = this.wanted.part();
    const kind = part ? store.part(part)?.kind ?? null : null;
    const elsewhere = store.walk.findings.filter((it) => !this.wanted.here.has(it.id));
    const findings = again(elsewhere, part, query, (id) => store.word(id));
    const words = ranked(this.all, query, kind, query.trim() ? 24 : 12);
    const known = findings.map((finding) => ({ finding }));
    const fresh = words.map((word) => ({ word }));
    // A word that is typed is a new finding; one that is known is chosen from the list.
    this.found = query.trim() ? [...fresh.slice(0, 1), ...known, ...fresh.slice(1)] : [...known, ...fresh];
    // An observation says something of the material: it is never taken unread.
    this.at = query.trim() && this.found[0]?.word?.kind !== "look" ? 0 : -1;
    const none = el("li", { class: "none", role: "option", "aria-disabled": "true" }, "No word fits. Try another one for the same thing.");
    this.box.replaceChildren(...(this.found.length ? this.found.map((it, n) => this.line(it, n)) : [none]));
    this.open("true");
    this.light();
  }

  open(whether) {
    this.box.hidden = whether === "false";
    this.field.setAttribute("aria-expanded", whether);
    this.node.classList.toggle("shut", whether === "false");
  }

  line(pick, n) {
    const known = "finding" in pick;
    const { finding, word } = pick;
    const head = known ? `${finding.id} again: ${finding.term}${finding.which ? `, ${finding.which}` : ""}` : word.term;
    const small = known ? [finding.state_words, finding.size].filter(Boolean).join(", ") : word.plain;
    const kind = known ? null : KINDS[word.kind];
    const node = el(
      "li",
      { role: "option", id: `${this.id}-${n}`, class: known ? "known" : "" },
      el("b", {}, head),
      kind && kind !== "fault" ? el("i", {}, kind) : null,
      el("span", {}, small),
    );
    node.addEventListener("pointerdown", (it) => it.preventDefault());
    node.addEventListener("click", () => this.pick(pick));
    return node;
  }

  light() {
    [...this.box.children].forEach((it, n) => it.setAttribute("aria-selected", String(n === this.at && this.found.length > 0)));
    const lit = this.found[this.at] ? this.box.children[this.at] : null;
    if (lit) this.field.setAttribute("aria-activedescendant", lit.id);
    else this.field.removeAttribute("aria-activedescendant");
    if (lit && (lit.offsetTop < this.box.scrollTop || lit.offsetTop + lit.offsetHeight > this.box.scrollTop + this.box.clientHeight)) {
      this.box.scrollTop = this.at ? lit.offsetTop - 40 : 0;
    }
  }

  key(event) {
    const shown = !this.box.hidden;
    if (event.key === "=" && !this.field.value && this.wanted.same) {
      event.preventDefault();
      return this.wanted.same();
    }
    if (event.key === "ArrowDown" || event.key === "ArrowUp") {
      event.preventDefault();
      if (!shown) return this.list();
      const many = this.found.length || 1;
      this.at = this.at < 0 ? (event.key === "ArrowDown" ? 0 : many - 1) : (this.at + (event.key === "ArrowDown" ? 1 : many - 1)) % many;
      return this.light();
    }
    if (event.key === "Enter" && shown) {
      event.preventDefault();
      if (this.found[this.at]) this.pick(this.found[this.at]);
      else notice(this.found.length ? "Type the word, or choose one with the arrow keys." : "No word fits. Try another one for the same thing.");
    }
    if (event.key === "Escape" && shown && this.named) {
      event.preventDefault();
      event.stopPropagation();
      this.name(this.named);
    }
  }

  pick(pick) {
    const { finding, word } = pick;
    this.name(finding ? `${finding.id} again: ${finding.term}` : word.term);
    this.wanted.onPick(pick);
  }

  /** Shows what was chosen; the list is shut. @param {string} text */
  name(text) {
    this.named = text;
    this.field.value = text;
    this.open("false");
  }
}
