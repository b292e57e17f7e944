// A field in which something is found by typing a part of its label: views, parts. Arrow keys, Enter, Esc; no id is ever typed.

import { el } from "./el.mjs";
import { notice } from "./notice.mjs";

let number = 0;

/** What Enter says while nothing is chosen. */
const CHOOSE = "Type a part of the name, or choose with the arrow keys.";

/**
 * `choices`: [{id, label, hint}], the likely ones first. Calls `onChoose(id)`; `null` when the field was emptied.
 * `value` is the id chosen now, `name` the visible label, `most` how many are listed at once;
 * with `early` a label that has the typed word nearer to its start comes first.
 */
export function chooser({ name, choices, value = null, onChoose, most = 12, key = null, early = false }) {
  number += 1;
  const id = `choose-${number}`;
  const chosen = choices.find((it) => it.id === value);
  const props = { id, role: "combobox", type: "text", autocomplete: "off", spellcheck: "false", "aria-expanded": "false" };
  const field = el("input", { ...props, "aria-controls": `${id}-list`, "aria-autocomplete": "list", data: key ? { key } : {} });
  field.value = chosen?.label ?? "";
  const list = el("ul", { id: `${id}-list`, role: "listbox", "aria-label": name, class: "choices", hidden: true });
  const state = { field, list, choices, most, early, at: 0, found: [], onChoose, label: chosen?.label ?? "" };
  field.addEventListener("input", () => open(state));
  field.addEventListener("focus", () => field.select());
  field.addEventListener("click", () => open(state, ""));
  field.addEventListener("keydown", (event) => onKey(state, event));
  field.addEventListener("blur", () => leave(state));
  return el("div", { class: "chooser" }, el("label", { for: id }, name), field, list);
}

/** How well `choice` answers `query`: lower is better, `null` not at all. */
export function rank(choice, query) {
  // A number alone names nothing: it is a level that was typed too early.
  if (/^[\d\s]*\d[\d\s]*$/.test(query)) return null;
  const words = query.toLowerCase().split(/\s+/).filter(Boolean);
  const label = choice.label.toLowerCase();
  if (words.every((it) => label.split(/[\s,(-]+/).some((part) => part.startsWith(it)))) return label.startsWith(words[0] ?? "") ? 0 : 1;
  const all = `${label} ${(choice.hint ?? "").toLowerCase()}`;
  return words.every((it) => all.includes(it)) ? 2 : null;
}

function open(state, query = state.field.value) {
  const ranked = state.choices.map((choice) => ({ choice, rank: rank(choice, query) })).filter((it) => it.rank !== null);
  const place = ({ choice }) => (state.early ? choice.label.toLowerCase().split(/[\s,(-]+/).findIndex((it) => it.startsWith(query.trim().toLowerCase())) : 0);
  ranked.sort((a, b) => a.rank - b.rank || place(a) - place(b));
  state.found = ranked.slice(0, state.most).map((it) => it.choice);
  // Enter takes nothing that was neither typed nor chosen.
  state.at = query.trim() && state.found.length ? 0 : -1;
  state.list.replaceChildren(...state.found.map((choice, n) => line(state, choice, n)));
  if (!state.found.length) state.list.replaceChildren(el("li", { role: "option", "aria-disabled": "true", class: "none" }, `Nothing is called “${query}”`));
  if (ranked.length > state.most) {
    state.list.append(el("li", { role: "option", "aria-disabled": "true", class: "none" }, `${ranked.length - state.most} more: type a part of the name`));
  }
  state.list.hidden = false;
  state.field.setAttribute("aria-expanded", "true");
  light(state);
}

function line(state, choice, n) {
  const hint = choice.hint ? el("span", { class: "hint" }, choice.hint) : null;
  const node = el("li", { role: "option", id: `${state.list.id}-${n}` }, el("span", {}, choice.label), hint);
  node.addEventListener("pointerdown", (event) => event.preventDefault());
  node.addEventListener("click", () => take(state, choice));
  return node;
}

function light(state) {
  state.list.querySelectorAll("[role=option]").forEach((node, n) => node.setAttribute("aria-selected", String(n === state.at)));
  const lit = state.found[state.at] ? state.list.children[state.at] : null;
  if (lit) state.field.setAttribute("aria-activedescendant", lit.id);
  else state.field.removeAttribute("aria-activedescendant");
  lit?.scrollIntoView({ block: "nearest" });
}

function close(state) {
  state.list.hidden = true;
  state.field.setAttribute("aria-expanded", "false");
  state.field.removeAttribute("aria-activedescendant");
}

function take(state, choice) {
  close(state);
  state.label = choice.label;
  state.field.value = choice.label;
  state.onChoose(choice.id);
}

function onKey(state, event) {
  const shown = !state.list.hidden;
  if (event.key === "ArrowDown" || event.key === "ArrowUp") {
    event.preventDefault();
    if (!shown) open(state, "");
    const many = state.found.length || 1;
    state.at = state.at < 0 ? (event.key === "ArrowDown" ? 0 : many - 1) : (state.at + (event.key === "ArrowDown" ? 1 : many - 1)) % many;
    return light(state);
  }
  if (event.key === "Enter" && (shown || state.field.value !== state.label)) {
    event.preventDefault();
    if (!shown) open(state);
    if (state.found[state.at]) return take(state, state.found[state.at]);
    if (!state.found.length) return notice(`Nothing is called “${state.field.value}”`);
    return state.label && state.field.value === state.label ? close(state) : notice(CHOOSE);
  }
  if (event.key === "Escape" && shown) {
    event.preventDefault();
    event.stopPropagation();
    state.field.value = state.label;
    close(state);
  }
}

function leave(state) {
  close(state);
  if (state.field.value.trim() === "" && state.label) {
    state.label = "";
    state.onChoose(null);
  } else state.field.value = state.label;
}
