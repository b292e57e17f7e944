// What the program will say of the parts once a change is saved; shown until it has said it. Pure.

import { STATEMENTS } from "./changes.mjs";

const CLOSED = ["repaired", "gone"];
const TOLD = { sound: "looked for, nothing found", not_examined: "not examined", absent: "not there", silent: "nothing said yet" };

/** The part that a mark is about. */
export function partOfMark(walk, mark) {
  return mark.part ?? walk.findings.find((it) => it.id === mark.finding)?.part ?? null;
}

/** Brings the pictures and the state of each part in line with what is now said of `photo`. `kindOf(tag)`: `fault`, `look`, ... */
export function guessParts(walk, photo, kindOf) {
  const now = new Set([...photo.said.parts, ...photo.said.marks.map((it) => partOfMark(walk, it))]);
  for (const part of walk.parts) {
    const [was, is] = [part.photos.includes(photo.no), now.has(part.id)];
    if (!was && !is) continue;
    if (was !== is) part.photos = is ? [...part.photos, photo.no].sort(inOrder(walk)) : part.photos.filter((it) => it !== photo.no);
    guessState(walk, part, kindOf);
  }
}

function inOrder(walk) {
  const place = new Map(walk.photos.map((it, n) => [it.no, n]));
  return (a, b) => place.get(a) - place.get(b);
}

function guessState(walk, part, kindOf) {
  const marks = walk.photos.flatMap((it) => it.said.marks).filter((it) => partOfMark(walk, it) === part.id);
  const faults = new Map();
  for (const mark of marks) {
    const known = mark.finding ?? walk.findings.find((it) => it.part === part.id && it.tag === mark.tag && (it.which ?? "") === (mark.which ?? ""))?.id;
    if (known || kindOf(mark.tag) === "fault") faults.set(known ?? `${mark.tag} ${mark.which ?? ""}`, mark.state);
  }
  const statement = marks.findLast((it) => STATEMENTS.includes(it.tag))?.tag;
  if (statement === "absent") return say(part, "absent", TOLD.absent);
  if (faults.size) {
    const open = [...faults.values()].filter((it) => !CLOSED.includes(it)).length;
    return say(part, "faults", `${faults.size} ${faults.size === 1 ? "finding" : "findings"}, ${open} still there`);
  }
  return say(part, statement ?? "silent", TOLD[statement ?? "silent"]);
}

function say(part, state, told) {
  part.state = state;
  part.told = told;
}
