// Pure geometry of shapes: percent of the upright picture, and where that lies on the screen. No document, no state.

/** @typedef {[number, number]} Point percent of width and height, 0..100; or pixels of the screen where it says so */
/** @typedef {{box: [number, number, number, number]} | {line: Point[]} | {outline: Point[]} | {spot: Point}} Region */
/** @typedef {{x: number, y: number, w: number, h: number}} View where the whole picture lies on the stage, CSS pixels */

/** Most points of a shape that was drawn by a free hand. */
export const POINTS_MAX = 40;

/** How far a simplified hand-drawn shape may lie from the hand, percent of the longer side. */
export const ERROR_MAX = 0.2;

/** Smallest side of a box, percent: what two decimals can still hold as an area. */
const SIDE_MIN = 0.02;

/** Two decimals at most: what a sidecar holds. */
export function round(value) {
  return Math.round(value * 100) / 100 + 0;
}

/** @returns {number} the value kept between low and high */
export function clamp(value, low, high) {
  return Math.min(high, Math.max(low, value));
}

/** A point inside the picture, at two decimals. @param {Point} point @returns {Point} */
export function inside([x, y]) {
  return [round(clamp(x, 0, 100)), round(clamp(y, 0, 100))];
}

/** Percent to pixels of the stage. @param {View} view @param {Point} point @returns {Point} */
export function toScreen(view, [x, y]) {
  return [view.x + (x / 100) * view.w, view.y + (y / 100) * view.h];
}

/** Pixels of the stage to percent, not rounded. @param {View} view @param {Point} point @returns {Point} */
export function toPercent(view, [x, y]) {
  return [((x - view.x) / view.w) * 100, ((y - view.y) / view.h) * 100];
}

/** What kind of shape it is. @param {Region|null} region @returns {"box"|"line"|"outline"|"spot"|null} */
export function kindOf(region) {
  return region ? /** @type {any} */ (Object.keys(region)[0]) : null;
}

/** The box of two corners, whichever way they lie; null when it has no area. @param {Point} a @param {Point} b @returns {Region|null} */
export function boxOf(a, b) {
  const [ax, ay] = inside(a);
  const [bx, by] = inside(b);
  const w = round(Math.abs(ax - bx));
  const h = round(Math.abs(ay - by));
  return w < SIDE_MIN || h < SIDE_MIN ? null : { box: [Math.min(ax, bx), Math.min(ay, by), w, h] };
}

/** The shape of these points, or null when there are too few or they enclose nothing. @param {string} kind @param {Point[]} points */
export function regionOf(kind, points) {
  const kept = points.map(inside).filter((it, n, all) => n === 0 || it[0] !== all[n - 1][0] || it[1] !== all[n - 1][1]);
  if (kind === "spot") return kept.length ? { spot: kept[0] } : null;
  if (kind === "box") return kept.length > 1 ? boxOf(kept[0], kept[kept.length - 1]) : null;
  if (kind === "line") return kept.length > 1 ? { line: kept } : null;
  const same = kept.length > 1 && kept[0][0] === kept[kept.length - 1][0] && kept[0][1] === kept[kept.length - 1][1];
  const round = same ? kept.slice(0, -1) : kept;
  return round.length > 2 ? { outline: round } : null;
}

/** The points that can be taken hold of: four corners of a box, each point of the others. @param {Region} region @returns {Point[]} */
export function handlesOf(region) {
  if ("spot" in region) return [region.spot];
  if ("line" in region) return region.line;
  if ("outline" in region) return region.outline;
  const [x, y, w, h] = region.box;
  return [[x, y], [x + w, y], [x + w, y + h], [x, y + h]];
}

/** Left, top, width, height. @param {Region} region @returns {[number, number, number, number]} */
export function boundsOf(region) {
  if ("box" in region) return region.box;
  const points = handlesOf(region);
  const xs = points.map((it) => it[0]);
  const ys = points.map((it) => it[1]);
  const [left, top] = [Math.min(...xs), Math.min(...ys)];
  return [left, top, Math.max(...xs) - left, Math.max(...ys) - top];
}

/** The same shape elsewhere; it stops at the edge of the picture. @param {Region} region @returns {Region} */
export function moved(region, dx, dy) {
  const [x, y, w, h] = boundsOf(region);
  const mx = clamp(dx, -x, Math.max(-x, 100 - x - w));
  const my = clamp(dy, -y, Math.max(-y, 100 - y - h));
  const shift = (it) => inside([it[0] + mx, it[1] + my]);
  if ("spot" in region) return { spot: shift(region.spot) };
  if ("line" in region) return { line: region.line.map(shift) };
  if ("outline" in region) return { outline: region.outline.map(shift) };
  const [left, top] = shift([x, y]);
  return { box: [left, top, round(Math.min(w, 100 - left)), round(Math.min(h, 100 - top))] };
}

/** How far outside the picture a corner of a face may be set, percent. */
const BEYOND = 60;

/** A point at two decimals that may lie outside the picture, as a corner of a face may. @param {Point} point @returns {Point} */
export function about(point) {
  return point.map((it) => round(clamp(it, -BEYOND, 100 + BEYOND)));
}

/** The shape with one of its handles taken elsewhere; the same shape when nothing would be left of it. `keep` puts the point where it may lie.
 *  @param {Region} region @param {number} handle @param {Point} to @returns {Region} */
export function reshaped(region, handle, to, keep = inside) {
  const point = keep(to);
  if ("spot" in region) return { spot: point };
  if ("box" in region) return boxOf(handlesOf(region)[(handle + 2) % 4], point) ?? region;
  const points = handlesOf(region).map((it, n) => (n === handle ? point : it));
  return "line" in region ? { line: points } : { outline: points };
}

/** Which handle of a box stays under the hand after it was pulled over its opposite corner. @param {Region} region @param {Point} at */
export function nearestHandle(region, at) {
  const far = handlesOf(region).map((it) => Math.hypot(it[0] - at[0], it[1] - at[1]));
  return far.indexOf(Math.min(...far));
}

/** The shape with a point added in the middle of the side that starts at `handle`, or with that point taken out.
 *  @param {Region} region @param {number} handle @param {"add"|"take"} what @returns {Region} */
export function repointed(region, handle, what) {
  const kind = kindOf(region);
  if (kind === "box" || kind === "spot" || !region) return region;
  const points = handlesOf(region).slice();
  if (what === "take") {
    if (points.length <= (kind === "line" ? 2 : 3)) return region;
    points.splice(handle, 1);
  } else {
    const start = kind === "line" ? Math.min(handle, points.length - 2) : handle;
    const next = points[(start + 1) % points.length];
    points.splice(start + 1, 0, inside([(points[start][0] + next[0]) / 2, (points[start][1] + next[1]) / 2]));
  }
  return kind === "line" ? { line: points } : { outline: points };
}

/** Distance of a point from a stretch, in the unit of the points. @param {Point} p @param {Point} a @param {Point} b */
export function fromStretch(p, a, b) {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const long = dx * dx + dy * dy;
  const t = long ? clamp(((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / long, 0, 1) : 0;
  return Math.hypot(p[0] - a[0] - t * dx, p[1] - a[1] - t * dy);
}

/** How far a place on the stage lies from a shape, pixels; 0 inside a box or outline. @param {View} view @param {Region} region @param {Point} at */
export function distance(view, region, at) {
  const points = handlesOf(region).map((it) => toScreen(view, it));
  const closed = "box" in region || "outline" in region;
  if (closed && holds(points, at)) return 0;
  if (points.length === 1) return Math.hypot(points[0][0] - at[0], points[0][1] - at[1]);
  let least = Infinity;
  for (let n = closed ? 0 : 1; n < points.length; n += 1) {
    least = Math.min(least, fromStretch(at, points[(n || points.length) - 1], points[n]));
  }
  return least;
}

/** Whether a point lies inside a closed outline (even-odd). @param {Point[]} points @param {Point} at */
export function holds(points, [x, y]) {
  let odd = false;
  for (let n = 0, last = points.length - 1; n < points.length; last = n, n += 1) {
    const [ax, ay] = points[n];
    const [bx, by] = points[last];
    if (ay > y !== by > y && x < ((bx - ax) * (y - ay)) / (by - ay) + ax) odd = !odd;
  }
  return odd;
}

/** Which of the shapes may be meant by a place, best first: the smallest that holds it, then the nearest within `reach` pixels.
 *  @param {View} view @param {(Region|null)[]} regions @param {Point} at @param {number} reach @returns {number[]} */
export function hits(view, regions, at, reach) {
  const found = [];
  regions.forEach((region, n) => {
    const away = region ? distance(view, region, at) : Infinity;
    if (!region || away > reach) return;
    const [, , w, h] = boundsOf(region);
    found.push({ n, value: away === 0 ? (w * h) / 1e4 : 2 + away });
  });
  return found.sort((one, other) => one.value - other.value || one.n - other.n).map((it) => it.n);
}

/** Fewer points for a hand-drawn line: as few as a small error allows, and a larger error only where they would be too many.
 *  @param {Point[]} points percent @param {number} aspect width / height of the picture @param {{most?: number, error?: number}} [limits]
 *  @returns {{points: Point[], error: number}} error in percent of the longer side */
export function simplified(points, aspect, limits = {}) {
  const most = limits.most ?? POINTS_MAX;
  let [low, high] = [limits.error ?? ERROR_MAX / 2, 100];
  const even = points.map(([x, y]) => (aspect >= 1 ? [x, y / aspect] : [x * aspect, y]));
  if (points.length < 3) return { points, error: 0 };
  let way = within(even, low);
  if (way.length > most) {
    for (let round = 0; round < 20; round += 1) {
      const error = Math.sqrt(low * high);
      if (within(even, error).length > most) low = error;
      else high = error;
    }
    way = within(even, high);
  }
  const error = Math.max(...way.slice(1).map((to, n) => farthest(even, way[n], to)));
  return { points: way.map((n) => points[n]), error };
}

/** The points to keep so that none lies farther than `error` from the way: from each the longest stretch that holds. */
function within(points, error) {
  const way = [0];
  const last = points.length - 1;
  while (way[way.length - 1] < last) {
    const from = way[way.length - 1];
    const holds = (length) => farthest(points, from, Math.min(last, from + length)) <= error;
    let [good, step] = [1, 2];
    while (good < last - from && holds(step)) [good, step] = [step, step * 2];
    let bad = step;
    while (bad - good > 1 && good < last - from) {
      const middle = (good + bad) >> 1;
      if (holds(middle)) good = middle;
      else bad = middle;
    }
    way.push(Math.min(last, from + good));
  }
  return way;
}

/** How far the points between two others lie from the straight way, at most. */
function farthest(points, from, to) {
  let far = 0;
  for (let n = from + 1; n < to; n += 1) far = Math.max(far, fromStretch(points[n], points[from], points[to]));
  return far;
}

/** The path of a shape in percent, for an SVG whose unit is one percent; a spot has none. @param {Region} region */
export function pathOf(region) {
  if ("spot" in region) return "";
  const closed = "line" in region ? "" : "Z";
  return handlesOf(region).map(([x, y], n) => `${n ? "L" : "M"}${x} ${y}`).join("") + closed;
}

/** Where a shape's number stands: at its first point, or the top left of a box. @param {Region} region @returns {Point} */
export function anchorOf(region) {
  if ("spot" in region) return region.spot;
  if ("line" in region) return region.line[0];
  const points = handlesOf(region);
  return points.reduce((best, it) => (it[0] + it[1] < best[0] + best[1] ? it : best));
}

/** Whether four points turn the same way at each corner, as every picture of a flat rectangle does. @param {Point[]} corners */
export function goesRound(corners) {
  const turns = [0, 1, 2, 3].map((n) => {
    const [a, b, c] = [0, 1, 2].map((step) => corners[(n + step) % 4]);
    return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0]);
  });
  return turns.every((it) => it > 0) || turns.every((it) => it < 0);
}

/** The whole picture as large as it fits, in the middle. @returns {View} */
export function fitted(stage, aspect) {
  const w = Math.min(stage.w, stage.h * aspect);
  const h = w / aspect;
  return { x: (stage.w - w) / 2, y: (stage.h - h) / 2, w, h };
}

/** The view made larger or smaller so that the place under the pointer stays under it. @param {View} view @param {Point} at */
export function zoomed(view, factor, at) {
  return { x: at[0] - (at[0] - view.x) * factor, y: at[1] - (at[1] - view.y) * factor, w: view.w * factor, h: view.h * factor };
}

/** The view moved so that no more empty paper shows at a side than round the whole picture, so that a zoom can keep its place.
 *  @param {View} view @param {{w: number, h: number}} stage @param {View} whole the view of the whole picture */
export function settled(view, stage, whole) {
  const x = clamp(view.x, Math.min(whole.x, stage.w - view.w - whole.x), whole.x);
  const y = clamp(view.y, Math.min(whole.y, stage.h - view.h - whole.y), whole.y);
  return { ...view, x, y };
}
