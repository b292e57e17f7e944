// What the marking page offers in an opened picture, in a real browser: a card, a side laid in another picture. Prints one JSON object; judges nothing.
//
//     node mark_offers.mjs ADDRESS WISHES.json
//
// WISHES.json: {"card", "side", "laid"}: the picture with a card; the one that shows the top, which is laid in picture `laid`. Of the
// first two nothing is said.
//
//   card    {bar, before, after, undone}: what is asked; the scale that is said before a nod, after it, and once that is taken back
//   no      {bars, said}: after "No": how often it is asked, here and when one comes back; the scale that is said
//   side    {bar, before, after, undone}: the faces that are said
//   right   {how, said}: of a side whose corner was pulled first: how it is said to have come about; before the nod, the faces that are said
//   late    {late, bars, said}: of an offer that comes after the person laid a card: how many cards it has, whether it asks, and the scale after "Y"
//   phone   {bar, said, smallest, covers}: a finger's "Yes, so"; how much of the stage's height the bar covers
//   sizes   [{width, what, axe, overflow, smallest}]
//   errors

import { readFileSync } from "node:fs";
import { axeSource, start } from "./chrome.mjs";
import { axe, drag, go, openPicture, overflow, saved, smallestTarget } from "./mark_hands.mjs";

const [address, path] = process.argv.slice(2);
const wishes = JSON.parse(readFileSync(path, "utf8"));
const browser = await start();
const errors = [];
const LONG = { timeout: 60000 };
const bar = (page) => page.locator(".nod:not([hidden])");
const faces = async (page, no) => (await saved(page, no)).faces ?? [];

/** Opens a picture and waits for what is offered there. */
async function offered(no, options = {}) {
  const it = await openPicture(browser, address, no, options);
  await bar(it.page).waitFor(LONG);
  return it;
}

async function done({ context, errors: wrong }) {
  errors.push(...wrong);
  await context.close();
}

async function undo(page, no) {
  await page.keyboard.press("Control+z");
  return saved(page, no);
}

async function card(no) {
  const it = await offered(no);
  const { page } = it;
  const out = { bar: await bar(page).innerText(), before: (await saved(page, no)).scale };
  await page.keyboard.press("y");
  out.after = (await saved(page, no)).scale;
  out.left = await bar(page).count();
  out.undone = (await undo(page, no)).scale;
  await done(it);
  return out;
}

async function no(no) {
  const it = await offered(no);
  const { page } = it;
  await page.click('[data-key="nod-no"]');
  const bars = [await bar(page).count()];
  await page.evaluate(() => (location.hash = "#piece"));
  await page.waitForTimeout(300);
  await go(page, no);
  await page.waitForTimeout(1500);
  bars.push(await bar(page).count());
  const out = { bars, said: (await saved(page, no)).scale };
  await done(it);
  return out;
}

async function side(no) {
  const it = await offered(no);
  const { page } = it;
  const out = { bar: await bar(page).innerText(), before: await faces(page, no) };
  await page.click('[data-key="nod"]');
  out.after = await faces(page, no);
  out.undone = (await undo(page, no)).faces ?? [];
  await done(it);
  return out;
}

async function right(no) {
  const it = await offered(no);
  const { page } = it;
  await page.click('[data-key="nod-right"]');
  const [from] = await page.evaluate(async (no) => (await fetch(`/offer/${no}/faces`)).json(), no).then((all) => all[0].laid.lie.corners);
  await drag(page, [from, [from[0] + 0.8, from[1] + 0.4]]);
  const said = (await faces(page, no)).length;
  await page.waitForFunction(() => !document.querySelector('[data-key="face-keep"]')?.disabled, null, LONG);
  await page.click('[data-key="face-keep"]');
  const [laid] = await faces(page, no);
  await undo(page, no);
  await done(it);
  return { how: laid?.how, said };
}

async function late(no) {
  const it = await openPicture(browser, address, wishes.laid);
  const { page } = it;
  const mine = { width_mm: 100, height_mm: 50, corners: [[10, 10], [20, 10], [20, 18], [10, 18]] };
  const say = (was, to) => page.evaluate(async ([no, was, to]) => (await import("/assets/store.mjs")).store.change(no, [{ do: "scale", was, to }], "mine"), [no, was, to]);
  let found;
  const looked = new Promise((done) => (found = done));
  let go_on;
  const said = new Promise((done) => (go_on = done));
  await page.route(`**/offer/${no}/card`, async (route) => {
    const response = await route.fetch();
    found((await response.json()).length);
    await said;
    await route.fulfill({ response });
  });
  await go(page, no);
  const late = await looked;
  await say(null, mine);
  await saved(page, no);
  const came = page.waitForResponse(`**/offer/${no}/card`);
  go_on();
  await came;
  await page.waitForTimeout(600);
  await page.keyboard.press("y");
  const out = { late, bars: await bar(page).count(), said: (await saved(page, no)).scale };
  await say(out.said, null);
  await saved(page, no);
  await done(it);
  return out;
}

async function phone(no) {
  const it = await offered(no, { viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true });
  const { page } = it;
  const covers = await page.evaluate(() => document.querySelector(".nod").offsetHeight / document.querySelector(".stage").offsetHeight);
  const inSight = await page.evaluate(() => document.querySelector(".nod").getBoundingClientRect().bottom <= innerHeight);
  const smallest = await smallestTarget(page);
  await page.tap('[data-key="nod"]');
  const said = (await saved(page, no)).scale;
  await page.evaluate(async ([no, was]) => (await import("/assets/store.mjs")).store.change(no, [{ do: "scale", was, to: null }], "back"), [no, said]);
  await saved(page, no);
  await done(it);
  return { said, smallest, covers, inSight };
}

async function sizes() {
  const out = [];
  for (const [width, height, colorScheme] of [[360, 740, "light"], [768, 1024, "dark"], [1280, 800, "light"], [1280, 800, "dark"]]) {
    for (const [what, no] of [["card", wishes.card], ["side", wishes.side]]) {
      const it = await offered(no, { viewport: { width, height }, colorScheme, hasTouch: width < 800 });
      if (process.env.SHOTS) await it.page.screenshot({ path: `${process.env.SHOTS}/${what}-${width}-${colorScheme}.png` });
      out.push({ width, colorScheme, what, axe: await axe(it.page, axeSource), overflow: await overflow(it.page), smallest: await smallestTarget(it.page) });
      await done(it);
    }
  }
  return out;
}

try {
  const result = { card: await card(wishes.card), no: await no(wishes.card), side: await side(wishes.side), right: await right(wishes.side), late: await late(wishes.card), phone: await phone(wishes.card), sizes: await sizes(), errors };
  console.log(JSON.stringify(result));
} finally {
  await browser.close();
}
