// Draws a box round what is SEEN: a magenta rectangle in each of some pictures, found in the pixels of a screenshot and not by the page's own reckoning.
//
//     node mark_turns.mjs ADDRESS NO...
//
// ADDRESS: what `asfound mark` prints. Prints one JSON object {photo no: {saved, seen, kind, pixel}}: the region as saved, the rectangle on the
// screen in pixels, and what one screen pixel is in percent; `pieces`: for which piece each saving said that it was; judges nothing.

import { start } from "./chrome.mjs";
import { go, lastRegion, openPicture, pixel, say, tool } from "./mark_hands.mjs";

const [address, ...numbers] = process.argv.slice(2);

/** Left, top, right and bottom of what is magenta in a PNG of the page; runs in the page, which has the decoder. */
async function magenta(png) {
  const bytes = Uint8Array.from(atob(png), (it) => it.charCodeAt(0));
  const image = await createImageBitmap(new Blob([bytes], { type: "image/png" }));
  const paper = new OffscreenCanvas(image.width, image.height).getContext("2d");
  paper.drawImage(image, 0, 0);
  const { data } = paper.getImageData(0, 0, image.width, image.height);
  const edge = [Infinity, Infinity, -Infinity, -Infinity];
  for (let n = 0; n < data.length; n += 4) {
    if (data[n] < 190 || data[n + 1] > 110 || data[n + 2] < 190) continue;
    const [x, y] = [(n / 4) % image.width, Math.floor(n / 4 / image.width)];
    edge[0] = Math.min(edge[0], x);
    edge[1] = Math.min(edge[1], y);
    edge[2] = Math.max(edge[2], x + 1);
    edge[3] = Math.max(edge[3], y + 1);
  }
  return edge;
}

const browser = await start();
try {
  const { page, errors } = await openPicture(browser, address, Number(numbers[0]));
  const pieces = new Set();
  page.on("request", (it) => it.url().endsWith("/say") && pieces.add(it.headers()["asfound-piece"] ?? "none"));
  const out = {};
  for (const no of numbers) {
    await go(page, Number(no));
    const png = (await page.screenshot()).toString("base64");
    const seen = await page.evaluate(magenta, png);
    await tool(page, "box");
    await page.mouse.move(seen[0], seen[1]);
    await page.mouse.down();
    await page.mouse.move(seen[2], seen[3], { steps: 3 });
    await page.mouse.up();
    await say(page, "dent", 1);
    out[no] = { saved: await lastRegion(page, Number(no)), seen, pixel: await pixel(page) };
  }
  console.log(JSON.stringify({ photos: out, pieces: [...pieces], errors }));
} finally {
  await browser.close();
}
