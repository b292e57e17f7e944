// Pure: how a flat rectangle lies in a picture. Points in, projective maps out (Heckbert, Fundamentals of texture mapping, 1989).

/** @typedef {[number, number]} Point */
/** @typedef {number[]} Map nine numbers, row after row */

/** The map that takes the corners of the unit square (0 0, 1 0, 1 1, 0 1) to four corners; `null` when they lie on a line. @param {Point[]} corners */
export function ofSquare([[x0, y0], [x1, y1], [x2, y2], [x3, y3]]) {
  const [dx1, dx2, dx3] = [x1 - x2, x3 - x2, x0 - x1 + x2 - x3];
  const [dy1, dy2, dy3] = [y1 - y2, y3 - y2, y0 - y1 + y2 - y3];
  const apart = dx1 * dy2 - dx2 * dy1;
  if (Math.abs(apart) < 1e-12) return null;
  const g = (dx3 * dy2 - dx2 * dy3) / apart;
  const h = (dx1 * dy3 - dx3 * dy1) / apart;
  return [x1 - x0 + g * x1, x3 - x0 + h * x3, x0, y1 - y0 + g * y1, y3 - y0 + h * y3, y0, g, h, 1];
}

/** The map back. @param {Map} map */
export function inverse([a, b, c, d, e, f, g, h, i]) {
  return [e * i - f * h, c * h - b * i, b * f - c * e, f * g - d * i, a * i - c * g, c * d - a * f, d * h - e * g, b * g - a * h, a * e - b * d];
}

/** First `one`, then `other`. @param {Map} one @param {Map} other */
export function both(one, other) {
  return [0, 1, 2].flatMap((row) => [0, 1, 2].map((column) => [0, 1, 2].reduce((sum, n) => sum + other[3 * row + n] * one[3 * n + column], 0)));
}

/** Where a point comes to. @param {Map} map @param {Point} point @returns {Point} */
export function mapped(map, [x, y]) {
  const w = map[6] * x + map[7] * y + map[8];
  return [(map[0] * x + map[1] * y + map[2]) / w, (map[3] * x + map[4] * y + map[5]) / w];
}

/** Larger by these factors after the map. @param {number} x @param {number} y @returns {Map} */
export function scaled(x, y) {
  return [x, 0, 0, 0, y, 0, 0, 0, 1];
}

/** The map as a transform of CSS. @param {Map} map */
export function css([a, b, c, d, e, f, g, h, i]) {
  const numbers = [a, d, 0, g, b, e, 0, h, 0, 0, 1, 0, c, f, 0, i].map((it) => it / i);
  return `matrix3d(${numbers.map((it) => Number(it.toPrecision(12))).join(", ")})`;
}
