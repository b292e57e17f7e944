// What the program will say of the parts once a change is saved; shown until it has said it. Pure.

import { STATEMENTS, same } from "./changes.mjs";

const TOLD = { sound: "looked for, nothing found", not_examined: "not examined", absent: "not there", silent: "nothing said yet" };

/** The part that a mark is about. */
export function partOfMark(walk, mark) {
  return mark.part ?? walk.findings.find((it) => it.id === mark.finding)?.part ?? null;
}

/**
 * Brings the pictures and the state of each part in line with what is now said of `photo`, in the place of `before`, which the program
 * knows already. `kindOf(tag)`: `fault`, `look`, ...
 */
export function guessParts(walk, photo, before, kindOf) {
  const laid = (said, part) => said.parts.includes(part.id) || about(walk, said, part).length > 0;
  for (const part of walk.parts) {
    const [listed, is] = [part.photos.includes(photo.no), laid(photo.said, part)];
    if (is && !listed) part.photos = [...part.photos, photo.no].sort(inOrder(walk));
    if (!is && listed && laid(before, part)) part.photos = part.photos.filter((it) => it !== photo.no);
    if (!same(about(walk, before, part), about(walk, photo.said, part))) guessState(walk, part, kindOf);
  }
}

/** Marks of what is said of a picture that are about `part`. */
function about(walk, said, part) {
  return said.marks.filter((it) => partOfMark(walk, it) === part.id);
}

function inOrder(walk) {
  const place = new Map(walk.photos.map((it, n) => [it.no, n]));
  return (a, b) => place.get(a) - place.get(b);
}

function guessState(walk, part, kindOf) {
  const marks = walk.photos.flatMap((it) => about(walk, it.said, part));
  const statement = marks.findLast((it) => STATEMENTS.includes(it.tag))?.tag;
  const fresh = freshFaults(walk, part, marks, kindOf);
  if (statement === "absent") return say(part, "absent", TOLD.absent);
  if (part.findings.length + fresh > 0) return say(part, "faults", faultWords(part, fresh));
  return say(part, statement ?? "silent", TOLD[statement ?? "silent"]);
}

/** Faults that have no number yet. */
function freshFaults(walk, part, marks, kindOf) {
  const name = (it) => `${it.tag} ${it.which ?? ""}`;
  const known = walk.findings.filter((it) => it.part === part.id).map(name);
  const faults = marks.filter((it) => it.finding === null && kindOf(it.tag) === "fault").map(name);
  return new Set(faults.filter((it) => !known.includes(it))).size;
}

/** What became of known findings is the program's to say: only fresh ones are added to its words. */
function faultWords(part, fresh) {
  if (part.findings.length === 0) return `${fresh} new ${fresh === 1 ? "finding" : "findings"}`;
  return fresh > 0 ? `${part.from}; ${fresh} new` : part.from;
}

function say(part, state, told) {
  part.state = state;
  part.told = told;
}
