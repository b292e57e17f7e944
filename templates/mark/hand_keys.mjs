// Keys on the stage: a cross that draws, the chosen shape moved and reshaped, the picture zoomed and moved.

import { LAYING, keep, leaveLaying } from "./faces.mjs";
import { singleKeys } from "./keys.mjs";
import { handlesOf, kindOf, repointed, toPercent } from "./shapes.mjs";
import { STEP } from "./zoom.mjs";

const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

const TOOLS = { b: "box", o: "outline", l: "line", s: "spot" };

/** How far an arrow goes, percent of the picture. */
function stepOf(event) {
  return event.altKey ? 0.1 : event.shiftKey ? 5 : 1;
}

/** Keys of the picture, for the sheet of keys: [key, what it does]. */
export const KEYS = [
  ["B, O, L, S", "box, outline, line, spot"],
  ["Arrows", "move the cross; without one the chosen mark; without one the picture"],
  ["Shift + arrows", "in steps of 5 %"],
  ["Alt + arrows", "in steps of 0.1 %"],
  ["Space", "sets a point; with a chosen mark takes hold of its next point; held down, a drag moves the picture"],
  ["Enter", "finishes the shape; with a chosen mark opens its words; in the words saves"],
  ["Backspace", "takes the last point back"],
  ["Delete", "removes the chosen mark"],
  ["0 to 4", "the level, in the words of a mark"],
  ["+, -, 0", "closer, further, whole picture"],
  ["=", "in an empty word field: word, part and level of the last mark"],
  ["H", "held down: hides the marks"],
  ["Y", "yes to what the program found: the card, a side"],
  ["N", "the next picture that is not laid"],
  ["Page up, Page down", "previous, next picture"],
  ["Esc", "leaves what is begun, then the mark, then the picture"],
];

export class Keys {
  /** @param {HTMLElement} stage @param {import("./zoom.mjs").Sheet} sheet @param {import("./draw.mjs").Hand} hand */
  constructor(stage, sheet, hand) {
    Object.assign(this, { stage, sheet, hand });
    this.space = null;
    stage.addEventListener("keydown", (it) => this.down(it));
    stage.addEventListener("keyup", (it) => this.up(it));
    stage.addEventListener("blur", () => {
      this.space = null;
      hand.settle();
    });
  }

  /** Whether the space bar is down: then a drag moves the picture, and the bar sets no point. */
  spaceHeld() {
    if (!this.space) return false;
    this.space = "moved";
    return true;
  }

  down(event) {
    if (event.target !== this.stage || event.ctrlKey || event.metaKey) return;
    const arrow = ARROWS[event.key];
    const done = arrow ? this.arrow(arrow, event) : this.other(event);
    if (!done) return;
    event.preventDefault();
    event.stopPropagation();
  }

  /** @returns {boolean} whether the key was meant for the picture */
  arrow([x, y], event) {
    const { hand, sheet } = this;
    const step = stepOf(event);
    if (hand.tool) {
      const at = hand.cross ?? this.middle();
      hand.cross = hand.cross ? [Math.min(100, Math.max(0, at[0] + x * step)), Math.min(100, Math.max(0, at[1] + y * step))] : at;
      hand.loose = null;
      sheet.reveal(hand.cross);
      hand.show();
    } else if (hand.desk.chosenShape()?.region) {
      hand.nudge(x * step, y * step);
    } else {
      sheet.pan(-x * step * 0.08 * sheet.box.w, -y * step * 0.08 * sheet.box.h);
    }
    return true;
  }

  /** Where the cross begins: at the last point, or in the middle of what is seen. */
  middle() {
    const { points } = this.hand;
    const { w, h } = this.sheet.box;
    return points[points.length - 1] ?? toPercent(this.sheet.view, [w / 2, h / 2]).map((it) => Math.round(it * 10) / 10);
  }

  other(event) {
    const { key } = event;
    if (key === " ") {
      if (!event.repeat) this.space = "down";
      return true;
    }
    if (singleKeys() && this.zoomed(key)) return true;
    if (this.hand.tool) return this.drawing(key);
    if (key.toLowerCase() === "y" && singleKeys() && this.hand.held < 0) return this.hand.desk.offers.nod();
    const tool = event.altKey || this.hand.held >= 0 || !singleKeys() ? null : TOOLS[key.toLowerCase()];
    if (tool) {
      this.hand.desk.take(tool);
      return true;
    }
    return this.choosing(key);
  }

  zoomed(key) {
    if (key === "+" || key === "=") this.sheet.zoom(STEP);
    else if (key === "-") this.sheet.zoom(1 / STEP);
    else if (key === "0") this.sheet.whole();
    else return false;
    return true;
  }

  drawing(key) {
    const { hand } = this;
    if (key === "Escape") hand.leave();
    else if (key === "Backspace") hand.back();
    else if (key === "Enter") this.enter();
    else return false;
    return true;
  }

  /** Enter finishes; a box or spot whose last point is only pointed at is finished there. */
  enter() {
    const { hand } = this;
    const last = { box: 1, spot: 0, tape: 1, card: 3, face: 3 }[hand.tool];
    if (hand.cross && hand.points.length === last) hand.set(hand.cross);
    else hand.finish();
  }

  choosing(key) {
    const { hand } = this;
    const chosen = hand.desk.chosenShape();
    if (!chosen) return false;
    if (chosen.key === LAYING && key === "Enter") keep(hand.desk);
    else if (chosen.key === LAYING && key === "Escape") leaveLaying(hand.desk);
    if (chosen.key === LAYING && ["Enter", "Escape"].includes(key)) return true;
    if (hand.held >= 0) return this.reshaping(key, chosen);
    if (key === "Escape") hand.desk.choose(null);
    else if (key === "Enter") hand.desk.words(chosen.key);
    else if (key === "Delete" || key === "Backspace") hand.desk.remove(chosen.key);
    else return false;
    return true;
  }

  reshaping(key, chosen) {
    const { hand } = this;
    if (key === "Escape" || key === "Enter") hand.hold(-1);
    else if (key === "a" || key === "A") this.repoint("add");
    else if (key === "Backspace" || key === "Delete") this.repoint("take");
    else return false;
    return Boolean(chosen);
  }

  repoint(what) {
    const { hand } = this;
    hand.settle();
    const { key, region } = hand.desk.chosenShape();
    const now = repointed(region, hand.held, what);
    if (now === region) return;
    hand.desk.commit(key, now);
    const count = handlesOf(now).length;
    hand.hold(what === "add" && kindOf(now) !== "box" ? Math.min(hand.held + 1, count - 1) : Math.min(hand.held, count - 1));
  }

  up(event) {
    if (event.key !== " " || event.target !== this.stage) return;
    const { space } = this;
    this.space = null;
    if (space !== "down") return;
    const { hand } = this;
    if (!hand.tool) {
      if (hand.desk.chosenShape()?.region) hand.hold(hand.held + 1);
      return;
    }
    if (hand.cross) return hand.set(hand.cross);
    hand.cross = this.middle();
    hand.show();
  }
}
