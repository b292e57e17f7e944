// A loupe beside the pointer: the place under it, larger, with a cross.

import { el } from "./el.mjs";

/** How much larger, and the side of the loupe, pixels. */
const LARGER = 4;
const SIDE = 132;
const AWAY = 28;

export class Loupe {
  /** @param {HTMLElement} stage @param {import("./zoom.mjs").Sheet} sheet */
  constructor(stage, sheet) {
    Object.assign(this, { stage, sheet });
    this.node = el("div", { class: "loupe", hidden: true, "aria-hidden": "true" });
    stage.append(this.node);
  }

  /** Shows the place at these pixels of the stage; `null` puts it away. @param {[number, number]|null} at */
  show(at) {
    this.node.hidden = !at;
    if (!at) return;
    const { view, loaded, box } = this.sheet;
    const image = loaded.full ?? loaded.middle ?? loaded.thumb;
    const source = image ? `url("${image.src}")` : "none";
    if (this.source !== source) this.node.style.backgroundImage = this.source = source;
    const [x, y] = [at[0] - view.x, at[1] - view.y].map((it) => SIDE / 2 - it * LARGER);
    this.node.style.backgroundSize = `${view.w * LARGER}px ${view.h * LARGER}px`;
    this.node.style.backgroundPosition = `${x}px ${y}px`;
    const left = at[0] + AWAY + SIDE > box.w ? at[0] - AWAY - SIDE : at[0] + AWAY;
    const top = at[1] - AWAY - SIDE < 0 ? at[1] + AWAY : at[1] - AWAY - SIDE;
    this.node.style.transform = `translate(${left}px, ${top}px)`;
  }
}
