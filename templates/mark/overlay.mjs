// Marks drawn over the picture: each with a dark and a light stroke, and its number. Seen only; the list beside it is for everybody.

import { anchorOf, handlesOf, kindOf, pathOf, toScreen } from "./shapes.mjs";

const SVG = "http://www.w3.org/2000/svg";

/** Handles that lie nearer to each other than this are drawn small, so that the fault stays to be seen; pixels. */
const TIGHT = 22;

/** @param {string} name @param {Record<string, string|number>} [attributes] @param {Node[]} [inside] */
function node(name, attributes = {}, inside = []) {
  const it = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) it.setAttribute(key, String(value));
  it.append(...inside);
  return it;
}

/** The same figure twice: a dark stroke, and a light one upon it. */
function twice(name, attributes) {
  return ["dark", "light"].map((tone) => node(name, { ...attributes, class: tone }));
}

const texts = new WeakMap();

/** A shape as text, worked out once. */
function textOf(region) {
  if (!texts.has(region)) texts.set(region, JSON.stringify(region));
  return texts.get(region);
}

/** @typedef {{key: string, number: string, region: import("./shapes.mjs").Region, look: "there"|"past"|"scale"|"face"|"offered", draw?: (region: any) => string}} Drawn */

/** Two layers: what stands still is not painted anew while something is drawn. */
export class Overlay {
  /** @param {HTMLElement} stage */
  constructor(stage) {
    this.view = { x: 0, y: 0, w: 1, h: 1 };
    this.drawn = new Map();
    this.chosen = null;
    this.root = node("g");
    this.tags = node("g");
    this.grips = node("g", { class: "grips" });
    this.sketchPath = twice("path", {});
    this.sketchDots = node("g", { class: "dots" });
    this.cross = node("g", { class: "cross", visibility: "hidden" }, twice("path", { d: "M-40 0H-7M7 0H40M0 -40V-7M0 7V40" }));
    this.sketchRoot = node("g", { class: "sketch" }, this.sketchPath);
    const layer = (inside) => node("svg", { class: "overlay", "aria-hidden": "true" }, inside);
    stage.append(layer([this.root, this.tags]), layer([this.sketchRoot, this.sketchDots, this.grips, this.cross]));
  }

  /** The picture lies elsewhere. @param {import("./shapes.mjs").View} view */
  place(view) {
    this.view = view;
    const matrix = `matrix(${view.w / 100} 0 0 ${view.h / 100} ${view.x} ${view.y})`;
    this.root.setAttribute("transform", matrix);
    this.sketchRoot.setAttribute("transform", matrix);
    for (const it of this.drawn.values()) this.label(it);
    this.putGrips();
    this.putSketch();
  }

  /** The marks as they are now; only what differs is drawn anew. @param {Drawn[]} list */
  draw(list) {
    const keys = new Set(list.map((it) => it.key));
    for (const [key, it] of this.drawn) if (!keys.has(key)) this.drop(key, it);
    for (const want of list) {
      const print = `${want.number} ${want.look} ${textOf(want.region)}`;
      const there = this.drawn.get(want.key);
      if (there?.print === print) continue;
      if (there) this.drop(want.key, there);
      this.drawn.set(want.key, this.made(want, print));
    }
    this.spread();
    this.light(this.chosen);
  }

  /** Numbers that would stand on one place stand side by side. */
  spread() {
    const taken = new Map();
    for (const it of this.drawn.values()) {
      const place = it.at.map((one) => Math.round(one)).join();
      const before = taken.get(place) ?? 0;
      taken.set(place, before + 12 + 9.2 * it.number.length + 3);
      if (it.shift === before) continue;
      it.shift = before;
      this.label(it);
    }
  }

  made(want, print) {
    const spot = kindOf(want.region) === "spot";
    const shape = node("g", { class: `mark ${want.look}` }, spot ? [] : twice("path", { d: (want.draw ?? pathOf)(want.region) }));
    const wide = 12 + 9.2 * want.number.length;
    const words = node("text", { x: wide / 2, y: 16 });
    words.textContent = want.number;
    const tag = node("g", { class: `tag ${want.look}` }, [
      ...(spot ? twice("circle", { r: 11 }) : []),
      node("g", { class: "number" }, [node("rect", { width: wide, height: 22, rx: 3 }), words]),
    ]);
    this.root.append(shape);
    this.tags.append(tag);
    const it = { ...want, print, shape, tag, at: anchorOf(want.region) };
    this.label(it);
    return it;
  }

  label(it) {
    const [x, y] = toScreen(this.view, it.at);
    const down = y < 26 && y > -1 ? 26 - y : 0;
    it.tag.setAttribute("transform", `translate(${x.toFixed(1)} ${y.toFixed(1)})`);
    const [left, up] = kindOf(it.region) === "spot" ? [12, -26] : [-2, -24 + down];
    it.tag.lastChild.setAttribute("transform", `translate(${left + (it.shift ?? 0)} ${up})`);
  }

  drop(key, it) {
    it.shape.remove();
    it.tag.remove();
    this.drawn.delete(key);
  }

  /** Lights one mark, shows its handles, and lays it over the others. @param {string|null} key */
  light(key) {
    this.chosen = key;
    for (const [other, it] of this.drawn) {
      it.shape.classList.toggle("chosen", other === key);
      it.tag.classList.toggle("chosen", other === key);
    }
    const it = key === null ? undefined : this.drawn.get(key);
    if (it && it.shape !== this.root.lastChild) {
      this.root.append(it.shape);
      this.tags.append(it.tag);
    }
    this.grip(it ? it.region : null);
  }

  /** A shape while it is moved, before it is kept. @param {string} key @param {import("./shapes.mjs").Region} region */
  preview(key, region) {
    const it = this.drawn.get(key);
    if (!it) return;
    for (const path of it.shape.children) path.setAttribute("d", (it.draw ?? pathOf)(region));
    it.region = region;
    it.at = anchorOf(region);
    it.print = "";
    this.label(it);
    this.grip(region);
  }

  /** @param {import("./shapes.mjs").Region|null} region @param {number} [held] which one has hold */
  grip(region, held = this.held ?? -1) {
    this.held = held;
    const points = region ? handlesOf(region) : [];
    this.gripPoints = points;
    while (this.grips.childElementCount > points.length) this.grips.lastChild.remove();
    while (this.grips.childElementCount < points.length) this.grips.append(node("g", {}, twice("circle", { r: 6 })));
    this.putGrips();
  }

  putGrips() {
    const places = (this.gripPoints ?? []).map((it) => toScreen(this.view, it));
    const apart = places.map(([x, y], n) => (n ? Math.hypot(x - places[n - 1][0], y - places[n - 1][1]) : Infinity));
    this.grips.setAttribute("class", Math.min(...apart) < TIGHT ? "grips tight" : "grips");
    places.forEach(([x, y], n) => {
      const grip = this.grips.children[n];
      grip.setAttribute("transform", `translate(${x.toFixed(1)} ${y.toFixed(1)})`);
      grip.setAttribute("class", n === this.held ? "held" : "");
    });
  }

  /** What is being drawn. @param {{path: string, dots: [number, number][], cross: [number, number]|null}|null} sketch percent */
  sketch(sketch) {
    this.now = sketch ? { ...sketch, dots: sketch.dots.slice() } : null;
    for (const path of this.sketchPath) path.setAttribute("d", sketch?.path ?? "");
    const dots = this.now?.dots ?? [];
    while (this.sketchDots.childElementCount > dots.length) this.sketchDots.lastChild.remove();
    while (this.sketchDots.childElementCount < dots.length) this.sketchDots.append(node("g", {}, twice("circle", { r: 5 })));
    this.putSketch();
  }

  putSketch() {
    const put = (it, point) => {
      const [x, y] = toScreen(this.view, point);
      it.setAttribute("transform", `translate(${x.toFixed(1)} ${y.toFixed(1)})`);
    };
    (this.now?.dots ?? []).forEach((point, n) => put(this.sketchDots.children[n], point));
    const cross = this.now?.cross;
    this.cross.setAttribute("visibility", cross ? "visible" : "hidden");
    if (cross) put(this.cross, cross);
  }
}
