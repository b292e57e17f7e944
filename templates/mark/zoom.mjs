// The picture on its stage: loaded in three sizes, fitted, zoomed, moved. Knows nothing of marks.

import { clamp, fitted, settled, toPercent, toScreen, zoomed } from "./shapes.mjs";

/** How many screen pixels one pixel of the picture may fill. */
const PIXEL_MAX = 8;

/** When a picture that did not come is asked for again. */
const AGAIN_MS = 4000;

/** One step of a key or button. */
export const STEP = 1.5;

/** Smaller first; a larger one is laid over it when it is decoded, so that nothing ever jumps or flashes. */
const KINDS = ["thumb", "middle", "full"];

/** Shows one photo on a stage. `onView(view)` is called whenever the picture lies elsewhere. */
export class Sheet {
  /** @param {HTMLElement} stage @param {any} photo of the walk @param {(view: import("./shapes.mjs").View) => void} onView */
  constructor(stage, photo, onView) {
    this.stage = stage;
    this.photo = photo;
    this.onView = onView;
    this.aspect = photo.width > 0 && photo.height > 0 ? photo.width / photo.height : 4 / 3;
    this.box = { w: 1, h: 1 };
    this.view = { x: 0, y: 0, w: 1, h: 1 };
    this.fits = true;
    this.loaded = {};
    this.asked = new Set();
    this.node = document.createElement("div");
    this.node.className = "print";
    stage.prepend(this.node);
    this.observer = new ResizeObserver(() => this.measure());
    this.observer.observe(stage);
    this.measure();
    this.load("thumb").then(() => this.load("middle"));
  }

  close() {
    this.closed = true;
    this.observer.disconnect();
  }

  /** The stage's size has changed: the place in its middle stays there. */
  measure() {
    const [w, h] = [this.stage.clientWidth, this.stage.clientHeight];
    if (!w || !h || (w === this.box.w && h === this.box.h)) return;
    const middle = toPercent(this.view, [this.box.w / 2, this.box.h / 2]);
    this.box = { w, h };
    if (this.fits) return this.whole();
    const at = toScreen(this.view, middle);
    this.put({ ...this.view, x: this.view.x + w / 2 - at[0], y: this.view.y + h / 2 - at[1] });
  }

  /** The whole picture, as large as it fits. */
  whole() {
    this.fits = true;
    this.put(fitted(this.box, this.aspect));
  }

  /** @param {number} factor @param {[number, number]} [at] place on the stage that stays where it is; its middle without */
  zoom(factor, at = [this.box.w / 2, this.box.h / 2]) {
    const least = fitted(this.box, this.aspect).w;
    const most = Math.max(least * 2, (this.photo.width || 1600) * PIXEL_MAX / devicePixelRatio);
    const w = clamp(this.view.w * factor, least, most);
    this.fits = w <= least * 1.001;
    this.put(zoomed(this.view, w / this.view.w, at));
  }

  pan(dx, dy) {
    this.put({ ...this.view, x: this.view.x + dx, y: this.view.y + dy });
  }

  /** Brings a place of the picture well into the stage. @param {[number, number]} point percent */
  reveal(point) {
    const [x, y] = toScreen(this.view, point);
    const edge = Math.min(48, this.box.w / 6, this.box.h / 6);
    this.pan(clamp(x, edge, this.box.w - edge) - x, clamp(y, edge, this.box.h - edge) - y);
  }

  /** Zooms to a part of the picture. @param {[number, number, number, number]} bounds percent */
  show([x, y, w, h]) {
    const whole = fitted(this.box, this.aspect);
    const factor = 0.5 / Math.max(w / 100 * whole.w / this.box.w, h / 100 * whole.h / this.box.h, 0.08);
    this.put(whole);
    if (factor <= 1.05) return this.whole();
    const at = toScreen(whole, [x + w / 2, y + h / 2]);
    this.view = { ...whole, x: whole.x + this.box.w / 2 - at[0], y: whole.y + this.box.h / 2 - at[1] };
    this.zoom(factor);
  }

  /** @param {import("./shapes.mjs").View} view */
  put(view) {
    this.view = settled(view, this.box, fitted(this.box, this.aspect));
    if (this.frame) return;
    this.frame = requestAnimationFrame(() => {
      this.frame = 0;
      if (this.closed) return;
      const { x, y, w, h } = this.view;
      this.node.style.transform = `translate(${x}px, ${y}px)`;
      this.node.style.width = `${w}px`;
      this.node.style.height = `${h}px`;
      this.onView(this.view);
      this.refine();
    });
  }

  /** Asks for every pixel once a screen pixel shows less than a pixel of the middle size. */
  refine() {
    const middle = this.loaded.middle;
    if (!middle || this.asked.has("full")) return;
    const whole = this.photo.width || Infinity;
    if (this.view.w * devicePixelRatio > middle.naturalWidth && whole > middle.naturalWidth) this.load("full");
  }

  /** Loads one size and lays it over the smaller ones. @param {string} kind */
  async load(kind) {
    if (this.asked.has(kind) || this.closed) return;
    this.asked.add(kind);
    const image = new Image();
    image.decoding = "async";
    image.draggable = false;
    image.alt = "";
    image.dataset.kind = kind;
    image.src = `/picture/${this.photo.no}/${kind}?v=${encodeURIComponent(this.photo.digest ?? "")}`;
    try {
      await image.decode();
    } catch {
      this.failed(kind);
      return;
    }
    if (this.closed) return;
    this.lay(kind, image);
  }

  lay(kind, image) {
    const ratio = image.naturalWidth / image.naturalHeight;
    if (kind !== "thumb" && Math.abs(ratio / this.aspect - 1) > 0.01) {
      this.aspect = ratio;
      this.whole();
    }
    this.loaded[kind] = image;
    this.missing?.remove();
    this.missing = null;
    const larger = [...this.node.children].find((it) => KINDS.indexOf(it.dataset.kind) > KINDS.indexOf(kind));
    this.node.insertBefore(image, larger ?? null);
    if (kind === "middle") this.loaded.thumb?.remove();
    this.stage.dataset.shows = KINDS.findLast((it) => this.loaded[it]) ?? "";
    this.refine();
  }

  /** A size that does not come may be asked for again; that none has come is said on the stage. */
  failed(kind) {
    if (this.closed) return;
    setTimeout(() => {
      this.asked.delete(kind);
      if (kind !== "full") this.load(kind);
    }, AGAIN_MS);
    if (Object.keys(this.loaded).length || this.missing) return;
    this.missing = document.createElement("p");
    this.missing.className = "missing";
    this.missing.textContent = "The picture does not come. It is asked for again every few seconds; what is said of it can be changed all the same.";
    this.stage.append(this.missing);
  }
}
