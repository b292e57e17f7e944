// The marking page by keys alone.

import { at, open, saidOf, saved } from "./mark_desk.mjs";

/** Which parts of the drawing the arrow keys reach from the one that Tab comes to. */
async function arrows(page) {
  const drawn = await page.evaluate(() => [...document.activeElement.closest("svg").querySelectorAll("a.part")].map((it) => it.dataset.part));
  const start = await page.evaluate(() => document.activeElement.dataset.part);
  const found = new Set([start]);
  for (const part of found) {
    for (const key of ["ArrowUp", "ArrowDown", "ArrowLeft", "ArrowRight"]) {
      await page.evaluate((it) => document.activeElement.closest("svg").querySelector(`a.part[data-part="${it}"]`).focus(), part);
      await page.keyboard.press(key);
      found.add(await page.evaluate(() => document.activeElement.dataset.part));
    }
  }
  return { drawn: drawn.length, not_reached: drawn.filter((it) => !found.has(it)) };
}

/** From the start of the page to a saved statement. */
export async function keyboard(wanted) {
  const { page, context } = await open();
  const presses = [];
  const press = async (key) => { presses.push(key); await page.keyboard.press(key); };
  const focused = () => page.evaluate(() => { const it = document.activeElement; return { key: it.dataset.key ?? it.dataset.part ?? "", part: it.dataset.part ?? null, text: (it.getAttribute("aria-label") ?? it.textContent ?? "").trim().slice(0, 60), body: it === document.body }; });
  const tabTo = async (fits) => { for (let n = 0; n < 120; n += 1) { await press("Tab"); if (fits(await focused())) return true; } return false; };
  const onMap = await tabTo((it) => it.part !== null);
  const reachable = await arrows(page);
  await tabTo((it) => it.key === "list" || it.key === `list ${wanted.id}`);
  if ((await focused()).key === "list") await tabTo((it) => it.key === `list ${wanted.id}`);
  const reached = (await focused()).key;
  await press("Enter");
  await page.waitForFunction(() => document.body.dataset.route === "part");
  await page.waitForTimeout(200);
  const tag = await page.evaluate(() => document.querySelector('[data-key^="say "][aria-pressed=false]').dataset.key.slice(4));
  const said = await tabTo((it) => it.key === `say ${tag}`);
  await saved(page, () => press("Enter"));
  const focus_lost = (await focused()).body;
  const part = decodeURIComponent(await page.evaluate(() => location.hash.slice("#part/".length)));
  const photo = Number(/\d+/.exec(await page.locator("#place .preview figcaption b").innerText())[0]);
  const marks = (await saidOf(page, photo)).marks.filter((it) => it.part === part && it.tag === tag);
  await context.close();
  return { presses: presses.length, onMap, ...reachable, reached, part, tag, said, photo, marks, focus_lost };
}

/** Esc steps out, Back goes back. */
export async function escape(page, photo, part) {
  await at(page, "#piece");
  await at(page, `#part/${part.id}`);
  await at(page, `#picture/${photo}?part=${part.id}`);
  await page.waitForTimeout(500);
  const hashes = [];
  for (let n = 0; n < 2; n += 1) {
    await page.keyboard.press("Escape");
    await page.waitForTimeout(400);
    hashes.push(await page.evaluate(() => location.hash));
  }
  const back = [];
  for (let n = 0; n < 2; n += 1) {
    await page.goBack();
    await page.waitForTimeout(400);
    back.push(await page.evaluate(() => [location.hash, document.body.dataset.route].join(" ")));
  }
  return { escape: hashes, back };
}

/** The sheet of keys. */
export async function sheet(page) {
  await at(page, "#piece");
  await page.keyboard.press("?");
  await page.waitForSelector("#keys[open]");
  const keys = await page.locator("#keys kbd").count();
  await page.keyboard.press("Escape");
  return { keys, shut: (await page.locator("#keys[open]").count()) === 0 };
}

