// Opens the marking page and a plain page of the same pictures, by turns, in one browser, and draws among many marks.
//
//     node page.mjs ADDRESS PEER TURNS
//
// Prints one JSON object; milliseconds: first and largest paint of both (medians), the time until the page's drawing of the piece is there, the answer to
// /walk, one save, the longest task while drawing, by the clock.

import { start } from "../browser/chrome.mjs";
import { manyMarks } from "../browser/mark_rounds.mjs";

const [address, peer, turns] = process.argv.slice(2);
const browser = await start();
const median = (all) => all.sort((a, b) => a - b)[Math.floor(all.length / 2)];

async function visit(url, ready) {
  const context = await browser.newContext({ viewport: { width: 1280, height: 900 } });
  const page = await context.newPage();
  await page.addInitScript(() => {
    window.largest = 0;
    new PerformanceObserver((list) => list.getEntries().forEach((it) => (window.largest = it.startTime))).observe({ type: "largest-contentful-paint", buffered: true });
  });
  await page.goto(url, { waitUntil: "load" });
  const at = await page.waitForFunction((ready) => document.querySelector(ready) && performance.now(), ready).then((it) => it.jsonValue());
  await page.waitForTimeout(1200);
  const seen = await page.evaluate(() => ({ first: performance.getEntriesByName("first-contentful-paint")[0].startTime, largest: window.largest }));
  const waited = url === address ? await page.evaluate(asks) : null;
  await context.close();
  return { ...seen, ready: at, ...waited };
}

/** Runs in the page: how long the program takes for the walk, and to save a note. */
async function asks() {
  const timed = async (job) => {
    const from = performance.now();
    await job();
    return performance.now() - from;
  };
  let walk;
  const walk_ms = await timed(async () => (walk = await (await fetch("/walk")).json()));
  const was = walk.photos[0].said.note;
  const letter = { photo: walk.photos[0].no, changes: [{ do: "note", was, to: `at ${performance.timeOrigin}` }], mine: false };
  const body = JSON.stringify(letter);
  const save_ms = await timed(() => fetch("/say", { method: "POST", headers: { "content-type": "application/json" }, body }));
  return { walk_ms, save_ms, photos: walk.photos.length };
}

try {
  const [ours, theirs] = [[], []];
  for (let n = 0; n < Number(turns); n += 1) {
    ours.push(await visit(address, "#map svg"));
    theirs.push(await visit(peer, "img"));
  }
  const of = (all) => Object.fromEntries(Object.keys(all[0]).map((key) => [key, median(all.map((it) => it[key]))]));
  const context = await browser.newContext({ viewport: { width: 1280, height: 800 } });
  const page = await context.newPage();
  await page.goto(address);
  const drawing = await manyMarks(page, 500, 200);
  console.log(JSON.stringify({ ours: of(ours), peer: of(theirs), drawing }));
} finally {
  await browser.close();
}
