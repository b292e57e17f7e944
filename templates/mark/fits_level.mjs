// Pure: whether the extent of a shape is the size of a fault, and whether that size fits the words of the level that is said.

/** Faults whose size is how far they reach: what a shape drawn round one measures. A gap, a depth or a share is not. */
const EXTENT = /^(count[^;]*; )?(total |missing )?(length(?! from)|longest|largest|area|diameter)\b/;

/** The end of a level's words that bounds a length: "each under 100 mm", "20 to 100 mm long". */
const BOUND = /(?:(?<least>\d+(?:\.\d+)?) to |under |up to |less than )(?<most>\d+(?:\.\d+)?) (?<unit>mm|cm)(?: long| missing| gnawed| of edge up| in all| in view)?$/;

/** Words of a level that bound something else than its length. */
const OTHER = /^gap|differ|rounded|moves|play|hollow/;

const MM = { mm: 1, cm: 10, in: 25.4 };

/** Whether the extent of its shape is the size of a fault. */
export function isExtent(word) {
  return EXTENT.test(word?.measure_what ?? "") && /mm|cm2/.test(word.measure_unit ?? "");
}

/** The first length of a size and how sure it is, mm: `123 mm (± 5 mm)`, `69 x 52 mm`; `null` where it is none. */
function lengthOf(size) {
  const found = /^(?:about )?(\d+(?:[.,]\d+)?)(?: x [\d.,]+)? (mm|cm|in)\b(?:.*?± (\d+(?:[.,]\d+)?))?/.exec(size ?? "");
  if (!found) return null;
  const number = (it) => Number((it ?? "0").replace(",", ".")) * MM[found[2]];
  return { mm: number(found[1]), sure: number(found[3]) };
}

/** What is said where the size of a fault is beyond the words of its level; `null` where it is not, or where they bound no length. */
export function misfit(word, level, size) {
  const words = word?.levels?.[level - 1];
  const length = lengthOf(size);
  if (!words || !length || !isExtent(word) || !/mm/.test(word.measure_unit)) return null;
  const clauses = words.replace(/\d+ or \d+/g, "some").split(", ");
  if (clauses.some((it) => /\bor\b/.test(it))) return null;
  const bound = clauses.filter((it) => !OTHER.test(it)).map((it) => BOUND.exec(it)?.groups).find(Boolean);
  if (!bound) return null;
  const more = length.mm - length.sure > Number(bound.most) * MM[bound.unit];
  const less = bound.least && length.mm + length.sure < Number(bound.least) * MM[bound.unit];
  return more || less ? `The size is ${more ? "more" : "less"} than level ${level} says: ${words}.` : null;
}
