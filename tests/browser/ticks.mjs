// Uses shot lists as one does in a shed, and prints them.
//
//     node ticks.mjs PAGE...
//
// The first page is ticked by tapping beside its second box, loaded again, cleared; then the same where storage is
// forbidden. Every page is printed on A4 and Letter. Prints one JSON object; judges nothing.

import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { basename, join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

import { start } from "./chrome.mjs";

const pages = process.argv.slice(2).map((it) => pathToFileURL(resolve(it)).href);
const phone = { viewport: { width: 360, height: 800 }, isMobile: true, hasTouch: true };
const out = mkdtempSync(join(tmpdir(), "shotlist-"));
const browser = await start();
try {
  const result = {
    ticks: await ticks(pages[0], pages[1]),
    without_storage: await withoutStorage(pages[0]),
    smallest_target_px: await smallestTarget(pages[0]),
    paper: await paper(),
  };
  console.log(JSON.stringify(result, null, 1));
} finally {
  await browser.close();
  rmSync(out, { recursive: true });
}

function ticked(page) {
  return page.evaluate(() => [...document.querySelectorAll("input:checked")].map((it) => it.id));
}

/** Taps the words of the second line, far from its box. */
async function tap(page) {
  const line = page.locator("main li:has(input)").nth(1);
  await line.scrollIntoViewIfNeeded();
  const box = await line.boundingBox();
  await page.touchscreen.tap(box.x + box.width * 0.8, box.y + box.height * 0.7);
  // A tap becomes a click a moment later; on a busy machine, much later.
  await page.waitForFunction(() => document.querySelector("input:checked"));
}

async function ticks(address, other) {
  const context = await browser.newContext(phone);
  const page = await context.newPage();
  await page.goto(address);
  await tap(page);
  const after_tap = await ticked(page);
  // Chromium writes what a page keeps a moment later; a page that is left at once may find it empty.
  await page.waitForTimeout(1000);
  await page.reload();
  const after_reload = await ticked(page);
  const count = await page.textContent("#count");
  const kept = await page.textContent("#kept");
  await page.goto(other);
  const other_page = await ticked(page);
  await page.goto(address);
  await page.tap("#clear");
  await page.reload();
  const after_clear = await ticked(page);
  await context.close();
  return { after_tap, after_reload, count, kept, other_page, after_clear };
}

async function withoutStorage(address) {
  const context = await browser.newContext(phone);
  await context.addInitScript(() => {
    const forbidden = () => {
      throw new DOMException("forbidden", "SecurityError");
    };
    Object.defineProperty(window, "localStorage", { get: forbidden });
  });
  const page = await context.newPage();
  await page.goto(address);
  await tap(page);
  const result = { after_tap: await ticked(page), kept: await page.textContent("#kept") };
  await context.close();
  return result;
}

/** The shorter side of the smallest thing that can be tapped, pixels. */
async function smallestTarget(address) {
  const context = await browser.newContext(phone);
  const page = await context.newPage();
  await page.goto(address);
  await tap(page);
  const sides = await page.evaluate(() =>
    [...document.querySelectorAll("input, label, button, a, summary")].map((it) => {
      const box = it.getBoundingClientRect();
      return Math.min(box.width, box.height);
    }),
  );
  await context.close();
  return Math.min(...sides);
}

async function paper() {
  const context = await browser.newContext();
  const page = await context.newPage();
  await page.emulateMedia({ media: "print" });
  const sheets = [];
  for (const address of pages) {
    await page.goto(address);
    const sheet = { page: basename(address), ...(await page.evaluate(letters)) };
    for (const format of ["A4", "Letter"]) {
      const path = join(out, "sheet.pdf");
      await page.pdf({ path, format });
      const facts = execFileSync("pdfinfo", [path], { encoding: "utf8" });
      sheet[format] = Number(/^Pages:\s+(\d+)/m.exec(facts)[1]);
    }
    sheets.push(sheet);
  }
  await context.close();
  return sheets;
}

/** Runs inside the page: the smallest letters on it, and how many boxes are to be seen. */
function letters() {
  const words = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  let smallest = Infinity;
  while (words.nextNode()) {
    const parent = words.currentNode.parentElement;
    if (!words.currentNode.data.trim() || !parent.getClientRects().length) continue;
    smallest = Math.min(smallest, parseFloat(getComputedStyle(parent).fontSize));
  }
  const boxes = [...document.querySelectorAll("input")].filter((it) => it.getClientRects().length);
  return { smallest_pt: smallest * 0.75, boxes: boxes.length };
}
