// Two pictures of one place side by side, at one scale, moved and zoomed together.

import { button, el, pictureAddress, svg } from "./el.mjs";
import { frame, path } from "./cut.mjs";
import { both, css, inverse, ofSquare, scaled } from "./plane.mjs";

const STEP = 1.5;
const MOST = 12;
const LEAST = 0.2;
/** From this zoom on every pixel is asked for. */
const FINE = 2;
const RATIO = 4 / 3;

/** @typedef {{photo: any, name: string, label: any, region: any|null, frame: any|null, corners: [number, number][]|null, look: string}} Pane
 *  `corners`: the rectangle of both, set straight; `frame`: a region of the same view, to begin with the same cut */

/** Two panes; `sizeMm`: the rectangle that both show, `null` where no face is laid. @param {Pane[]} panes @param {[number, number]|null} sizeMm */
export function twin(panes, sizeMm) {
  const state = { zoom: 1, x: 0.5, y: 0.5, least: sizeMm ? 1 : LEAST, ratio: sizeMm ? sizeMm[0] / sizeMm[1] : RATIO };
  const boxes = panes.map((it) => pane(it, state));
  const show = () => boxes.forEach((it) => it.show());
  const zoom = (by, at = [0.5, 0.5]) => {
    const next = Math.min(MOST, Math.max(state.least, state.zoom * by));
    [state.x, state.y] = [state.x, state.y].map((middle, n) => middle + (at[n] - 0.5) * (1 / state.zoom - 1 / next));
    state.zoom = next;
    settle(state);
    show();
  };
  const whole = () => {
    Object.assign(state, { zoom: 1, x: 0.5, y: 0.5 });
    show();
  };
  boxes.forEach((it) => hear(it.box, state, { zoom, show }));
  const watch = new ResizeObserver(show);
  watch.observe(boxes[0].box);
  const acts = el("p", { class: "acts zooms" }, button("Closer", () => zoom(STEP), { class: "plain" }), button("Further", () => zoom(1 / STEP), { class: "plain" }), button("Whole", whole, { class: "plain" }));
  const node = el("div", { class: "twin" }, el("div", { class: "then-now" }, ...boxes.map((it) => it.node)), acts);
  return { node, zoom, whole, close: () => watch.disconnect() };
}

function settle(state) {
  const edge = state.least < 1 ? -2 : 0.5 / state.zoom;
  const keep = (it) => Math.min(1 - edge, Math.max(edge, it));
  [state.x, state.y] = [keep(state.x), keep(state.y)];
}

function pane(wanted, state) {
  const { photo, region, corners, label, look, name } = wanted;
  const about = region ?? wanted.frame;
  const image = el("img", { src: pictureAddress(photo, "middle"), alt: name, draggable: "false", decoding: "async" });
  const inner = el("div", { class: "inner" }, image);
  const box = el("div", { class: `pane ${corners ? "straight" : ""}` }, inner);
  box.style.aspectRatio = String(state.ratio);
  const at = corners ? [0, 0, 100, 100] : about ? frame(photo, about, state.ratio) : whole(photo, state.ratio);
  if (region) inner.append(outline(region, at, look));
  const show = () => {
    const [w, h] = [box.clientWidth, box.clientHeight];
    if (!w) return;
    if (corners) straighten(image, photo, corners, w, h);
    else place(image, at);
    inner.style.transform = `translate(${w / 2 - state.x * state.zoom * w}px, ${h / 2 - state.y * state.zoom * h}px) scale(${state.zoom})`;
    if (state.zoom >= FINE && image.dataset.kind !== "full") Object.assign(image, { src: pictureAddress(photo, "full") }).dataset.kind = "full";
  };
  return { box, show, node: el("figure", {}, box, el("figcaption", {}, label)) };
}

/** All of a picture in the middle of a pane with this shape, percent of the picture. */
function whole(photo, ratio) {
  const shape = photo.width / photo.height / ratio;
  const [w, h] = shape >= 1 ? [100, 100 * shape] : [100 / shape, 100];
  return [50 - w / 2, 50 - h / 2, w, h];
}

function place(image, [x, y, w, h]) {
  Object.assign(image.style, { width: `${10000 / w}%`, height: `${10000 / h}%`, left: `${(-100 * x) / w}%`, top: `${(-100 * y) / h}%` });
}

/** Lays the picture so that the rectangle with these corners (percent of it) fills a pane of w x h pixels. */
function straighten(image, photo, corners, w, h) {
  const [width, height] = [1000, (1000 * photo.height) / photo.width];
  Object.assign(image.style, { width: `${width}px`, height: `${height}px`, transformOrigin: "0 0" });
  const lies = ofSquare(corners.map(([x, y]) => [(x * width) / 100, (y * height) / 100]));
  if (lies) image.style.transform = css(both(inverse(lies), scaled(w, h)));
}

function outline(region, [x, y, w, h], look) {
  const at = ([px, py]) => `${(((px - x) / w) * 100).toFixed(2)} ${(((py - y) / h) * 100).toFixed(2)}`;
  const d = path(region, at);
  return svg("svg", { viewBox: "0 0 100 100", preserveAspectRatio: "none", "aria-hidden": "true", class: look }, svg("path", { class: "dark", d }), svg("path", { class: "light", d }));
}

/** Wheel, drag and two fingers on one pane move both. */
function hear(box, state, { zoom, show }) {
  const at = (event) => {
    const { left, top, width, height } = box.getBoundingClientRect();
    return [(event.clientX - left) / width, (event.clientY - top) / height];
  };
  const down = new Map();
  const apart = () => {
    const [a, b] = [...down.values()];
    return Math.hypot(a[0] - b[0], a[1] - b[1]);
  };
  box.addEventListener("wheel", (event) => {
    event.preventDefault();
    zoom(Math.exp(-event.deltaY / 400), at(event));
  }, { passive: false });
  box.addEventListener("pointerdown", (event) => {
    box.setPointerCapture(event.pointerId);
    down.set(event.pointerId, at(event));
  });
  box.addEventListener("pointermove", (event) => {
    const was = down.get(event.pointerId);
    if (!was) return;
    const before = down.size === 2 ? apart() : 0;
    const now = at(event);
    down.set(event.pointerId, now);
    if (before) return zoom(apart() / before, now);
    state.x -= (now[0] - was[0]) / state.zoom;
    state.y -= (now[1] - was[1]) / state.zoom;
    settle(state);
    show();
  });
  for (const name of ["pointerup", "pointercancel"]) box.addEventListener(name, (event) => down.delete(event.pointerId));
}
