// Asks the page for the door for estimates, then taps it as a buyer does.
//
//     node doorstep.mjs PAGE CASES.json OUTDIR
//
// CASES is a list of {given, offer}. Prints one JSON object; it judges nothing: the caller compares.

import { mkdirSync, readFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

import { fresh as load, start } from "./chrome.mjs";

const [, , pagePath, casesPath, outDir] = process.argv;
const address = pathToFileURL(resolve(pagePath)).href;
const cases = JSON.parse(readFileSync(casesPath, "utf8"));
const seen = { requests: new Set(), console: new Set() };
mkdirSync(outDir, { recursive: true });
const browser = await start();
try {
  const result = { answers: [], screens: [] };
  for (const width of [360, 430]) {
    for (const colorScheme of ["light", "dark"]) {
      const page = await fresh({ viewport: { width, height: 780 }, colorScheme, hasTouch: true });
      if (!result.answers.length) {
        result.answers = await page.evaluate((cases) => cases.map((it) => globalThis.asfoundDoorstep.estimate(it.given, it.offer)), cases);
      }
      result.screens.push(await walk(page, `${width}-${colorScheme}`));
      await page.context().close();
    }
  }
  result.requests = [...seen.requests];
  result.console_errors = [...seen.console];
  console.log(JSON.stringify(result));
} finally {
  await browser.close();
}

function fresh(options) {
  return load(browser, address, { reducedMotion: "reduce", ...options }, seen);
}

/** Taps the second answer of every row, types, turns the screen to the seller, looks at what is private, and opens the page again. */
async function walk(page, name) {
  for (const row of await page.locator(".row").all()) await row.locator("button").nth(1).tap();
  await page.locator("#asks").fill("60");
  await page.locator("#note").fill('It was "my aunt\'s" \\ \u00e4\u20ac\ud83e\ude91\nand stood in the hall');
  await page.locator("#title").fill("a piece at the door");
  await page.screenshot({ path: join(outDir, `${name}-walk.png`), fullPage: true });
  await page.locator("#to-mine").tap();
  await page.locator("#sold-leave").fill("140");
  await page.locator("#sold-clean_wax").fill("220.50");
  const mine = await page.locator("#mine-text").innerText();
  await page.screenshot({ path: join(outDir, `${name}-mine.png`), fullPage: true });
  await page.locator("#to-seller").tap();
  const seller = await page.locator("body").innerText();
  await page.screenshot({ path: join(outDir, `${name}-seller.png`), fullPage: true });
  const file = await page.evaluate(() => globalThis.asfoundDoorstep.file());
  // Chromium writes what a page keeps a moment later; a page that is left at once may find it empty.
  await page.waitForTimeout(1000);
  await page.reload({ waitUntil: "load" });
  const again = await page.evaluate(() => globalThis.asfoundDoorstep.file());
  const small = await page.evaluate(() => [...document.querySelectorAll("button, input, textarea")].filter((it) => {
    const box = it.getBoundingClientRect();
    return box.height > 0 && (box.height < 44 || box.width < 44);
  }).map((it) => it.textContent || it.id));
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  page.once("dialog", (it) => it.accept());
  await page.locator("#clear").tap();
  const forgotten = await page.evaluate(() => globalThis.asfoundDoorstep.file());
  return { name, mine, seller, forgotten, file, kept: again === file, said_kept: await page.locator("#kept").innerText(), small, wide };
}
