// A picture cut to the place of a mark, with the mark drawn round in a dark and a light stroke.

import { el, pictureAddress, svg } from "./el.mjs";

/** The smallest part of the picture's width shown, percent. */
const LEAST = 14;
const ROOM = 2.2;

/** The smallest box around a region: [left, top, width, height], percent. */
export function bounds(region) {
  if (region.box) return region.box;
  const points = region.spot ? [region.spot] : (region.line ?? region.outline);
  const [xs, ys] = [points.map((it) => it[0]), points.map((it) => it[1])];
  const [left, top] = [Math.min(...xs), Math.min(...ys)];
  return [left, top, Math.max(...xs) - left, Math.max(...ys) - top];
}

/** The part of the picture to show, percent: round the region, in the shape `ratio` (width by height), never beyond the edge. */
export function frame(photo, region, ratio) {
  const [x, y, w, h] = bounds(region);
  const shape = photo.width / photo.height / ratio;
  let width = Math.max(LEAST, w * ROOM, (h * ROOM) / shape);
  let height = width * shape;
  const over = Math.max(width, height) / 100;
  if (over > 1) [width, height] = [width / over, height / over];
  const within = (start, size) => Math.min(100 - size, Math.max(0, start));
  return [within(x + w / 2 - width / 2, width), within(y + h / 2 - height / 2, height), width, height];
}

/** The cut. Without a region: the whole picture. */
export function cut(photo, region, { alt = "", ratio = 4 / 3, kind = "middle" } = {}) {
  const image = el("img", { src: pictureAddress(photo, kind), alt, loading: "lazy", decoding: "async" });
  if (!region) return el("div", { class: "cut whole" }, image);
  const [x, y, w, h] = frame(photo, region, ratio);
  Object.assign(image.style, { width: `${10000 / w}%`, height: `${10000 / h}%`, left: `${(-100 * x) / w}%`, top: `${(-100 * y) / h}%` });
  const at = ([px, py]) => `${(((px - x) / w) * 100).toFixed(2)} ${(((py - y) / h) * 100).toFixed(2)}`;
  const box = el("div", { class: "cut" }, image, svg("svg", { viewBox: "0 0 100 100", preserveAspectRatio: "none", "aria-hidden": "true" }, ...strokes(region, at)));
  box.style.aspectRatio = String((w * photo.width) / (h * photo.height));
  return box;
}

function strokes(region, at) {
  const d = path(region, at);
  return [svg("path", { class: "dark", d }), svg("path", { class: "light", d })];
}

/** The path of a region, with each point where `at` puts it. */
export function path(region, at) {
  if (region.box) {
    const [x, y, w, h] = region.box;
    return `M${[[x, y], [x + w, y], [x + w, y + h], [x, y + h]].map(at).join("L")}Z`;
  }
  if (region.spot) {
    const [x, y] = region.spot;
    return `M${at([x - 1, y])}L${at([x + 1, y])}M${at([x, y - 1])}L${at([x, y + 1])}`;
  }
  return `M${(region.line ?? region.outline).map(at).join("L")}${region.outline ? "Z" : ""}`;
}
