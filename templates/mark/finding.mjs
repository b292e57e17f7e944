// A finding as a line with its picture, cut to the mark.

import { el } from "./el.mjs";
import { cut } from "./cut.mjs";
import { store } from "./store.mjs";

/** The newest mark of a finding that says where it is; else its newest mark; `before`: only shoots before that one. */
export function lastMark(finding, before = Infinity) {
  const marks = finding.marks.filter((it) => it.shoot < before);
  return marks.findLast((it) => markAt(it)?.region) ?? marks.at(-1) ?? null;
}

/** The mark itself of {photo, mark}. */
export function markAt(place) {
  return store.photo(place.photo)?.said.marks[place.mark] ?? null;
}

/** "F3 White ring or haze, left ring". */
export function findingName(finding) {
  return `${finding.id} ${finding.term}${finding.which ? `, ${finding.which}` : ""}`;
}

/** "level 2, 5 to 25 cm2 missing · 70 mm". */
function measures(finding) {
  const level = finding.level ? `level ${finding.level}${finding.level_words ? `, ${finding.level_words}` : ""}` : "no level said";
  return [level, finding.size].filter(Boolean).join(" · ");
}

/** The line of a finding; it leads to the picture that shows it last. `part` is where one comes from, if anywhere. */
export function findingLine(finding, part = null) {
  const place = lastMark(finding);
  const photo = place ? store.photo(place.photo) : null;
  const about = part ? finding.plain : finding.part_label;
  const words = [el("b", {}, findingName(finding)), el("span", { class: part ? "quiet" : null }, about), el("span", {}, finding.state_words), el("span", { class: "quiet" }, measures(finding))];
  if (!photo) return el("li", {}, el("div", { class: "words" }, ...words));
  const picture = cut(photo, markAt(place)?.region ?? null);
  const props = { href: `#picture/${photo.no}?part=${finding.part}`, data: { key: `finding ${finding.id}` } };
  return el("li", {}, el("a", props, picture, el("span", { class: "words" }, ...words, el("span", { class: "quiet" }, `picture ${photo.no}`))));
}
