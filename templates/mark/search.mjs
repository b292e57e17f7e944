// Pure: which words are meant by what was typed, for a part. No document, no state.

/** @typedef {{id: string, term: string, plain: string, group?: string, synonyms?: string[], kinds?: string[], kind?: string, look_alikes?: string|null}} Word */

/** Small words that say nothing. */
const EMPTY = new Set(["a", "an", "the", "of", "in", "on", "at", "to", "is", "it", "and", "or", "by", "with", "from"]);

/** Points for each way of fitting; the best one of a word counts. */
const POINTS = { whole: 100, start: 80, inside: 60, synonym: 90, synonymStart: 70, synonymInside: 50, group: 25, plain: 20, near: 15 };

/** Points for a word that is usual on this kind of part: more than one step, less than two. */
const LIKELY = 15;

/** Small letters, no accents, no signs. @param {string} text */
export function folded(text) {
  return (text ?? "").normalize("NFD").replace(/[\u0300-\u036f]/g, "").toLowerCase().replace(/[^\p{L}\p{N}%]+/gu, " ").trim();
}

/** @param {string} text @returns {string[]} words that say something; all of them when none does */
export function wordsOf(text) {
  const all = folded(text).split(" ").filter(Boolean);
  const said = all.filter((it) => !EMPTY.has(it));
  return said.length ? said : all;
}

/** A text prepared once for many questions. */
function prepared(word) {
  return {
    word,
    term: folded(word.term),
    synonyms: (word.synonyms ?? []).map(folded),
    group: wordsOf(word.group ?? ""),
    plain: wordsOf([word.plain, word.recognise, word.trap].filter(Boolean).join(" ")),
  };
}

const cache = new WeakMap();

function ready(word) {
  let it = cache.get(word);
  if (!it) cache.set(word, (it = prepared(word)));
  return it;
}

/** Prepares words ahead, so that the first question is as quick as the others. @param {Word[]} words */
export function prepare(words) {
  words.forEach(ready);
}

/** How well one typed word fits. */
function fit(it, asked) {
  const starts = (text) => text.split(" ").some((one) => one.startsWith(asked));
  if (it.term === asked) return POINTS.whole;
  if (it.synonyms.includes(asked)) return POINTS.synonym;
  if (it.term.startsWith(asked)) return POINTS.start;
  if (it.synonyms.some((one) => one.startsWith(asked))) return POINTS.synonymStart;
  if (starts(it.term)) return POINTS.inside;
  if (it.synonyms.some(starts)) return POINTS.synonymInside;
  if (it.group.some((one) => one.startsWith(asked))) return POINTS.group;
  if (it.plain.some((one) => one.startsWith(asked))) return POINTS.plain;
  const long = asked.length >= 4;
  const near = (text) => text.split(" ").some((one) => one.length >= 4 && oneSlip(one, asked));
  return long && (near(it.term) || it.synonyms.some(near)) ? POINTS.near : 0;
}

/** Whether two words differ by one slip of the hand: a letter too many, missing, wrong, or two swapped; the end of the longer may be missing. */
export function oneSlip(word, asked) {
  const a = word.slice(0, asked.length + 1);
  for (const end of [asked.length - 1, asked.length, asked.length + 1]) {
    if (slips(a.slice(0, end), asked) <= 1) return true;
  }
  return false;
}

function slips(a, b) {
  let n = 0;
  while (n < a.length && n < b.length && a[n] === b[n]) n += 1;
  const [x, y] = [a.slice(n), b.slice(n)];
  if (x === y) return 0;
  if (x.slice(1) === y || y.slice(1) === x || x.slice(1) === y.slice(1)) return 1;
  return x.length > 1 && y.length > 1 && x[0] === y[1] && x[1] === y[0] && x.slice(2) === y.slice(2) ? 1 : 2;
}

/** Points of a word for a question; every typed word must fit somewhere. 0 = does not fit. @param {Word} word @param {string} query */
export function points(word, query) {
  const asked = wordsOf(query);
  if (!asked.length) return 1;
  const it = ready(word);
  const whole = fit(it, folded(query));
  const each = asked.map((one) => fit(it, one));
  if (each.some((one) => one === 0)) return whole;
  return Math.max(whole, each.reduce((sum, one) => sum + one, 0) / each.length - (asked.length > 1 ? 1 : 0));
}

/** Whether a word is usual on a kind of part. @param {Word} word @param {string|null} kind "yes" | "any" | "no" */
export function likely(word, kind) {
  if (!word.kinds?.length) return "any";
  return kind && word.kinds.includes(kind) ? "yes" : "no";
}

/** The words that fit, best first: what is usual on the part before what is not; otherwise the order of the book.
 *  @param {Word[]} words @param {string} query @param {string|null} kind of the part @param {number} [most] */
export function ranked(words, query, kind, most = 60) {
  const bonus = { yes: LIKELY, any: LIKELY / 3, no: 0 };
  return words
    .map((word, order) => ({ word, order, fit: points(word, query) }))
    .filter((it) => it.fit > 0)
    .map((it) => ({ ...it, rank: it.fit + bonus[likely(it.word, kind)] }))
    .sort((a, b) => b.rank - a.rank || a.order - b.order)
    .slice(0, most)
    .map((it) => it.word);
}

/** Things with a label, best first: start of the label, start of a word in it, each typed word in it.
 *  @template {{label: string}} T @param {T[]} things @param {string} query @returns {T[]} */
export function named(things, query) {
  const asked = wordsOf(query);
  if (!asked.length) return things.slice();
  const value = (label) => {
    const text = folded(label);
    if (text === folded(query)) return 4;
    if (text.startsWith(folded(query))) return 3;
    const words = text.split(" ");
    if (asked.every((one) => words.some((it) => it.startsWith(one)))) return 2;
    return asked.every((one) => text.includes(one)) ? 1 : 0;
  };
  return things
    .map((thing, order) => ({ thing, order, rank: value(thing.label) }))
    .filter((it) => it.rank > 0)
    .sort((a, b) => b.rank - a.rank || a.order - b.order)
    .map((it) => it.thing);
}

/** Findings that may be meant again: same part first those with the word that fits; each as an entry of the list of words.
 *  @param {any[]} findings of the walk @param {string|null} part @param {string} query @param {(id: string) => Word|undefined} wordOf */
export function again(findings, part, query, wordOf) {
  return findings
    .filter((it) => it.part === part)
    .map((finding, order) => {
      const which = { term: `${finding.id} ${finding.term ?? ""} ${finding.which ?? ""}`, plain: finding.plain ?? "" };
      const word = wordOf(finding.tag);
      return { finding, order, rank: Math.max(points(which, query), word ? points(word, query) : 0) };
    })
    .filter((it) => it.rank > 0)
    .sort((a, b) => b.rank - a.rank || a.order - b.order)
    .map((it) => it.finding);
}

/** A size as it is written into the record: a number alone gets a unit. @param {string} text @param {string} unit */
export function sized(text, unit) {
  const size = text.trim().replace(/\s+/g, " ");
  const bare = /\d/.test(size) && /^[\d\s.,/xX×–~+-]+$/.test(size);
  return size ? (bare ? `${size} ${unit}` : size) : null;
}
