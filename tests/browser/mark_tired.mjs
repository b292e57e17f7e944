// The page in tired hands: what was not meant is not said, and what was begun is not lost.
//
//     node mark_tired.mjs ADDRESS WISHES.json
//
// WISHES.json: {"shoot", "photo", "face"}: a shoot of which nothing is said; a picture of it; how the front lies in that picture.
// Prints one JSON object; judges nothing:
//   begun      {line, elsewhere, back, marks, opened, drawn, left}: a shape without a word: the saving line, there and at another picture; the form when one is
//              back; marks stored; the form and the shapes in the window that is opened next; the line once it is thrown away
//   next       {first, second, under}: the part offered for two marks of one picture with several parts, and for one on a side that is laid; whether the focus stops there
//   measured   {shown, size, misfit, out}: what the field of the size holds by itself, what is saved, what is said of a level that it does not fit; the size that is left out
//   long       {told, open, marks}: a name of 121 characters
//   related    {finding, asked, choices}: the fault of an inner part said of its whole
//   joined     {was, note, level, further, focus}: a note here and a level elsewhere, of one mark; further marks
//   twice      {double, once, held}: what is said after a double click, after two clicks that a person makes, and with a key held down
//   phone      {place, lists, scale, form, small, steady}: where the page is and what is open after the last corner of a card by a finger; what the word field holds
//              after a spot; what a finger presses that is lower than 44 pixels, by page; how far a picture far down moves as it is picked up, pixels
//   errors

import { readFileSync } from "node:fs";
import { at as goTo, open, saidOf, saved, seen, until, visit, walk } from "./mark_desk.mjs";
import { drag, fingers, go, place, tool } from "./mark_hands.mjs";

const [address, wishesPath] = process.argv.slice(2);
const wishes = JSON.parse(readFileSync(wishesPath, "utf8"));
const browser = await visit(address);
const { context, page } = await open({ viewport: { width: 1280, height: 800 } });
page.on("dialog", (it) => it.accept());
const no = wishes.photo;
const line = () => page.locator("#saving").innerText();
const marks = async (photo = no) => (await saidOf(page, photo)).marks;
const say = (on, photo, changes) => on.evaluate(async ([no, changes]) => (await import("/assets/store.mjs")).store.change(no, changes, "test"), [photo, changes]);
const partField = () => page.locator(".mark-form .chooser input");

async function draw(photo, box) {
  await go(page, photo);
  await tool(page, "box");
  await drag(page, box);
  await page.waitForSelector(".mark-form");
}

async function word(text) {
  await page.keyboard.type(text);
  await page.keyboard.press("Enter");
}

async function throwAway() {
  await page.locator(".mark-form .foot .acts .plain").click();
  const drop = page.getByRole("button", { name: "Throw it away" });
  if (await drop.count()) await drop.click();
}

async function begun() {
  await draw(no, [[30, 40], [40, 50]]);
  const out = { line: await line() };
  await goTo(page, `#picture/${no + 1}`);
  await page.waitForSelector(`.stage[aria-label="Picture ${no + 1}"]`);
  out.elsewhere = await line();
  await goTo(page, `#picture/${no}`);
  out.back = await page.waitForSelector(".mark-form", { timeout: 4000 }).then(() => page.locator(".overlay .mark").count());
  out.marks = (await marks()).length;
  const next = await context.newPage();
  await page.close({ runBeforeUnload: false });
  await next.goto(`${new URL(address).origin}/#picture/${no}`);
  out.opened = await next.waitForSelector(".mark-form", { timeout: 8000 }).then(() => true, () => false);
  out.drawn = await next.locator(".overlay .mark").count();
  out.said = await next.locator("#saving").innerText();
  if (out.opened) await next.locator(".mark-form .foot .acts .plain").click();
  out.left = await next.locator("#saving").innerText();
  await next.close();
  return out;
}

async function next() {
  await saved(page, () => say(page, no, [{ do: "parts", was: [], to: ["drawer-1", "side-left"] }]));
  const one = async (box, text, choose) => {
    await draw(no, box);
    await word(text);
    await page.waitForTimeout(100);
    const it = { part: await partField().inputValue(), focus: await page.evaluate(() => document.activeElement.closest(".chooser") !== null) };
    if (choose) await page.keyboard.type(choose);
    await page.keyboard.press("Enter");
    await page.keyboard.press("2");
    return it;
  };
  const first = await one([[10, 10], [15, 15]], "scratch", "drawer 1");
  await saved(page, () => page.keyboard.press("Enter"));
  const second = await one([[80, 80], [85, 85]], "dent", null);
  await throwAway();
  await saved(page, () => say(page, no, [{ do: "face", was: null, to: wishes.face }]));
  const under = await one([[45, 45], [52, 52]], "dent", null);
  await throwAway();
  return { first, second, under };
}

/** A scratch on the front that is laid. */
async function measured() {
  const one = async (level, out) => {
    await draw(no, [[40, 48], [55, 50]]);
    await word("scratch");
    await page.keyboard.press("Enter");
    await page.keyboard.press(String(level));
    await page.waitForSelector(".measured .use", { timeout: 8000 });
    const shown = await page.locator("#form-size").inputValue();
    const misfit = await page.locator(".misfit").innerText();
    if (out) await page.locator(".measured .use").click();
    const one = page.locator('[name="one"][value="new"]');
    if (await one.count()) await one.click();
    await page.locator(".foot .first").click();
    await page.waitForSelector(".mark-form", { state: "detached" });
    await until(page, "all saved");
    return { shown, misfit, size: (await marks()).at(-1).size };
  };
  const kept = await one(2, false);
  return { ...kept, out: (await one(3, true)).size };
}

async function long() {
  const before = (await marks()).length;
  await draw(no, [[20, 60], [25, 65]]);
  await word("dent");
  await page.keyboard.press("Enter");
  await page.keyboard.press("1");
  await page.fill("#form-which", "x".repeat(121));
  const told = await page.locator(".mark-form .wrong").innerText();
  await page.keyboard.press("Enter");
  await page.waitForTimeout(400);
  const open = await page.locator(".mark-form").count();
  await throwAway();
  return { told, open, marks: (await marks()).length - before };
}

async function related() {
  const { findings, parts } = await walk(page);
  const whole = (id) => parts.find((it) => it.id === id)?.whole;
  const finding = findings.find((it) => whole(it.part) !== it.part && !findings.some((other) => other.tag === it.tag && other.part === whole(it.part)));
  const photo = no + 2;
  await saved(page, () => say(page, photo, [{ do: "parts", was: [], to: [whole(finding.part)] }]));
  await draw(photo, [[40, 40], [50, 50]]);
  await word(finding.term);
  const asked = await page.locator(".mark-form .same").first().innerText();
  const choices = await page.locator('[name="one"]').evaluateAll((all) => all.map((it) => it.value));
  await throwAway();
  return { finding: finding.id, asked, choices };
}

async function joined() {
  const own = (await marks()).findIndex((it) => it.region);
  await go(page, no);
  await page.locator(".mark-button").first().click();
  await page.locator('[data-key="act-words"]').click();
  await page.fill("#form-note", "a note typed here");
  const other = await context.newPage();
  await other.goto(`${new URL(address).origin}/#piece`);
  await other.waitForSelector("#head h1");
  const was = (await marks())[own];
  await say(other, no, [{ do: "replace", was, mark: { ...was, level: was.level === 4 ? 3 : 4 } }]);
  await until(other, "all saved");
  await other.close();
  await page.waitForFunction(async ([no, n, level]) => (await import("/assets/store.mjs")).store.photo(no).said.marks[n].level !== level, [no, own, was.level], { timeout: 9000 });
  const before = (await marks()).length;
  await saved(page, () => page.locator(".foot .first").click());
  const all = await marks();
  return { was: was.level, note: all[own].note, level: all[own].level, further: all.length - before, focus: await page.evaluate(() => document.activeElement !== document.body) };
}

async function twice() {
  await goTo(page, "#piece");
  const said = async () => (await walk(page)).photos.filter((it) => it.shoot === wishes.shoot).flatMap((it) => it.said.marks).filter((it) => it.finding).length;
  await saved(page, () => page.keyboard.press("t"));
  await goTo(page, `#again/${wishes.shoot}`);
  await page.waitForSelector(".states button");
  const before = await said();
  await saved(page, () => page.locator(".states button").nth(1).dblclick());
  const double = (await said()) - before;
  await page.waitForTimeout(500);
  await saved(page, () => page.locator(".states button").nth(1).click());
  const once = (await said()) - before - double;
  await page.waitForTimeout(500);
  await page.keyboard.down("2");
  for (let n = 0; n < 4; n += 1) await page.keyboard.down("2");
  await page.keyboard.up("2");
  await until(page, "all saved");
  await page.waitForTimeout(400);
  return { double, once, held: (await said()) - before - double - once };
}

async function onPhone() {
  const phone = await open({ viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true, deviceScaleFactor: 2 });
  const hand = phone.page;
  const touch = await fingers(hand);
  const photo = no + 3;
  await go(hand, photo);
  await hand.locator('[data-key="card"]').scrollIntoViewIfNeeded();
  await hand.locator('[data-key="card"]').tap();
  const out = {};
  await hand.waitForTimeout(500);
  for (const point of [[20, 20], [60, 20], [60, 60], [20, 60]]) {
    await hand.touchscreen.tap(...(await place(hand, point)));
    await hand.waitForTimeout(450);
  }
  await until(hand, "all saved");
  out.place = await hand.evaluate(() => location.hash);
  out.lists = await hand.locator(".choices:not([hidden])").count();
  out.scale = Boolean((await saidOf(hand, photo)).scale);
  const small = async (route) => {
    await goTo(hand, route);
    await hand.waitForTimeout(300);
    return hand.evaluate(() => {
      const all = [...document.querySelectorAll("main button, main a, main select, main summary, main label:has(input), .line button, #head select, .photo button, .photo a, .photo summary, .photo select")];
      const seen = all.filter((it) => it.getClientRects().length && !it.closest("svg, [hidden]") && getComputedStyle(it).visibility !== "hidden");
      return seen.filter((it) => it.getBoundingClientRect().height < 43.5).map((it) => `${it.tagName} ${it.className} ${it.textContent.slice(0, 30)} ${Math.round(it.getBoundingClientRect().height)}`);
    });
  };
  out.small = { piece: await small("#piece"), part: await small("#part/top"), picture: await small(`#picture/${photo}`) };
  await go(hand, photo);
  await hand.locator("[data-tool=spot]").tap();
  await hand.touchscreen.tap(...(await place(hand, [50, 50])));
  await hand.waitForSelector(".mark-form");
  out.form = await hand.locator(".word-field input").inputValue();
  await hand.locator(".word-field input").fill("scratch");
  await hand.locator(".word-list li").first().tap();
  await hand.waitForTimeout(500);
  out.small.form = await hand.evaluate(() => [...document.querySelectorAll(".mark-form .levels label, .mark-form summary, .mark-form button")].filter((it) => it.getClientRects().length && it.getBoundingClientRect().height < 43.5).map((it) => it.textContent.slice(0, 30)));
  await goTo(hand, "#piece");
  const pick = hand.locator(".sheet-of .pick").nth(7);
  await pick.scrollIntoViewIfNeeded();
  await hand.waitForTimeout(400);
  const [before, box] = [await pick.evaluate((it) => it.getBoundingClientRect().top), await pick.boundingBox()];
  await hand.touchscreen.tap(box.x + box.width / 2, box.y + box.height / 2);
  await hand.waitForTimeout(400);
  out.steady = Math.round((await pick.evaluate((it) => it.getBoundingClientRect().top)) - before);
  await phone.context.close();
  return out;
}

const result = {};
const steps = { next, measured, long, related, joined, twice, phone: onPhone, begun };
for (const [name, step] of Object.entries(steps)) result[name] = await step().catch((error) => ({ failed: String(error.stack).slice(0, 500) }));
result.errors = [...seen.console].sort();
await browser.close();
console.log(JSON.stringify(result));
process.exit(0);
