// Hands and keys on the picture: drawing a shape, choosing, moving and reshaping one, moving the picture. Mouse, pen, touch.
//
// Knows shapes and the sheet; what is said of the picture it learns and tells through `desk`:
//   regions() -> [{key, region}]   chosenShape() -> {key, region} | null   choose(key | null)   finished(kind, points | region)
//   preview(key, region)   commit(key, region)   remove(key)   words(key)   sketch(sketch | null)   hint(text)   point(at | null)

import { LAYING, cornerHint, facePath } from "./faces.mjs";
import { Fingers } from "./fingers.mjs";
import { Keys } from "./hand_keys.mjs";
import { about, boundsOf, distance, handlesOf, hits, inside, kindOf, moved, nearestHandle, pathOf, regionOf, reshaped, simplified, toPercent, toScreen } from "./shapes.mjs";

/** How near to a handle, point or line is near enough, pixels: half of a target. */
const REACH = { mouse: 14, pen: 16, touch: 22 };

/** How far a hand may tremble in a click. */
const STILL = { mouse: 4, pen: 6, touch: 9 };

/** Two clicks within this time on one place end a line. */
const TWICE_MS = 400;

/** How long a press of keys may pause before what they moved is kept. */
const KEEP_MS = 400;

/** Points that a tool takes at most; it is done when it has them. */
const ENOUGH = { box: 2, spot: 1, card: 4, tape: 2, face: 4 };

const LEAST = { box: 2, spot: 1, card: 4, tape: 2, face: 4, line: 2, outline: 3 };

/** Tools that want every corner exact: a loupe shows it. */
const EXACT = ["card", "tape", "face"];

/** What to do next, by tool and number of points that stand. */
const HINTS = {
  box: ["Box: drag from corner to corner, or click two corners.", "Box: now the opposite corner."],
  outline: ["Outline: draw round it by hand, or click point after point.", "Outline: the next point.", "Outline: the next point.", "Outline: click the first point again, or “Finish”."],
  line: ["Line: draw along it by hand, or click point after point.", "Line: the next point.", "Line: the next point, or “Finish”."],
  spot: ["Spot: click the place."],
  card: ["Card: click one corner of the card: where its edges would meet.", "Card: now along a long side to the next corner.", "Card: the third corner, on round the card.", "Card: the last corner."],
  tape: ["Tape: click one end of the length.", "Tape: now the other end."],
};

/** Whether the page is worked by fingers. */
const BY_FINGER = matchMedia("(hover: none)");

/** A hint as it is said to who has a finger instead of a mouse. */
export function byHand(text) {
  return BY_FINGER.matches ? text.replaceAll("click", "tap") : text;
}

/** A free hand draws only these; the others take single points. */
const FREE = ["line", "outline"];

export class Hand {
  /** @param {HTMLElement} stage @param {import("./zoom.mjs").Sheet} sheet */
  constructor(stage, sheet, desk) {
    Object.assign(this, { stage, sheet, desk });
    this.tool = null;
    this.points = [];
    this.loose = null;
    this.cross = null;
    this.trace = null;
    this.held = -1;
    this.lastClick = { time: 0, at: [0, 0] };
    this.fingers = new Fingers(stage, sheet, this);
    this.keys = new Keys(stage, sheet, this);
  }

  close() {
    this.settle();
  }

  get view() {
    return this.sheet.view;
  }

  // ---------------------------------------------------------------- the tool

  /** Takes a tool in hand. @param {string} tool `box`, `outline`, `line`, `spot`, `card` or `tape` */
  take(tool, face = null) {
    this.settle();
    this.desk.choose(null);
    Object.assign(this, { tool, face, points: [], loose: null, trace: null, cross: null });
    this.stage.dataset.tool = tool;
    this.show();
    this.stage.focus({ preventScroll: true });
  }

  /** Puts the tool away; what was begun is gone. */
  leave() {
    Object.assign(this, { tool: null, points: [], loose: null, trace: null, cross: null });
    delete this.stage.dataset.tool;
    this.near = null;
    this.desk.loupe.show(null);
    this.desk.point(null);
    this.show();
  }

  /** Takes the last point back. */
  back() {
    this.points.pop();
    this.show();
  }

  /** Where a point of the tool may lie: a corner of a face also beyond the edge of the picture. */
  get keep() {
    return this.tool === "face" ? about : inside;
  }

  hintAt(number) {
    if (this.tool === "face") return byHand(cornerHint(this.face, Math.min(number, 3)));
    return byHand(HINTS[this.tool][Math.min(number, HINTS[this.tool].length - 1)]);
  }

  /** Sets a point. @param {[number, number]} at percent */
  set(at) {
    const first = this.points[0];
    const near = first && Math.hypot(...toScreen(this.view, first).map((it, n) => it - toScreen(this.view, at)[n])) < 12;
    if (this.tool === "outline" && near && this.points.length > 2) return this.finish();
    this.points.push(this.keep(at));
    if (this.points.length >= (ENOUGH[this.tool] ?? Infinity)) return this.finish();
    this.show();
  }

  /** Done: the shape goes to the desk, or the hint says what is still wanted. */
  finish() {
    const { tool, points } = this;
    if (points.length < LEAST[tool]) return this.desk.hint(`${this.hintAt(0)} ${LEAST[tool] - points.length} more to go.`);
    if (ENOUGH[tool] === points.length && EXACT.includes(tool)) {
      this.leave();
      return this.desk.finished(tool, points);
    }
    const region = regionOf(tool, points);
    if (!region) {
      this.points = [];
      this.show();
      return this.desk.hint("That was too small to be seen again. Once more, larger.");
    }
    this.leave();
    this.desk.finished(tool, region);
  }

  /** Shows what is drawn so far, once a frame. */
  show() {
    if (this.frame) return;
    this.frame = requestAnimationFrame(() => {
      this.frame = 0;
      this.paint();
    });
  }

  paint() {
    const { tool, points, cross } = this;
    if (!tool) {
      this.desk.sketch(cross ? { path: "", dots: [], cross } : null);
      return this.desk.hint("");
    }
    const loose = this.loose ?? cross;
    const all = this.trace ?? (loose && points.length ? [...points, loose] : points);
    const region = this.shapeOf(all);
    const closes = tool === "outline" && all.length > 2;
    const plain = all.length > 1 ? pathOf({ line: all }) + (closes || (tool === "card" && all.length > 3) ? "Z" : "") : "";
    const path = tool === "face" ? facePath(all.slice(0, 4)) : plain;
    this.desk.sketch({ path: tool === "box" && region ? pathOf(region) : path, dots: points, cross, region });
    this.desk.loupe.show(cross && EXACT.includes(tool) ? toScreen(this.view, cross) : this.near);
    this.desk.hint(this.hintAt(points.length));
  }

  /** The region of what is drawn so far, to be measured on the way. */
  shapeOf(points) {
    if (EXACT.includes(this.tool) || points.length < 2) return null;
    if (!this.trace) return regionOf(this.tool, points);
    return regionOf(this.tool, simplified(points, this.sheet.aspect).points);
  }

  // ---------------------------------------------------------------- what fingers tell

  /** What a pointer that comes down here would take hold of. @param {[number, number]} at pixels @param {string} type */
  under(at, type) {
    const reach = REACH[type] ?? REACH.mouse;
    if (this.tool) return { what: "stroke" };
    const chosen = this.desk.chosenShape();
    if (chosen?.region) {
      const far = handlesOf(chosen.region).map((it) => Math.hypot(...toScreen(this.view, it).map((v, n) => v - at[n])));
      const least = Math.min(...far);
      const [x, y, w, h] = boundsOf(chosen.region);
      const middle = Math.hypot(...toScreen(this.view, [x + w / 2, y + h / 2]).map((v, n) => v - at[n]));
      const byMiddle = far.length > 1 && middle < least;
      if (least <= reach && !byMiddle) return { what: "reshape", handle: far.indexOf(least), ...chosen };
      if (distance(this.view, chosen.region, at) <= reach) return { what: "move", ...chosen };
    }
    return { what: "look" };
  }

  still(type) {
    return STILL[type] ?? STILL.mouse;
  }

  /** A click that took hold of nothing chooses what lies there; once more, what lies there as well. */
  click(at, type) {
    const all = this.desk.regions();
    const found = hits(this.view, all.map((it) => it.region), at, REACH[type] ?? REACH.mouse).map((n) => all[n].key);
    const before = found.indexOf(this.desk.chosenShape()?.key);
    this.desk.choose(found.length ? found[(before + 1) % found.length] : null);
  }

  /** The pointer moves above the picture with a tool in hand. @param {[number, number]} at pixels */
  hover(at) {
    if (!this.tool) return;
    this.cross = null;
    this.loose = this.keep(toPercent(this.view, at));
    this.near = EXACT.includes(this.tool) ? at : null;
    this.desk.point(at);
    this.desk.loupe.show(this.near);
    if (this.points.length) this.show();
  }

  /** The pointer has left the picture. */
  unhover() {
    this.loose = null;
    this.near = null;
    this.desk.loupe.show(null);
    if (!this.tool) return;
    this.desk.point(null);
    this.show();
  }

  strokeStart(at) {
    const point = this.keep(toPercent(this.view, at));
    this.cross = null;
    this.near = EXACT.includes(this.tool) ? at : null;
    this.before = this.points.length;
    if (FREE.includes(this.tool) && !this.points.length) this.trace = [point];
    if (this.tool === "box" && !this.points.length) this.points.push(point);
    this.loose = point;
    this.show();
  }

  /** @param {[number, number][]} way pixels, the newest last */
  strokeMove(way) {
    const at = way[way.length - 1];
    this.loose = this.keep(toPercent(this.view, at));
    if (this.near) this.near = at;
    this.desk.point(at);
    if (this.trace) {
      for (const it of way) {
        const [last, next] = [this.trace[this.trace.length - 1], inside(toPercent(this.view, it))];
        const [a, b] = [toScreen(this.view, last), toScreen(this.view, next)];
        if (Math.hypot(a[0] - b[0], a[1] - b[1]) >= 2) this.trace.push(next);
      }
    }
    this.show();
  }

  /** @param {[number, number]} at pixels @param {"dragged"|"clicked"} how */
  strokeEnd(at, how) {
    const { trace } = this;
    this.trace = null;
    this.loose = null;
    if (trace && how === "dragged") {
      this.points = simplified(trace, this.sheet.aspect).points;
      return this.points.length < LEAST[this.tool] ? this.undone() : this.finish();
    }
    if (this.tool === "box" && this.before === 0 && how === "clicked") return this.show();
    if (this.isSecondClick(at) && FREE.includes(this.tool) && this.points.length >= LEAST[this.tool]) return this.finish();
    this.set(toPercent(this.view, at));
  }

  undone() {
    this.points = [];
    this.show();
  }

  isSecondClick(at) {
    const { time, at: there } = this.lastClick;
    this.lastClick = { time: performance.now(), at };
    return performance.now() - time < TWICE_MS && Math.hypot(at[0] - there[0], at[1] - there[1]) < 8;
  }

  /** Two fingers came down, or the pointer was taken away: the stroke was not meant. */
  strokeCancel() {
    this.points.length = Math.min(this.points.length, this.before ?? 0);
    Object.assign(this, { trace: null, loose: null });
    this.show();
  }

  /** @param {{what: string, key: string, region: any, handle?: number}} hold @param {[number, number]} from pixels @param {[number, number]} to */
  drag(hold, from, to) {
    const [a, b] = [toPercent(this.view, from), toPercent(this.view, to)];
    const region = hold.what === "move" ? moved(hold.region, b[0] - a[0], b[1] - a[1]) : this.pulled(hold, a, b);
    this.desk.preview(hold.key, region);
    if (hold.handle !== undefined && [LAYING, "scale"].includes(hold.key)) this.desk.loupe.show(to);
    this.desk.point(to, region);
    return region;
  }

  /** The handle keeps its distance from the finger, so that it does not jump when it is taken. */
  pulled(hold, a, b) {
    const at = handlesOf(hold.region)[hold.handle];
    return reshaped(hold.region, hold.handle, [at[0] + b[0] - a[0], at[1] + b[1] - a[1]], hold.key === LAYING ? about : inside);
  }

  drop(hold, region) {
    this.desk.point(null);
    this.desk.loupe.show(null);
    this.desk.commit(hold.key, region);
  }

  // ---------------------------------------------------------------- what keys tell

  /** Moves the chosen shape, or the point of it that has hold; kept a moment after the last key. */
  nudge(dx, dy) {
    const chosen = this.desk.chosenShape();
    if (!chosen?.region) return;
    const was = this.nudged ?? { key: chosen.key, region: chosen.region };
    const points = handlesOf(was.region);
    const at = points[this.held];
    const region = at ? reshaped(was.region, this.held, [at[0] + dx, at[1] + dy], chosen.key === LAYING ? about : inside) : moved(was.region, dx, dy);
    if (at && kindOf(region) === "box") this.held = nearestHandle(region, inside([at[0] + dx, at[1] + dy]));
    this.nudged = { key: chosen.key, region };
    this.desk.preview(chosen.key, region, this.held);
    this.sheet.reveal(handlesOf(region)[Math.max(0, this.held)]);
    clearTimeout(this.keepAt);
    this.keepAt = setTimeout(() => this.settle(), KEEP_MS);
  }

  /** Keeps what the keys have moved. */
  settle() {
    clearTimeout(this.keepAt);
    const { nudged } = this;
    this.nudged = null;
    if (nudged) this.desk.commit(nudged.key, nudged.region);
  }

  /** Takes hold of a point of the chosen shape; -1 lets go. */
  hold(n) {
    this.settle();
    const chosen = this.desk.chosenShape();
    if (!chosen?.region) return;
    const count = handlesOf(chosen.region).length;
    this.held = n < 0 ? -1 : n % count;
    this.desk.preview(chosen.key, chosen.region, this.held);
    const how = BY_FINGER.matches ? "Pull a point to where it belongs." : "Arrow keys move it, Space takes the next one, A adds one, Backspace takes it out, Enter: done.";
    this.desk.hint(this.held < 0 ? "" : `Point ${this.held + 1} of ${count}. ${how}`);
  }
}
