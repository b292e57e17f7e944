// The text beside a picture has a mistake: the first one, and a place to put it right. What follows from it is not told.

import { announce, button, count, el } from "./el.mjs";
import { store } from "./store.mjs";

/** What is typed and not saved yet, by picture: drawing anew must not lose it. */
const drafts = new Map();

/** The first complaint about the text beside `photo`, and the text itself once asked for. */
export function mending(photo) {
  const [first, ...rest] = photo.complaints;
  const host = el("div");
  const open = button("Put it right here", () => show(host, photo, open), { data: { key: "mend" } });
  const more = rest.length ? `; ${count(rest.length, "further mistake")} may come from it` : "";
  const node = el(
    "section",
    { class: "mending" },
    el("p", { class: "wrong" }, `${first.file}, line ${first.line}: ${first.message}${more}`),
    first.help ? el("p", { class: "small" }, first.help) : null,
    el("p", { class: "acts" }, open),
    host,
  );
  if (drafts.has(photo.no)) show(host, photo, open);
  return node;
}

async function show(host, photo, open) {
  open.hidden = true;
  try {
    if (!drafts.has(photo.no)) drafts.set(photo.no, await store.textBeside(photo.no));
    host.replaceChildren(editor(photo, drafts.get(photo.no)));
    toLine(host.querySelector("textarea"), photo.complaints[0]?.line ?? 1);
  } catch (error) {
    open.hidden = false;
    host.replaceChildren(el("p", { class: "wrong", role: "alert" }, error.message));
  }
}

function editor(photo, draft) {
  const field = el("textarea", { id: "mend-text", rows: 12, spellcheck: "false", autocapitalize: "off", wrap: "off", on: { input: () => (draft.text = field.value) } });
  field.value = draft.text;
  const wrong = el("p", { class: "wrong", role: "alert" });
  const submit = async (event) => {
    event.preventDefault();
    try {
      await store.mend({ photo: photo.no, version: draft.version, text: field.value });
      drafts.delete(photo.no);
      announce("Put right: the text can be read again.");
    } catch (error) {
      const changed = error.status === 409;
      wrong.textContent = changed ? "The file was changed elsewhere meanwhile. Load the page again." : error.message;
      if (!changed) toLine(field, error.body?.complaints?.[0]?.line ?? null);
    }
  };
  const leave = () => {
    drafts.delete(photo.no);
    store.refresh();
  };
  const keydown = (event) => {
    if (event.key !== "Escape") return;
    event.preventDefault();
    event.stopPropagation();
  };
  return el("form", { class: "mend", on: { submit, keydown } }, el("label", { for: "mend-text" }, draft.file), field, wrong, el("p", { class: "acts" }, el("button", { type: "submit", class: "first" }, "Save the text"), button("Cancel", leave, { class: "plain" })));
}

/** Goes to the end of a line of the text; nothing is chosen, so that typing takes nothing away. */
function toLine(field, line) {
  if (line === null) return;
  const lines = field.value.split("\n");
  const end = lines.slice(0, line).join("\n").trimEnd().length;
  field.focus({ preventScroll: true });
  field.setSelectionRange(end, end);
  field.scrollTop = Math.max(0, (line - 4) * (field.scrollHeight / lines.length));
}
