// Ways of working that must store nothing that was not meant.
//
//     node mark_meant.mjs ADDRESS WISHES.json
//
// WISHES.json: {"broken": {"photo", "path", "text", "right"}, "shoot", "face": {"photo", "corners", "size", "at"}, "across": {"photo", "corners"}}: a sidecar that is broken and put right, the shoot that is laid and looked through.
// Prints one JSON object; judges nothing:
//   bare       {before, after}: how many pictures the head says are not laid, before and after one is laid on a part without a view
//   form       {refused, fields, marks, focus, first_part, becomes, empty}: a level typed into the field of the part; where the focus goes after the part; which
//              part stands first for a word about pulls; what stands beside the word; Enter on an empty field
//   round      {order, after, summary, taken_back}: what is due after each answer; lines of the summary; what is due after one is taken back there
//   mended     {told, lines, kept, state, version, said}: a broken text: what is told over the picture, over how many lines, and how often in the refusal; what is kept once it is put right
//   full       {state, after}: the saving line with no room on the disk, and with room again
//   sheet      {waiting, guesses, picked, left, undone}: the guesses taken with one key, but for one that was picked up
//   across     {size, at, note, before, said}: what is proposed for a side across from one that is laid; the faces before the nod, and after it
//   face       {wrong, left, right, before, said, lines, undone, pixel}: corners that no camera sees so, then right ones; what is kept, and taken back
//   errors

import { writeFileSync, readFileSync } from "node:fs";
import { at as goTo, open, saidOf, saved, seen, until, visit, walk } from "./mark_desk.mjs";
import { click, drag, go, pixel, tool } from "./mark_hands.mjs";

const [address, wishesPath] = process.argv.slice(2);
const wishes = JSON.parse(readFileSync(wishesPath, "utf8"));
const browser = await visit(address);
const { page } = await open({ viewport: { width: 1280, height: 800 } });
const head = async () => Number(/(\d+) pictures? not laid/.exec(await page.locator("#head .numbers").innerText())?.[1] ?? 0);
const say = (no, changes) => page.evaluate(async ([no, changes]) => (await import("/assets/store.mjs")).store.change(no, changes, "test"), [no, changes]);

async function bare(photo) {
  const before = await head();
  await saved(page, () => say(photo.no, [{ do: "parts", was: [], to: ["top"] }]));
  const after = await head();
  await saved(page, () => say(photo.no, [{ do: "parts", was: ["top"], to: [] }]));
  return { before, after };
}

async function form(photo) {
  await go(page, photo.no);
  await tool(page, "box");
  await drag(page, [[40, 40], [50, 50]]);
  await page.waitForSelector(".mark-form");
  await page.keyboard.press("Enter");
  const empty = await page.evaluate(() => document.querySelector(".mark-form .word-field input").value);
  await page.keyboard.type("knob missing");
  await page.keyboard.press("Enter");
  const first_part = await page.locator(".chooser .choices [role=option]").first().innerText();
  await page.keyboard.type("2");
  await page.keyboard.press("Enter");
  const refused = await page.locator("#heard").innerText();
  const form_open = await page.locator(".mark-form").count();
  for (let n = 0; n < 3; n += 1) await page.keyboard.press("Backspace");
  await page.keyboard.type("drawer 1");
  await page.keyboard.press("Enter");
  const focus = await page.evaluate(() => document.activeElement.name);
  const becomes = await page.locator(".mark-form .same").first().innerText();
  const marks = (await saidOf(page, photo.no)).marks.length;
  await page.keyboard.press("Escape");
  await page.getByRole("button", { name: "Throw it away" }).click();
  return { empty, first_part, refused, form_open, focus, becomes, marks };
}

async function sheet() {
  await goTo(page, "#piece");
  await page.waitForSelector(".sheet-of .pick");
  const sure = page.locator(".sheet-of li", { hasNot: page.getByText("Yes, so") }).filter({ hasNotText: "no guess" });
  const guesses = await sure.count();
  const waiting = await page.locator(".sheet-of li").count();
  await sure.first().locator(".pick").click();
  await saved(page, () => page.keyboard.press("t"));
  const left = await page.locator(".sheet-of li").count();
  const picked = await page.locator('.pick[aria-pressed="true"]').count();
  await saved(page, () => page.keyboard.press("Control+z"));
  const undone = await page.locator(".sheet-of li").count();
  await page.keyboard.press("Escape");
  return { waiting, guesses, picked, left, undone };
}

async function round() {
  const due = async () => (await walk(page)).again.filter((it) => it.shoot === wishes.shoot).length;
  await goTo(page, "#piece");
  await saved(page, () => page.keyboard.press("t"));
  await goTo(page, `#again/${wishes.shoot}`);
  const out = { before: await due() };
  const place = () => page.locator("#place h2 .quiet").innerText();
  await page.waitForSelector("#place .twin");
  out.panes = await page.locator("#place .twin .pane").count();
  const first = await place();
  await saved(page, () => page.keyboard.press("2"));
  out.moved = first !== (await place());
  out.after = await due();
  await saved(page, () => page.keyboard.press("4"));
  out.asked = await page.locator(".levels-now button").count();
  await page.keyboard.press("2");
  for (let n = 0; n < 30 && !(await page.locator(".summary").count()); n += 1) await page.keyboard.press("n");
  out.summary = await page.locator(".summary li").allInnerTexts();
  await until(page, "all saved");
  const said = await due();
  await saved(page, () => page.locator(".summary button", { hasText: "Take back" }).first().click());
  out.taken_back = (await due()) - said;
  return out;
}

async function mended({ photo, path, text, right }) {
  writeFileSync(path, text);
  await goTo(page, `#picture/${photo}`);
  await page.waitForSelector(".mending", { timeout: 6000 });
  const told = await page.locator(".mending").innerText();
  const lines = await page.locator(".said .wrong").filter({ hasText: "line" }).count();
  await say(photo, [{ do: "private_note", was: null, to: "kept meanwhile" }]);
  await page.waitForSelector(".refusal", { timeout: 5000 });
  const refusals = (await page.locator(".refusal").innerText()).split("never closed").length - 1;
  await page.getByRole("button", { name: "Put it right here" }).click();
  await page.locator("#mend-text").fill(right);
  await page.getByRole("button", { name: "Save the text" }).click();
  await until(page, "all saved");
  await page.waitForSelector(".mending", { state: "detached", timeout: 5000 });
  const said = await saidOf(page, photo);
  return { told, lines, refusals, note: said.private_note, view: said.view, left: await page.locator(".refusal").count() };
}

/** A side laid by its four corners: refused where no camera sees it so, kept once nodded at. */
async function face({ photo, corners, size, at }) {
  await go(page, photo);
  const begin = async (all) => {
    const lay = page.getByRole("button", { name: "Lay the front" });
    if (!(await lay.isVisible())) await page.click(".said-faces summary");
    await lay.click();
    for (const it of all) await click(page, it);
    await page.waitForFunction(() => document.querySelector(".said-faces .same, .said-faces .wrong"), null, { timeout: 5000 });
    await page.waitForTimeout(300);
  };
  const [a, b, c, d] = corners;
  const rectangle = async () => {
    if (!(await page.locator("#face-size").isVisible())) await page.getByText("Only a part of the side").click();
    await page.fill("#face-size", size);
    await page.keyboard.press("Tab");
    // So slowly that the answer for the size comes meanwhile.
    await page.keyboard.type(at, { delay: 80 });
    await page.keyboard.press("Tab");
    await page.waitForFunction(() => document.querySelector(".said-faces .same"), null, { timeout: 5000 }).catch(() => {});
  };
  await begin([a, [b[0], b[1] + 25], c, d]);
  const nod = page.getByRole("button", { name: "Lay it so" });
  const wrong = { text: await page.locator(".said-faces .wrong").innerText(), may: await nod.isEnabled() };
  await page.focus(".stage");
  await page.keyboard.press("Escape");
  const left = ((await saidOf(page, photo)).faces ?? []).length;
  await begin(corners);
  await rectangle();
  const right = await page.locator(".said-faces .same").innerText();
  const before = ((await saidOf(page, photo)).faces ?? []).length;
  await saved(page, () => nod.click());
  const said = (await saidOf(page, photo)).faces;
  const lines = await page.evaluate(() => document.querySelector(".overlay .face path").getAttribute("d").split("M").length - 1);
  await saved(page, () => page.keyboard.press("Control+z"));
  return { wrong, left, right, before, said, lines, undone: ((await saidOf(page, photo)).faces ?? []).length, pixel: await pixel(page) };
}

/** A side across from one whose rectangle was told: its size is proposed as seen from there, and said by nobody before the nod. */
async function across({ photo, corners }) {
  const told = (await walk(page)).photos.flatMap((it) => (it.said.faces ?? []).filter((face) => face.face === "right").map((face) => [it.no, face]));
  for (const [no, face] of told) await saved(page, () => say(no, [{ do: "face", was: face, to: null }]));
  await go(page, photo);
  const lay = page.getByRole("button", { name: "Lay the right side" });
  if (!(await lay.isVisible())) await page.click(".said-faces summary");
  await lay.click();
  for (const it of corners) await click(page, it);
  await page.waitForSelector('[data-key="face-keep"]:not([disabled])');
  const [size, at] = [await page.inputValue("#face-size"), await page.inputValue("#face-at")];
  const note = await page.locator(".said-faces").innerText();
  const before = ((await saidOf(page, photo)).faces ?? []).length;
  await saved(page, () => page.click('[data-key="face-keep"]'));
  const said = (await saidOf(page, photo)).faces;
  for (const [no, to] of [[photo, null], ...told]) await saved(page, () => say(no, [{ do: "face", was: to ? null : said[0], to }]));
  return { size, at, note, before, said };
}

async function full(photo) {
  await goTo(page, "#piece");
  const no_room = (route) => route.fulfill({ status: 507, contentType: "application/json", body: JSON.stringify({ message: "the disk is full" }) });
  await page.route("**/say", no_room);
  await say(photo.no, [{ do: "note", was: null, to: "no room" }]);
  await until(page, "not saved");
  const state = await page.locator("#saving").innerText();
  await page.unroute("**/say", no_room);
  await until(page, "all saved");
  return { state, note: (await saidOf(page, photo.no)).note };
}

const own = (await walk(page)).photos.filter((it) => it.shoot === wishes.shoot);
const result = {};
const steps = { bare: () => bare(own.at(-1)), form: () => form(own.at(-1)), full: () => full(own.at(-1)), face: () => face(wishes.face), across: () => across(wishes.across), sheet, round, mended: () => mended(wishes.broken) };
for (const [name, step] of Object.entries(steps)) result[name] = await step().catch((error) => ({ failed: String(error.stack).slice(0, 500) }));
result.errors = [...seen.console].filter((it) => !/status of 507/.test(it)).sort();
await browser.close();
console.log(JSON.stringify(result));
process.exit(0);
