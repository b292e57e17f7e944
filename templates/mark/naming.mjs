// What marks are called, in the words of the person who reads them. Reads the store; changes nothing.

import { STATEMENTS } from "./changes.mjs";
import { store } from "./store.mjs";

/** The four levels. */
export const LEVELS = ["trace", "visible", "heavy", "failing"];

/** States in which a fault is no longer to be seen as it was. */
const PAST = ["repaired", "gone"];

export function isStatement(mark) {
  return STATEMENTS.includes(mark.tag);
}

export function isPast(mark) {
  return PAST.includes(mark.state);
}

/** The finding that a mark is about, if the book knows one. */
export function findingOf(mark) {
  if (mark.finding) return store.finding(mark.finding);
  const alike = store.walk.findings.filter((it) => it.part === mark.part && it.tag === mark.tag);
  const which = mark.which ?? "";
  return alike.find((it) => it.numbered_as === which) ?? alike.find((it) => which && it.which === which) ?? null;
}

/** The part that a mark is about. */
export function partOf(mark) {
  return store.part(mark.part ?? findingOf(mark)?.part ?? "");
}

/** The word of a mark, as the trade book has it. */
export function wordOf(mark) {
  return store.word(mark.tag ?? findingOf(mark)?.tag ?? "");
}

/** "White mark, left ring". */
export function nameOf(mark) {
  const term = wordOf(mark)?.term ?? findingOf(mark)?.term ?? mark.tag ?? mark.finding ?? "no word yet";
  const which = mark.which ?? findingOf(mark)?.which;
  return which ? `${term}, ${which}` : term;
}

/** "Top · F3 · 2 visible · 70 mm · gone". */
export function factsOf(mark) {
  const finding = findingOf(mark);
  return [
    partOf(mark)?.label ?? "part not said",
    finding?.id,
    mark.level ? `${mark.level} ${LEVELS[mark.level - 1]}` : null,
    mark.size,
    mark.state === "present" ? null : stateLabel(mark.state),
  ].filter(Boolean).join(" · ");
}

export function stateLabel(id) {
  return store.words.states.find((it) => it.id === id)?.label ?? id;
}

/** The marks of a photo that are no statements, with their place in the list and the number that is shown. */
export function numbered(photo) {
  let number = 0;
  return photo.said.marks
    .map((mark, index) => ({ mark, index, key: String(index) }))
    .filter((it) => !isStatement(it.mark))
    .map((it) => ({ ...it, number: String((number += 1)) }));
}

/** The statement made of a part in a photo, as a mark, or null. */
export function statementOf(photo, part) {
  return photo.said.marks.find((it) => isStatement(it) && it.part === part) ?? null;
}

/** A fault that is marked on a part in a photo and is there: it and "looked for, nothing found" cannot both be so. */
export function faultOn(photo, part) {
  const there = photo.said.marks.filter((it) => wordOf(it)?.kind === "fault" && !isPast(it));
  return there.find((it) => partOf(it)?.id === part) ?? null;
}

/** The "looked for, nothing found" of a photo that a fault marked on its part takes back, or null. */
export function takenBackBy(photo, mark) {
  if (wordOf(mark)?.kind !== "fault" || isPast(mark)) return null;
  const said = statementOf(photo, partOf(mark)?.id);
  return said?.tag === "sound" ? said : null;
}

/** Whether both which view a picture is and what it shows is said; a view of the wrapped piece needs no part. */
export function isLaid({ said }) {
  const view = store.view(said.view ?? "");
  return Boolean(view) && (!view.needs_part || said.parts.length > 0 || said.marks.length > 0);
}

/** Findings to look at again of which nothing is said yet, in the shoot that is shown. */
export function due() {
  const shown = store.walk.again.filter((it) => store.shown === null || it.shoot === store.shown);
  const shoots = new Set(shown.map((it) => it.shoot));
  const marks = store.walk.photos.filter((it) => shoots.has(it.shoot)).flatMap((photo) => photo.said.marks.map((mark) => `${photo.shoot} ${findingOf(mark)?.id}`));
  const spoken = new Set(marks);
  return shown.filter((it) => !spoken.has(`${it.shoot} ${it.finding}`));
}

/** "purchase, 14 March". */
export function shootOf(photo) {
  const shoot = store.walk.shoots.find((it) => it.no === photo.shoot);
  return shoot?.label ?? "";
}

/** The address of a picture, coming from a part. */
export function address(no, part) {
  return part ? `#picture/${no}?part=${encodeURIComponent(part)}` : `#picture/${no}`;
}
