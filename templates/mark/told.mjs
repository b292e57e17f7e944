// Changes and marks in plain words.

import { store } from "./store.mjs";

const FIELDS = { view: "The view", parts: "The parts it shows", note: "The note", private_note: "The note for you alone", scale: "The scale", face: "A side laid in the picture" };
const SHAPES = { box: "a box", line: "a line", outline: "an outline", spot: "a spot" };

function partName(id) {
  return store.part(id)?.label ?? id;
}

/** A mark: "White ring or haze, left ring, Top; level 2; 70 mm; a box; note". */
export function markWords(mark) {
  const finding = mark.finding ? store.finding(mark.finding) : null;
  const term = finding ? `${finding.id} ${finding.term}` : (store.word(mark.tag)?.term ?? mark.tag ?? mark.finding);
  const about = [term, mark.which ?? finding?.which, partName(mark.part ?? finding?.part ?? "")].filter(Boolean).join(", ");
  const state = mark.state === "present" ? null : store.words.states.find((it) => it.id === mark.state)?.label;
  const shape = mark.region ? `${SHAPES[Object.keys(mark.region)[0]]} at ${place(mark.region)}` : null;
  return [about, state, mark.level ? `level ${mark.level}` : null, mark.size, shape, mark.note ? `“${mark.note}”` : null].filter(Boolean).join("; ");
}

/** Where a shape lies: "62 % from the left, 31 % from the top". */
function place(region) {
  const [x, y] = region.box ?? region.spot ?? (region.line ?? region.outline)[0];
  return `${Math.round(x)} % from the left, ${Math.round(y)} % from the top`;
}

function valueWords(field, value) {
  if (value === null || value === undefined || value.length === 0) return "nothing";
  if (field === "view") return store.view(value)?.label ?? value;
  if (field === "parts") return value.map(partName).join(", ");
  if (field === "face") return `${value.face}, ${value.how}`;
  if (field === "scale") return value.height_mm ? `${value.width_mm} mm x ${value.height_mm} mm` : `${value.width_mm} mm`;
  return `“${value}”`;
}

/** A change and what stands there instead: {about, mine, theirs}. */
export function told(change, theirs = null) {
  if (change.do in FIELDS) return { about: FIELDS[change.do], mine: valueWords(change.do, change.to), theirs: valueWords(change.do, theirs) };
  const other = theirs ? markWords(theirs) : "it is not there any more";
  if (change.do === "remove") return { about: markWords(change.was), mine: "taken away", theirs: other };
  return { about: change.do === "add" ? "A new mark" : markWords(change.was), mine: markWords(change.mark), theirs: other };
}
