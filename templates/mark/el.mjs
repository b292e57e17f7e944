// Small helpers that build nodes. Text goes in as text, never as HTML; styles by classes, or by properties from code.

const SVG = "http://www.w3.org/2000/svg";

/**
 * An element. `props`: `class`, `text`, `on` ({click: fn}), `data` ({key: "x"}), true/false for attributes without a value, anything
 * else becomes an attribute; `null` and `undefined` are left out. `children`: nodes or text; empty ones are left out.
 */
export function el(name, props = {}, ...children) {
  return fill(document.createElement(name), props, children);
}

/** An SVG element; the same props as `el`. */
export function svg(name, props = {}, ...children) {
  return fill(document.createElementNS(SVG, name), props, children);
}

function fill(node, props, children) {
  for (const [name, value] of Object.entries(props)) {
    if (value === null || value === undefined || value === false) continue;
    if (name === "class") node.setAttribute("class", value);
    else if (name === "text") node.textContent = value;
    else if (name === "on") for (const [event, fn] of Object.entries(value)) node.addEventListener(event, fn);
    else if (name === "data") Object.assign(node.dataset, value);
    else node.setAttribute(name, value === true ? "" : value);
  }
  node.append(...children.flat().filter((it) => it !== null && it !== undefined && it !== false && it !== ""));
  return node;
}

/** A button that does `act`. */
export function button(text, act, props = {}) {
  return el("button", { type: "button", ...props, on: { click: act, ...props.on } }, text);
}

/** A link to a place of this page, such as `#part/top`. */
export function link(place, ...children) {
  return el("a", { href: place }, ...children);
}

/** "1 picture", "2 pictures". */
export function count(number, one, many = `${one}s`) {
  return `${number} ${number === 1 ? one : many}`;
}

/** The address of a picture; `kind` is `thumb`, `middle` or `full`. */
export function pictureAddress(photo, kind) {
  return `/picture/${photo.no}/${kind}?v=${photo.digest}`;
}

/** A small picture that loads when it comes near the window; its box has the picture's own shape. */
export function thumb(photo, alt = "") {
  const props = { src: pictureAddress(photo, "thumb"), alt, loading: "lazy", decoding: "async" };
  return el("img", { ...props, class: "thumb", width: photo.width, height: photo.height });
}

/** A large picture, as wide as its place but no higher than `most` hundredths of the window; its room is there before it is loaded. */
export function large(photo, alt, most) {
  const image = el("img", { src: pictureAddress(photo, "middle"), alt, class: "large", width: photo.width, height: photo.height, decoding: "async" });
  image.style.width = `min(100%, ${((most * photo.width) / photo.height).toFixed(1)}vh)`;
  return image;
}

/** Fills `host` anew and keeps the focus on the node with the same `data-key`. */
export function redraw(host, ...nodes) {
  const key = host.contains(document.activeElement) ? document.activeElement.dataset.key : null;
  host.replaceChildren(...nodes.flat().filter(Boolean));
  if (key) host.querySelector(`[data-key="${CSS.escape(key)}"]`)?.focus({ preventScroll: true });
}

/**
 * Makes the children of `list` those of `items`, keeping nodes whose `key(item)` is unchanged.
 * `make(item)` gives a node; a node is made anew when `stamp(item)` changed.
 */
export function sync(list, items, key, make, stamp = () => "") {
  const old = new Map([...list.children].map((it) => [it.dataset.item, it]));
  const nodes = items.map((item) => {
    const [id, mark] = [String(key(item)), String(stamp(item))];
    const kept = old.get(id);
    if (kept?.dataset.stamp === mark) return kept;
    const node = make(item);
    node.dataset.item = id;
    node.dataset.stamp = mark;
    return node;
  });
  const same = nodes.length === list.children.length && nodes.every((it, n) => it === list.children[n]);
  if (!same) redraw(list, nodes);
}

/** Says `text` to who listens instead of looking. */
export function announce(text) {
  const place = document.getElementById("heard");
  if (place) place.textContent = text;
}

/** Whether keys typed now go into a field. */
export function isTyping(target = document.activeElement) {
  return Boolean(target?.closest?.("input:not([type=radio], [type=checkbox], [type=range]), textarea, select, [contenteditable]"));
}
