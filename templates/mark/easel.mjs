// The nodes of an opened photo: head, stage, the words to draw with. Builds only; what they do is asked of the desk.

import { button, el, link } from "./el.mjs";
import { address, shootOf } from "./naming.mjs";
import { store } from "./store.mjs";
import { STEP } from "./zoom.mjs";

/** The shapes in the words of the page. */
const TOOLS = [["box", "Box"], ["outline", "Outline"], ["line", "Line"], ["spot", "Spot"]];

const STAGE_KEYS =
  "Arrow keys move the picture, plus and minus zoom, 0 shows all of it. B, O, L, S: box, outline, line, spot; then arrow keys move a cross, " +
  "Space sets a point, Enter finishes, Backspace takes a point back. What is marked stands in the list beside the picture.";

/** Everything of the page; `row`: the pictures that are gone through. */
export function easel(desk, photo, row) {
  const stage = el("div", { class: "stage", tabindex: 0, role: "application", "aria-label": `Picture ${photo.no}`, "aria-describedby": "stage-keys" });
  const tip = el("p", { class: "tip", hidden: true });
  stage.append(tip);
  const hintLine = el("p", { class: "hint", role: "status" });
  const finish = button("Finish", () => desk.hand.finish(), { class: "first" });
  const back = button("Last point back", () => desk.hand.back());
  const leave = button("Cancel", () => desk.stop());
  const drawing = el("div", { class: "drawing", hidden: true }, hintLine, el("p", { class: "acts" }, finish, back, leave));
  const tools = toolLine(desk);
  const inset = el("div", { class: "inset" });
  const said = el("aside", { class: "said", "aria-labelledby": "said-title" }, inset);
  const formHost = el("aside", { class: "said formed", hidden: true, "aria-label": "The words of the mark" });
  const keys = el("p", { class: "unseen", id: "stage-keys" }, STAGE_KEYS);
  const zooms = zoomLine(desk);
  const nod = el("div", { class: "nod", role: "group", "aria-label": "Found in the picture", hidden: true });
  const frame = el("section", { class: "easel", "aria-label": "The picture" }, el("div", { class: "lines" }, tools, drawing), stage, zooms, nod, keys);
  const waits = el("span", { class: "waits", title: "N" });
  const top = head(desk, photo, row, waits);
  const root = el("main", { class: "photo" }, top, frame, said, formHost);
  return { root, top, stage, tip, hintLine, drawing, finish, back, leaveTool: leave, tools, zooms, nodBar: nod, inset, said, formHost, waits };
}

/** "Draw a Box, Outline, Line, Spot, or say it without drawing". */
function toolLine(desk) {
  const shapes = TOOLS.map(([tool, name]) => button(name, () => desk.take(tool), { data: { tool } }));
  return el("p", { class: "tools" }, el("span", {}, "Draw a"), ...shapes, el("span", {}, "or"), button("Say it without drawing", () => desk.words(null)));
}

function zoomLine(desk) {
  return el(
    "p",
    { class: "zooms" },
    button("Closer", () => desk.sheet.zoom(STEP)),
    button("Further", () => desk.sheet.zoom(1 / STEP)),
    button("Whole picture", () => desk.sheet.whole()),
  );
}

/** The line above the picture: where it stands in the row. */
export function head(desk, photo, row, waits) {
  const here = row.findIndex((it) => it.no === photo.no);
  const part = store.part(desk.part ?? "");
  const back = link(part ? `#part/${encodeURIComponent(part.id)}` : "#piece", `Back to ${part ? part.label : "the piece"}`);
  const step = (by, text, key) => {
    const to = row[here + by];
    return to ? el("a", { href: address(to.no, desk.part), title: key }, text) : el("span", { class: "quiet" }, text);
  };
  return el(
    "header",
    { class: "photo-head" },
    back,
    el("h1", {}, `Picture ${here + 1} of ${row.length} `, el("small", {}, [shootOf(photo), photo.name].filter(Boolean).join(" · "))),
    el("nav", { "aria-label": "Pictures" }, waits, step(-1, "Previous picture", "Page up"), step(1, "Next picture", "Page down")),
  );
}
