// A thing of known size in the picture: a card by its corners, a tape by its ends; and what the server measures by it.

import { announce, button, el } from "./el.mjs";
import { goesRound, inside } from "./shapes.mjs";
import { store } from "./store.mjs";

/** Millimetres of the units that people write. */
const UNITS = { mm: 1, cm: 10, m: 1000, in: 25.4, '"': 25.4, "″": 25.4, inch: 25.4, inches: 25.4, ft: 304.8, "'": 304.8 };

/** A first side this much shorter than the second is taken for the short one: a card is 1.59 times as long as high. */
const SHORT = 0.75;

/** A length as it is typed, in mm; a number alone is in `unit`. `null` when it is none. @param {string} text @param {string} unit */
export function lengthMm(text, unit) {
  const found = /^\s*(\d+(?:[.,]\d+)?)\s*([a-z"'″]*)\s*$/i.exec(text);
  if (!found) return null;
  const factor = UNITS[(found[2] || unit).toLowerCase()];
  const mm = Number(found[1].replace(",", ".")) * (factor ?? NaN);
  return mm > 0 && Number.isFinite(mm) ? Math.round(mm * 100) / 100 : null;
}

/** The corners with the long side first, if it is plain which one that is. @param {[number, number][]} corners percent @param {number} aspect of the picture */
export function longFirst(corners, aspect) {
  const side = (a, b) => Math.hypot((corners[a][0] - corners[b][0]) * aspect, corners[a][1] - corners[b][1]);
  const [first, second] = [side(0, 1) + side(2, 3), side(1, 2) + side(3, 0)];
  return first < second * SHORT ? turned(corners) : corners;
}

/** The corners begun one later: the other side is then the long one. */
export function turned(corners) {
  return [...corners.slice(1), corners[0]];
}

/** The card in the picture. Gives the scale, or a text that says why it cannot be one. */
export function cardScale(object, points, aspect) {
  const corners = points.map(inside);
  if (!goesRound(corners)) return "Those four corners do not go round a card. Once more, from corner to neighbouring corner.";
  return { width_mm: object.width_mm, height_mm: object.height_mm, corners: longFirst(corners, aspect) };
}

/** The shape of a scale in the picture. */
export function scaleRegion(scale) {
  return scale.corners.length === 2 ? { line: scale.corners } : { outline: scale.corners };
}

/** Four corners were clicked: the card lies there, or the hint says why not. */
export function layCard(desk, points) {
  const object = store.words.objects.find((it) => it.id === desk.object) ?? store.words.objects[0];
  const scale = cardScale(object, points, desk.sheet.aspect);
  if (typeof scale === "string") {
    announce(scale);
    desk.hand.take("card");
    return desk.hint(scale);
  }
  desk.change([{ do: "scale", was: desk.photo().said.scale, to: scale }], "card");
  desk.choose("scale");
  desk.said.querySelector(".said-scale")?.scrollIntoView({ block: "nearest" });
}

/** The length between the two ends was told; `null`: left. */
function layTape(desk, mm) {
  const corners = desk.ends;
  desk.ends = null;
  if (mm !== null) desk.change([{ do: "scale", was: desk.photo().said.scale, to: { width_mm: mm, height_mm: null, corners } }], "tape");
  desk.draw();
  desk.stage.focus({ preventScroll: true });
}

/** A corner was pulled elsewhere. */
export function pullScale(desk, corners) {
  const was = desk.photo().said.scale;
  if (corners.length === 4 && !goesRound(corners)) {
    desk.draw();
    return announce("The corners must go round the card; left as it was.");
  }
  desk.change([{ do: "scale", was, to: { ...was, corners } }], "corners of the scale");
}

/** What the scale is called. */
export function scaleName(scale) {
  if (scale.height_mm === null || scale.height_mm === undefined) return `a length of ${written(scale.width_mm)}`;
  const known = store.words.objects.find((it) => it.width_mm === scale.width_mm && it.height_mm === scale.height_mm);
  return known?.label ?? `${scale.width_mm} mm x ${scale.height_mm} mm`;
}

/** A length in the unit of the book. */
export function written(mm) {
  const { units } = store.walk;
  const value = units === "in" ? mm / 25.4 : mm;
  return `${Number(value.toFixed(units === "in" ? 2 : 1))} ${units}`;
}

/** Asks the server for lengths: one question at a time, and only the newest one waits. */
export class Measurer {
  /** @param {number} photo @param {() => any} said what is said of it: its scale, the faces laid in it */
  constructor(photo, said) {
    Object.assign(this, { photo, said, busy: false, next: null });
  }

  /** `tell(measured | null)` is called for the newest question only; a face of `part` that is laid measures what lies on it. */
  ask(region, tell, part = null) {
    const { scale, faces } = this.said() ?? {};
    const onFace = store.part(part ?? "")?.faces.some((it) => faces?.some((laid) => laid.face === it));
    if (!region || (!scale && !onFace)) return tell(null);
    this.next = { region, tell, part };
    if (!this.busy) this.run();
  }

  /** Nobody waits any more. */
  drop() {
    this.next = null;
  }

  async run() {
    this.busy = true;
    while (this.next) {
      const { region, tell, part } = this.next;
      this.next = null;
      const answer = await store.measure({ photo: this.photo, scale: this.said()?.scale ?? null, part, region }).catch((error) => (error.status === 422 ? { text: "", problem: error.message } : null));
      if (!this.next) tell(answer);
    }
    this.busy = false;
  }
}

/** The column's part about the scale. `desk`: take(tool), choose("scale"), photo(), change(changes, label), ends (a tape whose length is not said yet). */
export function scaleSection(desk) {
  const { scale } = desk.photo().said;
  const title = el("h3", {}, "Scale");
  if (desk.ends) return [title, lengthForm(desk)];
  if (!scale) return [title, el("p", { class: "small" }, "A thing of known size lying beside the fault. Then lengths can be measured in this picture."), el("p", { class: "acts" }, ...tools(desk))];
  const card = scale.height_mm !== null && scale.height_mm !== undefined;
  const turn = () => desk.change([{ do: "scale", was: scale, to: { ...scale, corners: turned(scale.corners) } }], "the card turned");
  const out = () => desk.change([{ do: "scale", was: scale, to: null }], "scale taken out");
  return [
    title,
    el("p", {}, `In the picture: ${scaleName(scale)}.`),
    card ? el("p", { class: "small" }, `The side with “${written(scale.width_mm)}” at it must be the long one.`) : null,
    el(
      "p",
      { class: "acts" },
      button("Put its corners right", () => desk.choose("scale"), { data: { key: "scale-right" } }),
      card ? button("The other side is the long one", turn, { data: { key: "scale-turn" } }) : null,
      button("Take it out", out, { data: { key: "scale-out" } }),
    ),
  ];
}

/** "Card" and "Tape". */
function tools(desk) {
  const { objects } = store.words;
  const names = objects.map((it, n) => el("option", { value: it.id, selected: n === 0 }, it.label));
  const choice = objects.length > 1 ? el("select", { "aria-label": "What kind of card", on: { change: (it) => (desk.object = it.target.value) } }, ...names) : null;
  return [button("Card", () => desk.take("card"), { data: { key: "card" } }), button("Tape", () => desk.take("tape"), { data: { key: "tape" } }), choice].filter(Boolean);
}

/** How long it is between the two ends. */
function lengthForm(desk) {
  const { units } = store.walk;
  const field = el("input", { id: "tape-length", type: "text", inputmode: "decimal", autocomplete: "off", data: { key: "tape-length" }, "aria-describedby": "tape-how" });
  const wrong = el("p", { class: "wrong", role: "alert" });
  const leave = () => layTape(desk, null);
  const submit = (event) => {
    event.preventDefault();
    const mm = lengthMm(field.value, units);
    if (mm === null) {
      wrong.textContent = "That is no length. Write it like 100 mm, 25 cm or 4 in.";
      return field.focus();
    }
    layTape(desk, mm);
  };
  const keydown = (event) => {
    if (event.key !== "Escape") return;
    event.preventDefault();
    event.stopPropagation();
    leave();
  };
  return el(
    "form",
    { class: "tape", novalidate: true, on: { submit, keydown } },
    el("label", { for: "tape-length" }, "How long is it between the two ends?"),
    field,
    el("p", { class: "small", id: "tape-how" }, `such as 100 mm, 25 cm, 4 in; a number alone is taken as ${units}`),
    wrong,
    el("p", { class: "acts" }, el("button", { type: "submit", class: "first" }, "Save"), button("Cancel", leave)),
  );
}
