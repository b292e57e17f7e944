// The head line: which piece it is, what is said of it so far in numbers, and which shoot is shown.

import { count, el, redraw } from "./el.mjs";
import { due } from "./naming.mjs";
import { notLaid } from "./pile.mjs";
import { store } from "./store.mjs";

let drawn = "";

/** Draws the head line into `host`. */
export function drawHead(host) {
  const { piece, shoots } = store.walk;
  const told = numbers();
  const stamp = JSON.stringify([piece, told, shoots, store.shown, store.walk.photos.length]);
  if (stamp === drawn) return;
  drawn = stamp;
  redraw(
    host,
    el("h1", {}, el("span", { class: "quiet" }, piece.stock_no), ` ${piece.title}`),
    el("p", { class: "numbers" }, told.join("; ")),
    shootChoice(),
  );
}

/** What is said so far: "12 of 15 parts spoken for", "19 of 85 inner ones", "9 pictures not laid yet", "4 findings to look at again". */
function numbers() {
  const spoken = (parts) => `${parts.filter((it) => it.state !== "silent").length} of ${parts.length}`;
  const outer = store.walk.parts.filter((it) => !it.inner);
  const inner = store.walk.parts.filter((it) => it.inner);
  const waiting = notLaid().length;
  const again = due().length;
  const told = [`${spoken(outer)} parts spoken for${inner.length ? `, ${spoken(inner)} inner ones` : ""}`];
  told.push(waiting ? `${count(waiting, "picture")} not laid yet` : "every picture laid");
  if (again) told.push(`${count(again, "finding")} to look at again`);
  return told;
}

function shootChoice() {
  const shots = (no) => store.walk.photos.filter((it) => no === null || it.shoot === no).length;
  const option = (value, label, no) => el("option", { value, selected: store.shown === no }, `${label}: ${count(shots(no), "picture")}`);
  const options = [option("", "All shoots", null), ...store.walk.shoots.map((it) => option(String(it.no), it.label, it.no))];
  const choose = (event) => store.show(event.target.value ? Number(event.target.value) : null);
  return el("p", { class: "shoot" }, el("label", { for: "shown" }, "Pictures of "), el("select", { id: "shown", data: { key: "shown" }, on: { change: choose } }, ...options));
}
