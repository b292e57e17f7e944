// One tap does one thing: what it brings under the finger is pressed neither by its own click nor by the second half of a double tap,
// and a key that is held down answers once.

/** Two clicks within this time on one place are one double click, ms. */
const TWICE_MS = 400;

/** How far apart the two clicks of a hand may lie, pixels. */
const NEAR_PX = 24;

/** What a click presses. */
const PRESSED = "button, a, label, summary, select, [role=option], .stage";

let isSpent = false;
let last = { time: -Infinity, x: 0, y: 0, node: null };

/** The pointer that was just lifted has done its work: the click that follows presses nothing. */
export function spent() {
  isSpent = true;
}

/** Stands before every click and key of the page. */
export function guard() {
  addEventListener("pointerdown", () => (isSpent = false), true);
  addEventListener("click", click, true);
  addEventListener("keydown", key, true);
}

function drop(event) {
  event.preventDefault();
  event.stopImmediatePropagation();
}

function click(event) {
  // A click that a key made, or a label handed on, is nobody's second tap.
  if (event.detail === 0) return;
  const node = event.target.closest(PRESSED);
  if (isSpent || isSecondHalf(event, node)) drop(event);
  const kept = isSpent ? document.querySelector(".stage") : event.defaultPrevented ? last.node : node;
  last = { time: event.timeStamp, x: event.clientX, y: event.clientY, node: kept };
  isSpent = false;
}

/** Whether it follows at once, on the same place, and what lies there is not what was pressed before. What may be pressed again and again says so. */
function isSecondHalf(event, node) {
  const soon = event.timeStamp - last.time < TWICE_MS;
  const near = Math.hypot(event.clientX - last.x, event.clientY - last.y) < NEAR_PX;
  return soon && near && node && last.node && node !== last.node && !node.closest("[data-again]");
}

function key(event) {
  const presses = event.key === "Enter" || event.key === " ";
  if (event.repeat && presses && event.target.closest("button, a, summary, [type=radio], [role=combobox]")) drop(event);
}
