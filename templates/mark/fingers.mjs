// Pointers on the stage: which gesture it is. One finger draws, chooses or moves; two zoom; the wheel zooms; the middle button moves.

import { spent } from "./tap.mjs";

/** One line of a wheel that counts in lines, pixels. */
const LINE_PX = 16;

export class Fingers {
  /** @param {HTMLElement} stage @param {import("./zoom.mjs").Sheet} sheet @param {import("./draw.mjs").Hand} hand */
  constructor(stage, sheet, hand) {
    Object.assign(this, { stage, sheet, hand });
    this.down = new Map();
    this.gesture = null;
    stage.addEventListener("pointerdown", (it) => this.press(it));
    stage.addEventListener("pointermove", (it) => this.move(it));
    stage.addEventListener("pointerup", (it) => this.lift(it));
    stage.addEventListener("pointercancel", (it) => this.cancel(it));
    stage.addEventListener("pointerleave", () => this.down.size || hand.unhover());
    stage.addEventListener("wheel", (it) => this.wheel(it), { passive: false });
    stage.addEventListener("contextmenu", (it) => hand.tool && it.preventDefault());
  }

  /** @returns {[number, number]} where it is on the stage */
  at(event) {
    const box = this.stage.getBoundingClientRect();
    return [event.clientX - box.left - this.stage.clientLeft, event.clientY - box.top - this.stage.clientTop];
  }

  press(event) {
    if (event.target.closest("button")) return;
    if (event.button > 1 || this.down.size > 1) return;
    this.stage.focus({ preventScroll: true });
    this.stage.setPointerCapture(event.pointerId);
    event.preventDefault();
    const at = this.at(event);
    this.down.set(event.pointerId, at);
    if (this.down.size === 2) return this.pinchStart();
    this.hand.settle();
    const moves = event.button === 1 || this.hand.keys.spaceHeld(at);
    const hold = moves ? { what: "pan" } : this.hand.under(at, event.pointerType);
    this.gesture = { ...hold, type: event.pointerType, from: at, last: at, far: false };
    if (hold.what === "stroke") this.hand.strokeStart(at);
  }

  move(event) {
    if (!this.down.has(event.pointerId)) {
      if (event.pointerType !== "touch") this.hand.hover(this.at(event));
      return;
    }
    const at = this.at(event);
    this.down.set(event.pointerId, at);
    const { gesture } = this;
    if (!gesture) return;
    if (gesture.what === "pinch") return this.pinch();
    const away = Math.hypot(at[0] - gesture.from[0], at[1] - gesture.from[1]);
    if (!gesture.far && away < this.hand.still(gesture.type)) return;
    gesture.far = true;
    if (gesture.what === "pan" || gesture.what === "look") this.pan(gesture, at);
    else if (gesture.what === "stroke") this.hand.strokeMove(this.way(event, at));
    else gesture.now = this.hand.drag(gesture, gesture.from, at);
    gesture.last = at;
  }

  /** All places since the last event, so that a quick hand is not cut short. */
  way(event, at) {
    const all = event.getCoalescedEvents?.() ?? [];
    return all.length ? all.map((it) => this.at(it)) : [at];
  }

  /** A picture that is whole in its stage has nowhere to go: the finger then moves the page. */
  pan(gesture, at) {
    const [dx, dy] = [at[0] - gesture.last[0], at[1] - gesture.last[1]];
    if (this.sheet.fits && gesture.type === "touch") document.scrollingElement.scrollBy(0, -dy);
    else this.sheet.pan(dx, dy);
  }

  lift(event) {
    const at = this.at(event);
    if (!this.down.delete(event.pointerId)) return;
    const { gesture } = this;
    if (!gesture || gesture.what === "pinch") {
      if (!this.down.size) this.gesture = null;
      return;
    }
    this.gesture = null;
    spent();
    if (gesture.what === "stroke") this.hand.strokeEnd(at, gesture.far ? "dragged" : "clicked");
    else if (gesture.now) this.hand.drop(gesture, gesture.now);
    else if (!gesture.far && gesture.what !== "pan") this.hand.click(at, gesture.type);
  }

  cancel(event) {
    if (!this.down.delete(event.pointerId)) return;
    this.stop();
  }

  /** What was begun by one finger was not meant. */
  stop() {
    const { gesture } = this;
    this.gesture = null;
    if (gesture?.what === "stroke") this.hand.strokeCancel();
    if (gesture?.now) this.hand.drop(gesture, gesture.region);
  }

  pinchStart() {
    this.stop();
    this.gesture = { what: "pinch", last: this.pair() };
  }

  /** Middle and distance of the two fingers. */
  pair() {
    const [a, b] = [...this.down.values()];
    return { at: [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2], apart: Math.max(1, Math.hypot(a[0] - b[0], a[1] - b[1])) };
  }

  pinch() {
    if (this.down.size < 2) return;
    const [before, now] = [this.gesture.last, this.pair()];
    this.gesture.last = now;
    this.sheet.pan(now.at[0] - before.at[0], now.at[1] - before.at[1]);
    this.sheet.zoom(now.apart / before.apart, now.at);
  }

  wheel(event) {
    event.preventDefault();
    const unit = event.deltaMode === 1 ? LINE_PX : event.deltaMode === 2 ? this.sheet.box.h : 1;
    const speed = event.ctrlKey ? 0.01 : 0.0018;
    this.sheet.zoom(Math.exp(-event.deltaY * unit * speed), this.at(event));
  }
}
