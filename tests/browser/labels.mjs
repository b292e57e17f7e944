// Measures the labels of a page as they are printed on A4 with margins of 8 mm.
//
//     node labels.mjs PAGE
//
// Prints one JSON object: of each label its height in mm, and the texts of which some is not to be seen. It judges nothing.

import { resolve } from "node:path";
import { pathToFileURL } from "node:url";

import { open, start } from "./chrome.mjs";

const PX_PER_MM = 96 / 25.4;
const A4 = { width: Math.floor(194 * PX_PER_MM), height: Math.floor(281 * PX_PER_MM) };

const seen = { requests: new Set(), console: new Set() };
const browser = await start();
try {
  const address = pathToFileURL(resolve(process.argv[2])).href;
  const { page } = await open(browser, address, { viewport: A4 }, seen);
  await page.emulateMedia({ media: "print" });
  const labels = await page.evaluate((perMm) => {
    const cut = (label) => {
      const frame = label.getBoundingClientRect();
      const out = [...label.querySelectorAll("h1, p, svg")].filter((it) => {
        const box = it.getBoundingClientRect();
        const outside = box.bottom > frame.bottom + 0.5 || box.right > frame.right + 0.5;
        const hidden = it.scrollHeight > it.clientHeight + 1 && getComputedStyle(it).overflowY !== "visible";
        return outside || hidden;
      });
      return out.map((it) => it.textContent.trim());
    };
    return [...document.querySelectorAll(".label")].map((it) => ({
      height_mm: it.getBoundingClientRect().height / perMm,
      cut: cut(it),
    }));
  }, PX_PER_MM);
  console.log(JSON.stringify({ labels, console_errors: [...seen.console] }));
} finally {
  await browser.close();
}
