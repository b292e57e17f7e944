// The picture of the marking page, used as a person uses it: by mouse, by fingers, by keys.
//
//     node mark_picture.mjs ADDRESS [WISHES.json]
//
// ADDRESS: what `asfound mark` prints. It writes into the sidecars of the book that is served: give it a book of its own.
// WISHES.json: {"boxes": [[photo no, [left, top, width, height]], ...], "large": photo no, "many": 200}; boxes are drawn by mouse on the
// picture as it is shown, in percent of the upright picture; `large` is the photo that gets `many` marks for the measure of long tasks.
// Prints one JSON object; judges nothing. `pixel` is always what one screen pixel is in percent, [across, down]: a hand is no more exact.
//   mouse, touch, keys   per shape: {wanted, saved, pixel}; `trace_error` for a free hand: distance of its points from the true ring, percent
//   words                what the form offered for what was typed; the mark as saved
//   change               per act (dragged, nudged, pulled, pulled_by_keys, reworded, removed, undone, redone): the mark or count afterwards
//   carried              {from, to, mark, marks_before, marks_draft, marks_left, marks_after}: how many marks the other picture has
//   scale                card and tape as saved; a corner pulled; what the form offers as measured; the length beside the pointer
//   boxes                per wish: {photo, wanted, saved, pixel, natural}
//   column               view, parts, statement, notes, something said without drawing, each as saved; the address after Page down
//   full                 natural sizes before and after zooming in; zoom by wheel keeps the place under the pointer (moved_px); pinch factor
//   drawing              long tasks (over 50 ms) while drawing among many marks: count, longest ms; frames and the longest gap; processor time of the page, ms; longest task as the tool was taken, and as the form then opens
//   sizes                per width and scheme: axe, overflow px, smallest target
//   errors               what the page complained of

import { readFileSync } from "node:fs";

import { start } from "./chrome.mjs";
import { anyPart, click, drag, fingers, go, lastRegion, openPicture, pixel, place, press, ring, saved, say, tool } from "./mark_hands.mjs";
import { column, manyMarks, sizesOf } from "./mark_rounds.mjs";

const [address, wishesPath] = process.argv.slice(2);
const wishes = { boxes: [], many: 200, large: null, ...(wishesPath ? JSON.parse(readFileSync(wishesPath, "utf8")) : {}) };
const errors = [];

/** How far the points of an outline lie from a ring, percent of the width. */
function fromRing(region, [x, y], radius, aspect) {
  return Math.max(...region.outline.map((it) => Math.abs(Math.hypot(it[0] - x, (it[1] - y) / aspect) - radius)));
}

async function subject(page) {
  return page.evaluate(async () => {
    const walk = await (await fetch("/walk")).json();
    const parts = walk.parts.filter((it) => !it.inner && it.photos.length > 1);
    const part = parts.sort((a, b) => b.photos.length - a.photos.length)[0];
    const photo = walk.photos.find((it) => part.photos.includes(it.no));
    const large = walk.photos.reduce((best, it) => (it.width * it.height > best.width * best.height ? it : best));
    return { no: photo.no, part: part.id, aspect: photo.width / photo.height, large: large.no };
  });
}

async function byMouse(page, { no, aspect }) {
  const out = {};
  const box = [20, 30, 12, 9];
  await tool(page, "box");
  await drag(page, [[20, 30], [32, 39]]);
  out.words = await say(page, "white ring", 2);
  out.box = { wanted: { box }, saved: await lastRegion(page, no), pixel: await pixel(page) };
  await tool(page, "box");
  await click(page, [50, 60]);
  await click(page, [45, 50]);
  await say(page, "gouge", 1);
  out.box_by_clicks = { wanted: { box: [45, 50, 5, 10] }, saved: await lastRegion(page, no), pixel: await pixel(page) };
  await tool(page, "outline");
  await drag(page, ring([60, 50], 8, aspect));
  const offered = await say(page, "dark stain", 3);
  const outline = await lastRegion(page, no);
  out.outline = { offered, points: outline.outline.length, trace_error: fromRing(outline, [60, 50], 8, aspect), saved: outline, pixel: await pixel(page) };
  await tool(page, "line");
  for (const it of [[10, 10], [20, 12], [30, 20]]) await click(page, it);
  await press(page, "Finish");
  await say(page, "scratch", 1);
  out.line = { wanted: { line: [[10, 10], [20, 12], [30, 20]] }, saved: await lastRegion(page, no), pixel: await pixel(page) };
  await tool(page, "spot");
  await click(page, [70.5, 20.25]);
  await say(page, "dent", 1);
  out.spot = { wanted: { spot: [70.5, 20.25] }, saved: await lastRegion(page, no), pixel: await pixel(page) };
  return out;
}

async function byKeys(page, { no }) {
  const hit = async (key, times = 1) => {
    for (let n = 0; n < times; n += 1) await page.keyboard.press(key);
  };
  const cross = () => page.evaluate(() => document.querySelector(".overlay .cross").getAttribute("visibility"));
  const out = {};
  await page.focus(".stage");
  await hit("0");
  await hit("b");
  await hit("ArrowRight");
  await page.waitForTimeout(60);
  out.cross = await cross();
  await hit("Space");
  await hit("ArrowRight", 3);
  await hit("Shift+ArrowDown");
  await hit("Alt+ArrowRight", 2);
  await hit("Space");
  await say(page, "dent", 2);
  out.box = { wanted: { box: [50, 50, 3.2, 5] }, saved: await lastRegion(page, no) };
  await hit("l");
  await hit("ArrowLeft");
  await hit("Space");
  await hit("Shift+ArrowLeft");
  await hit("Space");
  await hit("Shift+ArrowUp");
  await hit("Space");
  await hit("Backspace");
  await hit("Shift+ArrowDown", 2);
  await hit("Space");
  await hit("Enter");
  await say(page, "scratch", 2);
  out.line = { wanted: { line: [[50, 50], [45, 50], [45, 55]] }, saved: await lastRegion(page, no) };
  await hit("o");
  await hit("ArrowUp");
  for (const key of ["Space", "Shift+ArrowRight", "Space", "Shift+ArrowDown", "Space"]) await hit(key);
  await hit("Enter");
  await say(page, "burn", 2);
  out.outline = { wanted: { outline: [[50, 50], [55, 50], [55, 55]] }, saved: await lastRegion(page, no) };
  await hit("s");
  await hit("ArrowUp");
  await hit("Shift+ArrowUp");
  await hit("Enter");
  await say(page, "dent", 1);
  out.spot = { wanted: { spot: [50, 45] }, saved: await lastRegion(page, no) };
  const before = (await saved(page, no)).marks.length;
  await hit("b");
  await hit("Escape");
  await hit("s");
  await hit("ArrowUp");
  await hit("Enter");
  await hit("Escape");
  out.left = { before, after: (await saved(page, no)).marks.length, still_open: await page.evaluate(() => document.body.dataset.route) };
  return out;
}

async function byTouch(browser, { no, part, aspect }) {
  const phone = { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true, deviceScaleFactor: 3, part };
  const { page, context, errors: wrong } = await openPicture(browser, address, no, phone);
  const hand = await fingers(page);
  const out = {};
  await page.tap("button[data-tool=box]");
  await hand.drag([[20, 30], [40, 50]]);
  await say(page, "gouge", 2);
  out.box = { wanted: { box: [20, 30, 20, 20] }, saved: await lastRegion(page, no), pixel: await pixel(page) };
  await page.tap("button[data-tool=outline]");
  await hand.drag(ring([50, 50], 20, aspect));
  await say(page, "dark stain", 2);
  const outline = await lastRegion(page, no);
  out.outline = { points: outline.outline.length, trace_error: fromRing(outline, [50, 50], 20, aspect), pixel: await pixel(page) };
  await page.tap("button[data-tool=line]");
  await hand.tap([20, 20]);
  await hand.tap([60, 20]);
  await press(page, "Finish");
  await say(page, "scratch", 1);
  out.line = { wanted: { line: [[20, 20], [60, 20]] }, saved: await lastRegion(page, no), pixel: await pixel(page) };
  await page.tap("button[data-tool=spot]");
  const width = () => page.evaluate(() => document.querySelector(".print").getBoundingClientRect().width);
  const before = await width();
  await hand.pinch([50, 50], 60, 180);
  await page.waitForTimeout(100);
  out.pinch = { factor: (await width()) / before, tool_kept: await page.evaluate(() => document.querySelector(".stage").dataset.tool ?? null) };
  await hand.tap([50, 50]);
  await say(page, "dent", 1);
  out.spot = { wanted: { spot: [50, 50] }, saved: await lastRegion(page, no), pixel: await pixel(page) };
  errors.push(...wrong);
  await context.close();
  return out;
}

async function changes(page, { no }) {
  const out = {};
  await press(page, "Whole picture");
  const of = async (n) => (await saved(page, no)).marks.filter((it) => it.region)[n];
  const first = await of(0);
  const [x, y, w, h] = first.region.box;
  await page.locator(".mark-button").first().click();
  out.chosen = await page.evaluate(() => [document.querySelectorAll(".overlay .mark.chosen").length, document.querySelectorAll(".marks li.chosen").length, document.querySelectorAll(".overlay .grips g").length]);
  await drag(page, [[x + w / 2, y + h / 2], [x + w / 2 + 6, y + h / 2 + 4]]);
  out.dragged = { before: first.region, by: [6, 4], after: (await of(0)).region, pixel: await pixel(page) };
  await page.focus(".stage");
  await page.keyboard.press("ArrowLeft");
  await page.keyboard.press("Shift+ArrowDown");
  out.nudged = { before: out.dragged.after, by: [-1, 5] };
  await page.waitForTimeout(700);
  out.nudged.after = (await of(0)).region;
  const now = out.nudged.after.box;
  await drag(page, [[now[0] + now[2], now[1] + now[3]], [now[0] + now[2] + 5, now[1] + now[3] + 5]]);
  out.pulled = { before: out.nudged.after, handle: 2, by: [5, 5], after: (await of(0)).region, pixel: await pixel(page) };
  await press(page, "Change shape");
  await page.keyboard.press("ArrowLeft");
  await page.keyboard.press("Enter");
  await page.waitForTimeout(700);
  out.pulled_by_keys = { before: out.pulled.after, handle: 0, by: [-1, 0], after: (await of(0)).region };
  await press(page, "Change words");
  await page.waitForSelector(".mark-form");
  await page.fill("#form-size", "70");
  await page.fill("#form-note", "near the back edge");
  await press(page, "Save");
  out.reworded = await of(0);
  const count = async () => (await saved(page, no)).marks.length;
  const before = await count();
  await page.focus(".stage");
  await page.keyboard.press("Delete");
  const removed = await count();
  await page.keyboard.press("Control+z");
  const undone = await count();
  await page.keyboard.press("Control+Shift+z");
  const redone = await count();
  await page.keyboard.press("Control+z");
  await saved(page, no);
  return { ...out, counts: { before, removed, undone, redone } };
}

async function carry(page, { no }) {
  const lines = page.locator(".mark-button");
  await go(page, no);
  for (let n = 0; n < (await lines.count()); n += 1) {
    await lines.nth(n).click();
    if (!(await page.locator(".carry summary").isVisible())) continue;
    const begin = async () => {
      await page.click(".carry summary");
      await page.locator(".carry button").last().click();
    };
    const to = Number(/picture (\d+)/.exec(await page.locator(".carry button").last().getAttribute("aria-label"))[1]);
    const before = (await saved(page, to)).marks;
    await begin();
    await page.waitForSelector(`.stage[aria-label="Picture ${to}"]`);
    await page.waitForSelector(".mark-form");
    const draft = (await saved(page, to)).marks;
    await page.keyboard.press("Escape");
    const left = (await saved(page, to)).marks;
    await go(page, no);
    await lines.nth(n).click();
    await begin();
    await page.waitForSelector(`.stage[aria-label="Picture ${to}"]`);
    await page.waitForSelector(".mark-form");
    await page.locator(".levels label").last().click();
    await press(page, "Save");
    const after = (await saved(page, to)).marks;
    return { from: no, to, mark: after.at(-1), marks_before: before.length, marks_draft: draft.length, marks_left: left.length, marks_after: after.length };
  }
  return null;
}

async function scales(page, { no }) {
  const out = {};
  const clean = async () => {
    if (await page.getByRole("button", { name: "Take it out", exact: true }).count()) await press(page, "Take it out");
  };
  await go(page, no);
  await clean();
  const corners = [[20, 60], [40, 61], [39, 78], [19, 77]];
  await press(page, "Card");
  for (const it of corners) await click(page, it);
  out.card = { wanted: corners, saved: (await saved(page, no)).scale, pixel: await pixel(page) };
  await drag(page, [corners[2], [41, 80]]);
  out.pulled = { corner: 2, wanted: [41, 80], saved: (await saved(page, no)).scale.corners };
  await tool(page, "line");
  await click(page, [50, 30]);
  await page.mouse.move(...(await place(page, [60, 35])));
  await page.waitForFunction(() => !document.querySelector(".tip").hidden, null, { timeout: 4000 }).catch(() => {});
  out.tip = await page.textContent(".tip");
  await click(page, [60, 35]);
  await page.keyboard.press("Enter");
  await page.keyboard.type("scratch");
  await page.keyboard.press("Enter");
  await anyPart(page);
  await page.waitForSelector(".measured button", { timeout: 4000 }).catch(() => {});
  out.offered = await page.locator(".measured p").allTextContents();
  out.takes_back = await page.locator(".mark-form .same").allTextContents();
  const before = (await saved(page, no)).marks.length;
  await page.keyboard.press("Enter");
  out.without_level = { told: await page.locator(".mark-form .wrong").innerText(), kept: (await saved(page, no)).marks.length !== before };
  await page.keyboard.press("2");
  await page.keyboard.press("Enter");
  out.said = (await saved(page, no)).marks;
  out.used = out.said.at(-1);
  await clean();
  await press(page, "Tape");
  await page.focus(".stage");
  for (const key of ["ArrowUp", "Space", "Shift+ArrowRight", "Shift+ArrowRight", "Space"]) await page.keyboard.press(key);
  await page.keyboard.type("25 cm");
  await page.keyboard.press("Enter");
  out.tape = { wanted: { width_mm: 250, apart: 10 }, saved: (await saved(page, no)).scale };
  await clean();
  return out;
}

async function drawBoxes(page) {
  const out = [];
  for (const [no, box] of wishes.boxes) {
    await go(page, no);
    const [x, y, w, h] = box;
    await tool(page, "box");
    await drag(page, [[x, y], [x + w, y + h]]);
    await say(page, "white ring", 2);
    const natural = await page.evaluate(() => {
      const image = document.querySelector(".print img[data-kind=middle]");
      return [image.naturalWidth, image.naturalHeight];
    });
    out.push({ photo: no, wanted: box, saved: await lastRegion(page, no), pixel: await pixel(page), natural });
  }
  return out;
}

async function full(page, no) {
  await go(page, no);
  const sizes = () => page.evaluate(() => Object.fromEntries([...document.querySelectorAll(".print img")].map((it) => [it.dataset.kind, [it.naturalWidth, it.naturalHeight]])));
  const before = await sizes();
  const [x, y] = (await place(page, [30, 40])).map(Math.round);
  const corner = await place(page, [0, 0]);
  const [across, down] = await pixel(page);
  const spot = [(x - corner[0]) * across, (y - corner[1]) * down];
  let moved = 0;
  for (let n = 0; n < 10; n += 1) {
    await page.mouse.move(x, y);
    await page.mouse.wheel(0, -300);
    await page.waitForTimeout(80);
    const now = await place(page, spot);
    moved = Math.max(moved, Math.hypot(now[0] - x, now[1] - y));
  }
  await page.waitForSelector(".print img[data-kind=full]", { state: "attached", timeout: 8000 }).catch(() => {});
  const after = await sizes();
  await press(page, "Whole picture");
  return { photo: no, before, after, moved_px: moved };
}

const browser = await start();
try {
  const first = await openPicture(browser, address, 1);
  const about = await subject(first.page);
  await first.context.close();
  const { page, context, errors: wrong } = await openPicture(browser, address, about.no, { part: about.part });
  const result = { subject: about };
  const steps = {
    mouse: () => byMouse(page, about),
    keys: () => byKeys(page, about),
    change: () => changes(page, about),
    carried: () => carry(page, about),
    scale: () => scales(page, about),
    touch: () => byTouch(browser, about),
    boxes: () => drawBoxes(page),
    column: () => column(page, wishes.large ?? about.large),
    full: () => full(page, wishes.large ?? about.large),
    sizes: () => sizesOf(browser, address, about, errors),
    drawing: () => manyMarks(page, wishes.large ?? about.large, wishes.many),
  };
  for (const [name, step] of Object.entries(steps)) {
    result[name] = await step().catch((error) => ({ failed: String(error.stack).split("\n").slice(0, 12).join(" / ") }));
  }
  errors.push(...wrong);
  console.log(JSON.stringify({ ...result, errors: [...new Set(errors)] }, null, 1));
  await context.close();
} finally {
  await browser.close();
}
