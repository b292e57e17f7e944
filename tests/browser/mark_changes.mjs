// The rules by which the marking page changes what is said, on many made-up texts; plain node, prints one JSON object.
//
//   node mark_changes.mjs
//
//   cases     how many chains of changes were made
//   undone    chains after which taking every step back did not give the first text again (marks in any order)
//   shorter   chains whose shortened form did not lead to the same text
//   twice     changes that did something when made a second time
//   lost      changes to one text that threw away a part that another window had added
//   joined    marks changed on two sides of which one side's change was lost, or that clash where they do not
//   joins     how many of them did not clash

import { applied, appliedAll, compressed, inverse, markOf, merged, nothing, same } from "../../templates/mark/changes.mjs";

/** Numbers that come the same each time: a linear congruential generator (Numerical Recipes, 2nd ed., 7.1). */
let state = 1;
function number(below) {
  state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
  return Math.floor((state / 2 ** 32) * below);
}

const PARTS = ["top", "side-left", "drawer-1/front", "leg-front-left"];
const of = (list) => list[number(list.length)];
const some = () => PARTS.filter(() => number(2));
const mark = () => markOf({ tag: of(["sound", "white_mark", "split"]), part: of(PARTS), which: of([null, "left"]), level: of([null, 1, 4]) });
const sorted = (said) => ({ ...said, parts: said.parts.toSorted(), marks: said.marks.map((it) => JSON.stringify(it)).toSorted() });

/** A change that fits `said`. */
function change(said) {
  const kind = of(["add", "add", "replace", "remove", "view", "parts", "note"]);
  if (kind === "view" || kind === "note") return { do: kind, was: said[kind], to: of([null, "a", "b"]) };
  if (kind === "parts") return { do: "parts", was: said.parts, to: some() };
  if (kind === "add" || !said.marks.length) return { do: "add", mark: mark() };
  return kind === "remove" ? { do: "remove", was: of(said.marks) } : { do: "replace", was: of(said.marks), mark: mark() };
}

const FIELDS = ["level", "size", "note", "state"];
const result = { cases: 0, undone: [], shorter: [], twice: [], lost: [], joined: [], joins: 0 };
for (let n = 0; n < 2000; n += 1) {
  const was = { ...mark(), size: null, note: null };
  const touch = () => ({ ...was, ...Object.fromEntries(FIELDS.filter(() => number(3) === 0).map((it) => [it, of([`${it} a`, `${it} b`])])) });
  const [mine, theirs] = [touch(), touch()];
  const { mark: both, clash } = merged(was, mine, theirs);
  const wanted = (it) => (mine[it] === was[it] ? theirs[it] : mine[it]);
  const clashes = FIELDS.filter((it) => mine[it] !== was[it] && theirs[it] !== was[it] && mine[it] !== theirs[it]);
  if (FIELDS.some((it) => both[it] !== wanted(it)) || !same(clash.toSorted(), clashes.toSorted())) result.joined.push([was, mine, theirs]);
  result.joins += clash.length ? 0 : 1;
}
for (let n = 0; n < 4000; n += 1) {
  const first = { ...nothing(), parts: some() };
  const chain = [];
  let said = first;
  for (let step = 0; step < 1 + number(7); step += 1) {
    const next = change(said);
    const then = applied(said, next);
    // A mark that stands there already would be one mark said twice: the page never offers that.
    if (then === said || then === null || new Set(sorted(then).marks).size < then.marks.length) continue;
    if (applied(then, next) !== then) result.twice.push(next);
    chain.push(next);
    said = then;
  }
  result.cases += 1;
  const back = appliedAll(said, chain.toReversed().map(inverse));
  if (!same(sorted(back), sorted(first))) result.undone.push(chain);
  if (!same(sorted(appliedAll(first, compressed(chain))), sorted(said))) result.shorter.push(chain);
  const elsewhere = { ...first, parts: [...first.parts, "back"] };
  const kept = appliedAll(elsewhere, chain.filter((it) => it.do === "parts"));
  if (!kept.parts.includes("back")) result.lost.push(chain);
}
console.log(JSON.stringify(result));
