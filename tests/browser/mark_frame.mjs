// Walks through the frame of the marking page in a real browser and prints one JSON object; it judges nothing.
//
//   node mark_frame.mjs ADDRESS [--acts]
//
// ADDRESS is that of a running server, with its secret if it has one. The book must hold pictures of which nothing is said, a part
// that is said to be silent, and findings of an earlier shoot. The walk changes what is said of some pictures and says which.
//
// With `--acts` it asks whoever started it to act: it prints a line such as {"ask":"stop"} or {"ask":"start"}, and waits for a line
// on stdin. "stop": end the server. "start": start it again at the same address; the line may give a new address with its secret.
// Without, the browser is cut off from the server instead. The last line is the result:
//
//   lay       {photo, part, words, silent_before, silent_after, saved_ms, said}: a picture laid on a part from the part's page
//   sound     {photo, part, pressed, told, saved_ms, said}: "Looked for, nothing found" said of that part on that picture
//   undo      {photo, said_after_undo, said_after_redo, undo_in_a_field}: both by key; the last one must be false
//   hand      {photos, laid, silent_before, silent_after}: two pictures picked up and laid on a part of the drawing in one step
//   again     {shoot, due_before, due_after, said}: a finding said to be repaired by key 2, the next one by key N
//   conflict  [{choice, about, mine, theirs, offered, said}]: the view of a picture changed in two places; each choice once
//   both      {offered, note}: the note of a picture changed in two places, both kept
//   away      {words, kept, said_while_away, back_ms, words_after, said}: said while the server does not answer
//   again     {unlaid, offered, before, after, due_before, due_after, said}: before a picture of the shoot shows the part nothing is offered nor
//             kept; then only the one that shows it, and after an answer the next finding comes by itself
//   reload    {kept, saved_ms, said}: said while it does not answer, the window closed, opened again when it is back
//   refused   {shown, saving_then, again, saving, left, said}: what the page shows for a change that the server will not write, tried once
//             more, then let go
//   windows   {open_ms, walk_ms}: until another window's change is shown; in the open picture, and on the piece's page
//   keyboard  {presses, drawn, not_reached, reached, said, marks, focus_lost}: from the start of the page to a saved statement by Tab and
//             Enter alone; `not_reached`: parts of the drawing that arrow keys do not come to
//   routes    [{route, width, scheme, axe, overflow, smallest, small}]: rule ids of axe, px too wide, smallest target in px
//   escape    [hash after each Esc], back: [hash after each Back]
//   tasks     {tasks, longest_ms, longest_cpu_ms, first_paint_ms, nodes}: longest task of the main thread while the piece's page is opened
//             and scrolled through, by the clock (a busy machine makes it long) and by the processor's own time
//   requests, console: requests to anywhere else, errors of the console

import { createInterface } from "node:readline";
import { at, open, saidOf, saved, seen, until, visit, walk, watch, words } from "./mark_desk.mjs";
import { escape, keyboard, sheet } from "./mark_keys.mjs";
import { routes, tasks } from "./mark_looks.mjs";

const [address, ...flags] = process.argv.slice(2);
const acts = flags.includes("--acts");
const origin = new URL(address).origin;
const lines = createInterface({ input: process.stdin })[Symbol.asyncIterator]();

/** Asks whoever started this to act; gives back their line. */
async function ask(what) {
  console.log(JSON.stringify({ ask: what }));
  return ((await lines.next()).value ?? "").trim();
}

const browser = await visit(address);

/** Says something of a picture as another window would. */
function elsewhere(page, photo, changes) {
  return page.evaluate(
    async (letter) => (await fetch("/say", { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(letter) })).status,
    { photo, changes, mine: false },
  );
}

// ---------------------------------------------------------------- saying

async function lay(page, known) {
  const part = known.parts.find((it) => !it.inner && it.state === "silent") ?? known.parts.find((it) => !it.inner);
  const silent = known.photos.filter((it) => it.silent);
  await at(page, `#part/${part.id}`);
  const lay = page.getByRole("button", { name: /^Lay here: picture/ }).first();
  const no = Number(/picture (\d+)/.exec(await lay.getAttribute("aria-label"))[1]);
  const saved_ms = await saved(page, () => lay.click());
  const now = await walk(page);
  const after = now.photos.filter((it) => it.silent).length;
  return { photo: no, part: part.id, words: await page.locator("#heard").innerText(), silent_before: silent.length, silent_after: after, saved_ms, said: await saidOf(page, no) };
}

async function sound(page, laid) {
  const act = page.getByRole("button", { name: "Looked for, nothing found", exact: true });
  const saved_ms = await saved(page, () => act.click());
  const pressed = await act.getAttribute("aria-pressed");
  const told = await page.locator("#place .told").innerText();
  return { photo: laid.photo, part: laid.part, pressed, told, saved_ms, said: await saidOf(page, laid.photo) };
}

async function undo(page, photo) {
  const before = await saidOf(page, photo);
  await page.locator("body").click({ position: { x: 3, y: 300 } });
  await saved(page, () => page.keyboard.press("Control+z"));
  const said_after_undo = await saidOf(page, photo);
  await saved(page, () => page.keyboard.press("Control+Shift+Z"));
  const said_after_redo = await saidOf(page, photo);
  await page.locator("#place [role=combobox]").first().click();
  await page.keyboard.press("Control+z");
  await page.waitForTimeout(600);
  const same = JSON.stringify(await saidOf(page, photo)) === JSON.stringify(said_after_redo);
  await page.keyboard.press("Escape");
  return { photo, said_before: before, said_after_undo, said_after_redo, undo_in_a_field: !same };
}

async function hand(page) {
  await at(page, "#piece");
  const silent = (await walk(page)).photos.filter((it) => it.silent);
  const silent_before = silent.length;
  const photos = silent.slice(0, 2).map((it) => it.no);
  for (const no of photos) await page.getByRole("button", { name: `Pick up picture ${no}`, exact: true }).click();
  const place = page.locator(".plan a.part:visible").first();
  const part = await place.getAttribute("data-part");
  await saved(page, () => place.locator(".hit").dispatchEvent("click"));
  const now = await walk(page);
  const laid = photos.map((no) => now.photos.find((it) => it.no === no).said.parts.includes(part));
  const silent_after = now.photos.filter((it) => it.silent).length;
  await saved(page, () => page.keyboard.press("Control+z"));
  const back = await walk(page);
  const undone = photos.map((no) => back.photos.find((it) => it.no === no).silent);
  return { photos, part, laid, silent_before, silent_after, undone };
}

async function again(page) {
  const known = await walk(page);
  const [first] = known.again;
  if (!first) return null;
  const due = (it) => it.again.filter((item) => item.shoot === first.shoot).length;
  await at(page, `#again/${first.shoot}`);
  const before = await page.locator("#place .lead").innerText();
  const unlaid = { states: await page.locator("#place .states button").count(), told: await page.locator("#place .empty").innerText() };
  await page.keyboard.press("2");
  unlaid.said = due(await walk(page)) !== due(known);
  const own = known.photos.filter((it) => it.shoot === first.shoot);
  const part = known.findings.find((it) => it.id === first.finding).part;
  await elsewhere(page, own[1].no, [{ do: "parts", was: [], to: [part] }]);
  await page.evaluate(async () => (await import("/assets/store.mjs")).store.refresh());
  await page.waitForSelector("#place .states button");
  const offered = await page.locator("#place .twin figcaption").allInnerTexts();
  await saved(page, () => page.keyboard.press("2"));
  const after = await page.locator("#place .lead, #place .empty").first().innerText();
  const now = await walk(page);
  const shoot = now.photos.filter((it) => it.shoot === first.shoot);
  const said = shoot.flatMap((it) => it.said.marks.filter((mark) => mark.finding === first.finding));
  return { shoot: first.shoot, finding: first.finding, unlaid, laid: own[1].no, offered, before, after, due_before: due(known), due_after: due(now), said };
}

// ---------------------------------------------------------------- two sides

async function conflict(window, other, photo, choice) {
  const { page, context } = window;
  const views = (await page.evaluate(() => fetch("/words").then((it) => it.json()))).views.map((it) => it.id);
  const was = (await saidOf(other, photo)).view;
  const [mine, theirs] = views.filter((it) => it !== was);
  await page.evaluate(async (no) => { const { store } = await import("/assets/store.mjs"); await store.look(no); }, photo);
  await context.setOffline(true);
  await page.evaluate(async ([no, was, to]) => { const { store } = await import("/assets/store.mjs"); store.change(no, [{ do: "view", was, to }], "view"); }, [photo, was, mine]);
  await until(page, "not saved");
  await elsewhere(other, photo, [{ do: "view", was, to: theirs }]);
  await context.setOffline(false);
  await until(page, "the file says something else");
  await page.getByRole("button", { name: "Choose" }).click();
  const dialog = page.locator("#conflict");
  const about = await dialog.locator("legend").first().innerText();
  const sides = await dialog.locator(".side").allInnerTexts();
  await dialog.getByText(choice, { exact: true }).click();
  await saved(page, () => dialog.getByRole("button", { name: "Save this choice" }).click());
  return { choice, about, sides, view_before: was, view_mine: mine, view_theirs: theirs, view_after: (await saidOf(other, photo)).view };
}

async function both(window, other, photo) {
  const { page, context } = window;
  const was = (await saidOf(other, photo)).note;
  await context.setOffline(true);
  await page.evaluate(async ([no, was]) => { const { store } = await import("/assets/store.mjs"); store.change(no, [{ do: "note", was, to: "mine" }], "note"); }, [photo, was]);
  await until(page, "not saved");
  await elsewhere(other, photo, [{ do: "note", was, to: "theirs" }]);
  await context.setOffline(false);
  await until(page, "the file says something else");
  await page.getByRole("button", { name: "Choose" }).click();
  const offered = await page.locator("#conflict .side b").allInnerTexts();
  await page.locator("#conflict").getByText("Keep both", { exact: true }).click();
  await saved(page, () => page.getByRole("button", { name: "Save this choice" }).click());
  const note = (await saidOf(other, photo)).note;
  await saved(page, () => page.evaluate(async ([no, note]) => { const { store } = await import("/assets/store.mjs"); store.change(no, [{ do: "note", was: note, to: null }], "note"); }, [photo, note]));
  return { offered, note };
}

const kept = (page) => page.evaluate(() => Object.entries(localStorage).filter(([key]) => key.startsWith("asfound not saved")).map(([, text]) => JSON.parse(text).entries.length));

async function cut(context) {
  if (acts) await ask("stop");
  else await context.setOffline(true);
}

/** The server is there again; gives the address, which may have a new secret. */
async function mend(context) {
  if (acts) return (await ask("start")) || address;
  await context.setOffline(false);
  return address;
}

async function away(window, part, other) {
  const { page, context } = window;
  await at(page, `#part/${part.id}`);
  const photo = Number(/\d+/.exec(await page.locator("#place .preview figcaption b").innerText())[0]);
  await cut(context);
  await page.getByRole("button", { name: "Not examined", exact: true }).click();
  await until(page, "not saved");
  const result = { photo, part: part.id, words: await words(page), kept: await kept(page) };
  await page.waitForTimeout(2500);
  const back = await mend(context);
  if (back !== address) await other.goto(back);
  if (back !== address) await (await context.newPage()).goto(back);
  result.back_ms = await until(page, "all saved");
  const said = await page.evaluate(async (no) => (await (await fetch("/walk")).json()).photos.find((it) => it.no === no).said, photo);
  await page.waitForTimeout(100);
  return { ...result, words_after: await words(page), kept_after: await kept(page), said };
}

async function reload(part) {
  const { page, context } = await open();
  await at(page, `#part/${part.id}`);
  const photo = Number(/\d+/.exec(await page.locator("#place .preview figcaption b").innerText())[0]);
  await context.setOffline(true);
  await page.getByRole("button", { name: "Not there", exact: true }).click();
  await until(page, "not saved");
  const before = await kept(page);
  await page.close();
  await context.setOffline(false);
  const next = await context.newPage();
  watch(next);
  const began = Date.now();
  await next.goto(address);
  await next.waitForSelector("#head h1");
  await next.waitForFunction(() => !Object.keys(localStorage).some((it) => it.startsWith("asfound not saved")), null, { timeout: 15000 });
  const saved_ms = Date.now() - began;
  const said = await saidOf(next, photo);
  await context.close();
  return { photo, part: part.id, kept: before, saved_ms, said };
}

async function refused(page, photo) {
  const mark = { tag: "no_such_word", part: "top", which: null, finding: null, state: "present", level: null, size: null, note: "refuse me", region: null };
  await page.evaluate(async ([no, mark]) => { const { store } = await import("/assets/store.mjs"); store.change(no, [{ do: "add", mark }], "a word that is none"); }, [photo, mark]);
  await page.waitForSelector(".refusal", { timeout: 5000 });
  const shown = await page.locator(".refusal").innerText();
  const saving_then = await words(page);
  await page.getByRole("button", { name: "Try again" }).click();
  await page.waitForTimeout(1500);
  const again = await page.locator(".refusal").count();
  await page.getByRole("button", { name: "Let it go" }).click();
  await until(page, "all saved");
  return { shown, saving_then, again, saving: await words(page), left: await page.locator(".refusal").count(), said: await saidOf(page, photo) };
}

async function windows(other, photo) {
  const { page, context } = await open();
  const note = async (text) => { const was = (await saidOf(other, photo)).note; await elsewhere(other, photo, [{ do: "note", was, to: text }]); };
  await at(page, `#picture/${photo}`);
  const noteHere = () => page.evaluate(async (no) => (await import("/assets/store.mjs")).store.photo(no).said.note, photo);
  const shows = async (text) => { for (let n = 0; n < 150 && (await noteHere()) !== text; n += 1) await page.waitForTimeout(100); };
  const before_note = await noteHere();
  await note("from another window");
  const before = Date.now();
  await shows("from another window");
  const open_ms = Date.now() - before;
  const seen_note = await noteHere();
  const twin = await context.newPage();
  await twin.goto(`${origin}/#piece`);
  await twin.waitForSelector("#head h1");
  await twin.evaluate(async (no) => (await import("/assets/store.mjs")).store.change(no, [{ do: "note", was: "from another window", to: null }], "note"), photo);
  const then = Date.now();
  await shows(null);
  const walk_ms = Date.now() - then;
  const notes = [before_note, seen_note, await noteHere()];
  await context.close();
  return { open_ms, walk_ms, notes };
}

// ---------------------------------------------------------------- the walk

const result = {};
const window = await open();
const { page } = window;
const { page: other } = await open();
const known = await walk(page);
result.lay = await lay(page, known);
result.sound = await sound(page, result.lay);
result.undo = await undo(page, result.lay.photo);
result.hand = await hand(page);
result.again = await again(page);
const { photo } = result.lay;
result.conflict = [];
for (const choice of ["Keep mine", "Keep the file's"]) result.conflict.push(await conflict(window, other, photo, choice));
result.both = await both(window, other, photo);
result.refused = await refused(page, photo);
const outer = known.parts.filter((it) => !it.inner && it.photos.length && it.state !== "faults");
result.windows = await windows(other, photo);
result.keyboard = await keyboard(outer[0]);
Object.assign(result, await escape(page, photo, outer[0]));
result.sheet = await sheet(page);
result.reload = await reload(outer[1] ?? outer[0]);
const shoot = (await walk(page)).again[0]?.shoot;
const hashes = ["#piece", `#part/${known.parts.find((it) => it.state === "faults").id}`, ...(shoot ? [`#again/${shoot}`] : [])];
result.routes = await routes(hashes);
result.tasks = await tasks(browser, address);
result.away = await away(window, outer.at(-1), other);
result.requests = [...seen.requests].sort();
result.console = [...seen.console].sort();
await browser.close();
console.log(JSON.stringify(result, null, acts ? 0 : 1));
process.exit(0);
