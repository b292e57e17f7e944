// Sides of the piece as they lie in a picture: set by four corners, held against their size and the camera, kept once the person nods.

import { announce, button, el } from "./el.mjs";
import { mapped, ofSquare } from "./plane.mjs";
import { boundsOf, goesRound, holds } from "./shapes.mjs";
import { store } from "./store.mjs";

/** The key of a face that is being laid. */
export const LAYING = "laying";

/** The corners in the order in which they are set. */
const CORNERS = ["top left", "top right", "bottom right", "bottom left"];

/** Lines across a face, so that one sees how it lies. */
const LINES = 4;

/** The side across the piece, of the same width and height. */
const ACROSS = { front: "back", back: "front", left: "right", right: "left" };

/** Two lengths as they are written down. */
const LENGTHS = /^([\d.]+) x ([\d.]+) (mm|cm|in)$/;
const MM = { mm: 1, cm: 10, in: 25.4 };

/** How long the corners rest before they are held against the camera. */
const REST_MS = 150;

export function faceOf(id) {
  return store.walk.faces.find((it) => it.id === id) ?? null;
}

/** What to click next. */
export function cornerHint(id, number) {
  return `${faceOf(id)?.label ?? id}${reach(id)}: click its ${CORNERS[number]} corner, as you stand before it.`;
}

/** What belongs to an upright side. */
function reach(id) {
  return ["front", "back", "left", "right"].includes(id) ? " with its top and feet" : "";
}

/** The path of a face with lines across it, percent of the picture. @param {[number, number][]} corners */
export function facePath(corners) {
  const round = corners.map(([x, y], n) => `${n ? "L" : "M"}${x} ${y}`).join("");
  if (corners.length < 4) return round;
  const map = goesRound(corners) ? ofSquare(corners) : null;
  if (!map) return `${round}Z`;
  const line = (a, b) => [a, b].map((it) => mapped(map, it).map((each) => each.toFixed(3)).join(" ")).join("L");
  const across = Array.from({ length: LINES - 1 }, (_, n) => (n + 1) / LINES).flatMap((it) => [`M${line([it, 0], [it, 1])}`, `M${line([0, it], [1, it])}`]);
  return `${round}Z${across.join("")}`;
}

/** The corners of a laid face in the picture, where it is laid by corners. */
function cornersOf(laid) {
  return laid.lie.corners ?? null;
}

/** What is drawn of the faces that are laid. */
export function drawnFaces(said) {
  const faces = (said.faces ?? []).filter(cornersOf);
  return faces.map((it) => ({ key: `face ${it.face}`, number: faceOf(it.face)?.label ?? it.face, region: { outline: cornersOf(it) }, look: "face", draw: (region) => facePath(region.outline) }));
}

/** The part on which a shape lies: of the parts that the picture shows the one on the laid side under it; `null` where that is none, or several. */
export function partUnder(said, region) {
  const [x, y, w, h] = boundsOf(region);
  const under = (said.faces ?? []).filter((it) => cornersOf(it) && holds(cornersOf(it), [x + w / 2, y + h / 2]));
  const on = said.parts.filter((id) => under.some((it) => store.part(id)?.faces.includes(it.face)));
  return on.length === 1 ? on[0] : null;
}

/** Four corners are set: a draft to be nodded at. */
export function beginLaying(desk, face, corners, offered = null) {
  const was = (desk.photo().said.faces ?? []).find((it) => it.face === face) ?? null;
  const like = was ?? offered ?? knownRectangle(face);
  desk.laying = { face, corners, was, size: like?.size ?? null, at: like?.at ?? null, like: like?.from ?? null, how: offered?.how ?? "by hand", answer: null };
  ask(desk);
  desk.draw();
  desk.said.querySelector(".said-faces")?.scrollIntoView({ block: "nearest" });
}

/** The rectangle of a side that was laid in another picture: it is most likely meant here too; else that of the side across the piece. */
function knownRectangle(face) {
  const laid = store.walk.photos.flatMap((it) => it.said.faces ?? []);
  if (laid.some((it) => it.face === face)) return laid.find((it) => it.face === face && it.size) ?? null;
  return laid.map((it) => (it.face === ACROSS[face] ? mirrored(it) : null)).find(Boolean) ?? null;
}

/** The rectangle of a laid side as it lies on the side across, seen from there: `from` says where it was told. */
function mirrored({ face, size, at }) {
  const [parts, gaps] = [size, at].map((it) => LENGTHS.exec(it ?? ""));
  const [side, across] = [face, ACROSS[face]].map((it) => faceOf(it)?.size_mm);
  if (!parts || !gaps || parts[3] !== gaps[3] || String(side) !== String(across)) return null;
  const left = side[0] / MM[parts[3]] - parts[1] - gaps[1];
  return left < 0 ? null : { size, at: `${Math.round(left * 10) / 10} x ${gaps[2]} ${gaps[3]}`, from: face };
}

function laidOf({ face, corners, size, at, how }) {
  return { face, lie: { corners }, how, size, at };
}

/** Holds the corners against the size and the camera, once they rest. */
export function ask(desk) {
  const { laying } = desk;
  clearTimeout(desk.askFaceAt);
  if (!goesRound(laying.corners)) {
    laying.answer = { fits: false, text: "These four corners do not go round a rectangle.", help: null };
    return;
  }
  desk.askFaceAt = setTimeout(async () => {
    const answer = await store.askFace({ photo: desk.no, laid: laidOf(laying) }).catch((error) => ({ fits: false, text: error.status === 400 ? "Write the lengths like 1006 x 684 mm." : error.message, help: null }));
    if (desk.laying !== laying) return;
    laying.answer = answer;
    announce(answer.text);
    desk.draw();
  }, REST_MS);
}

/** The person nods: the face is laid. */
export function keep(desk) {
  const { laying } = desk;
  if (!laying?.answer?.fits) return announce(laying?.answer?.text ?? "The corners are still being looked at.");
  desk.laying = null;
  desk.change([{ do: "face", was: laying.was, to: laidOf(laying) }], `${faceOf(laying.face)?.label ?? laying.face} laid`);
  desk.draw();
  desk.stage.focus({ preventScroll: true });
}

export function leaveLaying(desk) {
  if (!desk.laying) return;
  desk.laying = null;
  desk.draw();
  desk.stage.focus({ preventScroll: true });
}

/** The column's part about the faces. */
export function facesSection(desk) {
  const title = el("h3", {}, "Sides laid in this picture");
  if (desk.laying) return [title, draft(desk)];
  const { faces: laid = [], parts } = desk.photo().said;
  const free = store.walk.faces.filter((it) => it.size_mm && !laid.some((each) => each.face === it.id));
  const lines = laid.map((it) => line(desk, it));
  const lay = (it) => button(`Lay the ${it.label.toLowerCase()}`, () => desk.take("face", it.id), { data: { key: `lay face ${it.id}` } });
  // The sides of the parts in the picture are at hand; the others a fold away.
  const near = free.filter((it) => parts.some((id) => store.part(id)?.faces.includes(it.id)));
  const far = free.filter((it) => !near.includes(it));
  const why = store.walk.faces.some((it) => it.size_mm) ? "By its four corners. Then each mark on it has a place on the piece, and a size." : "Tell the size of the piece first (`asfound amend`): then its sides can be laid here.";
  const acts = (all) => (all.length ? el("p", { class: "acts" }, ...all.map(lay)) : null);
  return [
    title,
    lines.length ? el("ul", { class: "shows" }, ...lines) : null,
    acts(near),
    far.length ? el("details", {}, el("summary", {}, near.length || laid.length ? "Lay another side" : "Lay a side"), el("p", { class: "small" }, why), acts(far)) : el("p", { class: "small" }, why),
  ].filter(Boolean);
}

function line(desk, laid) {
  const label = faceOf(laid.face)?.label ?? laid.face;
  const corners = cornersOf(laid);
  const right = corners ? button("Corners", () => beginLaying(desk, laid.face, corners), { class: "plain", "aria-label": `Corners: ${label}` }) : null;
  const out = () => desk.change([{ do: "face", was: laid, to: null }], `${label} taken out`);
  return el("li", {}, el("span", {}, label, el("span", { class: "small" }, ` ${laid.how}`)), el("span", {}, right, button("Take it out", out, { class: "plain", "aria-label": `Take it out: ${label}` })));
}

/** A pair of lengths of the rectangle; empty: the whole side. */
function lengths(desk, name, label) {
  const id = `face-${name}`;
  const take = (event) => {
    const text = event.target.value.trim();
    const bare = /^[\d.,]+\s*[x×]\s*[\d.,]+$/.test(text);
    Object.assign(desk.laying, { [name]: text ? (bare ? `${text} ${store.walk.units}` : text) : null, how: "by hand", like: null, typed: false, answer: null });
    ask(desk);
    requestAnimationFrame(() => desk.draw());
  };
  // An answer that comes while somebody types would draw the field anew, and what is typed would be gone.
  const typed = (is) => {
    if (desk.laying) desk.laying.typed = is;
    if (!is) desk.draw();
  };
  const field = el("input", { id, type: "text", autocomplete: "off", placeholder: name === "size" ? "1006 x 684 mm" : "22 x 26 mm", data: { key: id }, on: { change: take, input: () => typed(true), blur: () => desk.laying?.typed && typed(false) } });
  field.value = desk.laying[name] ?? "";
  return el("p", { class: "field" }, el("label", { for: id }, label), field);
}

function draft(desk) {
  const { face, answer } = desk.laying;
  const it = faceOf(face);
  const size = it?.size_mm?.map(Math.round).join(" x ");
  const told = answer ? el("p", { class: answer.fits ? "same" : "wrong" }, answer.text) : el("p", { class: "small" }, "…");
  return el(
    "div",
    {},
    el("p", {}, el("b", {}, it?.label ?? face), size ? `, ${size} mm${reach(face)}. Do the lines lie on it? Pull a corner where not.` : ""),
    told,
    desk.laying.like ? el("p", { class: "small" }, `The size below is that of the ${faceOf(desk.laying.like).label.toLowerCase()}, seen from here. Say another where it is not so.`) : null,
    el("details", { open: Boolean(desk.laying.size) || (desk.laying.opened ?? answer?.fits === false), on: { toggle: (it) => desk.laying && (desk.laying.opened = it.target.open) } }, el("summary", {}, "Only a part of the side"), lengths(desk, "size", "Width x height of that part"), lengths(desk, "at", "How far from the left x from the top")),
    answer?.fits === false ? el("p", { class: "small" }, "Are these the corners of a part of the side, such as the case alone? Then say the size of that part here. Else pull the corners right.") : null,
    el("p", { class: "acts" }, button("Lay it so", () => keep(desk), { class: "first", disabled: !answer?.fits, data: { key: "face-keep" } }), button("Cancel", () => leaveLaying(desk), { class: "plain" })),
  );
}
