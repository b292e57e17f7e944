// Changes to what is said of one picture: pure. Said and change in, said and change out; knows no server and no page.
//
// A change names what stood there before BY VALUE, so that two windows and an editor can work on the same text.

/** Statements about a whole part; they are marks with one of these tags. */
export const STATEMENTS = ["sound", "not_examined", "absent"];

/** What is said of a picture of which nothing is said. */
export function nothing() {
  return { view: null, parts: [], note: null, private_note: null, scale: null, faces: [], marks: [] };
}

/** A mark with every field; `some` fills in those that are not empty. */
export function markOf(some) {
  const empty = { tag: null, part: null, which: null, finding: null, state: "present" };
  return { ...empty, level: null, size: null, note: null, region: null, ...some };
}

/** Text of a value that is the same for equal values, whatever the order of their keys. */
function plainText(value) {
  if (Array.isArray(value)) return `[${value.map(plainText).join()}]`;
  if (value === null || typeof value !== "object") return JSON.stringify(value ?? null);
  const keys = Object.keys(value).filter((key) => value[key] !== undefined).sort();
  return `{${keys.map((key) => `${JSON.stringify(key)}:${plainText(value[key])}`).join()}}`;
}

/** What of a mark is changed by itself; what says which fault it is goes together. */
const GROUPS = [["tag", "part", "which", "finding"], ["state"], ["level"], ["size"], ["note"], ["region"]];

/** Where among marks the one stands that `was` became elsewhere: the same place in the picture, or the same fault; -1 where it is gone. */
export function kinOf(marks, was) {
  const place = marks.findIndex((it) => was.region && same(it.region, was.region));
  const about = (it) => JSON.stringify([it.finding, it.tag, it.part, it.which]);
  return place >= 0 ? place : marks.findIndex((it) => about(it) === about(was));
}

/**
 * One mark that two sides changed: what only one side changed is as that side says, the rest as mine says. Gives {mark, clash}: the fields
 * in which both changed the same thing, and not alike.
 */
export function merged(was, mine, theirs) {
  const of = (mark, fields) => fields.map((it) => mark[it] ?? null);
  const alike = (a, b, fields) => same(of(a, fields), of(b, fields));
  const kept = GROUPS.filter((fields) => alike(mine, was, fields));
  const clash = GROUPS.filter((fields) => !kept.includes(fields) && !alike(theirs, was, fields) && !alike(mine, theirs, fields));
  const from = Object.fromEntries(kept.flat().map((it) => [it, theirs[it] ?? null]));
  return { mark: { ...mine, ...from }, clash: clash.flat() };
}

/** The changes without those that both sides can have: {changes, rest}, of which `rest` are the stuck ones that stay. */
export function reconciled(changes, stuck) {
  const joins = (it) => it.change.do === "replace" && it.theirs && !merged(it.change.was, it.change.mark, it.theirs).clash.length;
  const free = stuck.filter(joins);
  const instead = (change) => {
    const it = free.find((each) => same(each.change, change));
    return it ? { do: "replace", was: it.theirs, mark: merged(change.was, change.mark, it.theirs).mark } : change;
  };
  return { changes: changes.map(instead), rest: stuck.filter((it) => !free.includes(it)) };
}

/** Whether two values are equal. */
export function same(a, b) {
  return a === b || plainText(a) === plainText(b);
}

/**
 * What is said after `change`; `null` when what it replaces is not there. A change that is done already leaves `said` as it is.
 */
export function applied(said, change) {
  const place = (mark) => said.marks.findIndex((it) => same(it, mark));
  const withMarks = (marks) => ({ ...said, marks });
  if (change.do === "add") return place(change.mark) >= 0 ? said : withMarks([...said.marks, change.mark]);
  if (change.do === "remove") {
    const at = place(change.was);
    return at < 0 ? said : withMarks(said.marks.toSpliced(at, 1));
  }
  if (change.do === "replace") {
    const at = place(change.was);
    if (same(change.was, change.mark)) return at < 0 ? null : said;
    if (at >= 0) return withMarks(said.marks.with(at, change.mark));
    return place(change.mark) >= 0 ? said : null;
  }
  if (change.do === "parts") return withParts(said, change);
  if (change.do === "face") return withFace(said, change);
  if (same(said[change.do], change.to)) return said;
  return same(said[change.do], change.was) ? { ...said, [change.do]: change.to } : null;
}

/** Parts are a set: what was added and what was taken away counts, whatever else stands there. */
function withParts(said, { was, to }) {
  const kept = said.parts.filter((it) => to.includes(it) || !was.includes(it));
  const parts = [...kept, ...to.filter((it) => !was.includes(it) && !kept.includes(it))];
  return same(parts, said.parts) ? said : { ...said, parts };
}

/** A face is laid once in a picture: the one of that name is set, changed or taken away. */
function withFace(said, { was, to }) {
  const faces = said.faces ?? [];
  const at = faces.findIndex((it) => it.face === (to ?? was).face);
  const there = faces[at] ?? null;
  if (same(there, to)) return said;
  if (!same(there, was)) return null;
  if (to) return { ...said, faces: at < 0 ? [...faces, to] : faces.with(at, to) };
  return { ...said, faces: faces.toSpliced(at, 1) };
}

/** What is said after all of `changes`, those left out that cannot be applied. */
export function appliedAll(said, changes) {
  return changes.reduce((now, change) => applied(now, change) ?? now, said);
}

/** The change that takes `change` back. */
export function inverse(change) {
  if (change.do === "add") return { do: "remove", was: change.mark };
  if (change.do === "remove") return { do: "add", mark: change.was };
  if (change.do === "replace") return { do: "replace", was: change.mark, mark: change.was };
  return { do: change.do, was: change.to, to: change.was };
}

/** Of two changes that follow each other: the one that does both, `[]` if they cancel out, `null` if they are apart. */
function joined(first, then) {
  if (first.do !== "remove" && "mark" in first && "was" in then && same(first.mark, then.was)) {
    if (first.do === "add") return then.do === "remove" ? [] : [{ do: "add", mark: then.mark }];
    if (then.do === "remove") return [{ do: "remove", was: first.was }];
    return same(first.was, then.mark) ? [] : [{ do: "replace", was: first.was, mark: then.mark }];
  }
  const about = (it) => (it.to ?? it.was)?.face;
  if ("to" in first && first.do === then.do && (first.do !== "face" || about(first) === about(then)) && same(first.to, then.was)) {
    return same(first.was, then.to) ? [] : [{ do: first.do, was: first.was, to: then.to }];
  }
  return null;
}

/** The same changes in fewer steps. */
export function compressed(changes) {
  const result = [];
  for (const change of changes) {
    const at = result.findLastIndex((it) => joined(it, change) !== null);
    if (at < 0) result.push(change);
    else result.splice(at, 1, ...joined(result[at], change));
  }
  return result;
}

/**
 * What the person chose for a change that the file contradicts: `choice` is `mine`, `theirs` or `both`.
 * Gives the changes to send instead.
 */
export function chosen(change, theirs, choice) {
  if (choice === "theirs") return [];
  if (change.do === "remove") return theirs ? [{ do: "remove", was: theirs }] : [];
  if (change.do === "replace" || change.do === "add") {
    const mine = theirs && change.was ? merged(change.was, change.mark, theirs).mark : change.mark;
    if (theirs && choice === "mine") return [{ do: "replace", was: theirs, mark: mine }];
    return [{ do: "add", mark: change.mark }];
  }
  return [{ do: change.do, was: theirs, to: choice === "both" ? bothOf(change, theirs) : change.to }];
}

/** Both sides of one field: parts together, notes one after the other. */
function bothOf(change, theirs) {
  if (change.do === "parts") return [...theirs, ...change.to.filter((it) => !theirs.includes(it))];
  return [theirs, change.to].filter(Boolean).join(" ");
}

/** Whether both sides of a contradiction can stand beside each other. */
export function bothCanStand(change, theirs) {
  if (change.do === "replace" || change.do === "add") return theirs !== null;
  return ["parts", "note", "private_note"].includes(change.do) && Boolean(theirs) && Boolean(change.to);
}

/** Whether nothing is said. */
export function isNothing(said) {
  return !said.view && !said.parts.length && !said.note && !said.private_note && !said.scale && !said.faces?.length && !said.marks.length;
}
