// Prints the page on A4 and Letter, and tells which figures a page break cuts.
//
// How: a nearly invisible word is set at the upper and at the lower edge of every `figure`, the page is printed by
// Chromium, and `pdftotext -bbox` tells on which sheet each word came to lie. Two different sheets: the figure is cut.
// Also told: on which sheet each section with an id begins (1 is the first), and how far down each sheet is printed, in percent
// of the room between its upper and lower margin, by `pdftoppm`.
// Limits: only `figure` elements are looked at; a figure higher than a sheet is cut whatever one does, and counted;
// what stands on either side of a break that falls between figures is not judged.

import { execFileSync } from "node:child_process";
import { readFileSync, readdirSync, rmSync } from "node:fs";
import { join } from "node:path";

import { open } from "./chrome.mjs";

const SHEETS = ["A4", "Letter"];

/** Prints on both sheets; `{A4: {path, pages, figures, cut, unseen}, Letter: ...}`. */
export async function onPaper(browser, address, outDir, seen) {
  const result = {};
  for (const format of SHEETS) {
    const { context, page } = await open(browser, address, {}, seen);
    const path = join(outDir, `${format}.pdf`);
    await page.pdf({ path, format, printBackground: true });
    const sections = await page.evaluate(() => [...document.querySelectorAll("section[id]")].map((it) => it.id));
    await page.evaluate(setMarks);
    const begun = join(outDir, `${format}-sections.pdf`);
    await page.pdf({ path: begun, format, printBackground: true });
    const figures = await page.evaluate(setWords);
    const marked = join(outDir, `${format}-marked.pdf`);
    await page.pdf({ path: marked, format, printBackground: true });
    await context.close();
    const first = sheets(begun);
    const starts = Object.fromEntries(sections.map((id, n) => [id, first.findIndex((it) => it.includes(`>zqs${n}zq<`)) + 1]));
    result[format] = { path, pages: sheets(path).length, starts, filled: filled(path, outDir, format), ...cuts(figures, sheets(marked)) };
  }
  return result;
}

/** Runs inside the page: sets a word at the head of every section. */
function setMarks() {
  [...document.querySelectorAll("section[id]")].forEach((section, n) => {
    const it = document.createElement("span");
    it.textContent = `zqs${n}zq`;
    it.style.cssText = "position:absolute;font:2px/2px sans-serif;color:rgb(127 127 127 / 2%);";
    (section.querySelector("h2, h3") ?? section).append(it);
  });
}

/** How far down each sheet is printed, percent; margins of 14 and 15 mm are left out, and what stands in them. */
function filled(pdf, outDir, format) {
  const dpi = 20;
  const grey = () => readdirSync(outDir).filter((it) => it.startsWith(`grey-${format}-`) && it.endsWith(".pgm")).sort();
  // A run before this one may have had more sheets.
  for (const file of grey()) rmSync(join(outDir, file));
  execFileSync("pdftoppm", ["-r", String(dpi), "-gray", pdf, join(outDir, `grey-${format}`)]);
  const files = grey();
  return files.map((file) => {
    const bytes = readFileSync(join(outDir, file));
    const head = bytes.subarray(0, 40).toString("latin1").split(/\s+/);
    const [width, height] = [Number(head[1]), Number(head[2])];
    const pixels = bytes.subarray(bytes.length - width * height);
    const [top, bottom] = [Math.floor((14 / 25.4) * dpi), height - Math.floor((15 / 25.4) * dpi) - 1];
    let last = top;
    for (let y = top; y < bottom; y += 1) {
      if (pixels.subarray(y * width, (y + 1) * width).some((it) => it < 200)) last = y;
    }
    return Math.round((100 * (last - top)) / (bottom - top));
  });
}

/** Runs inside the page: sets the two words of every figure. Returns a name for each. */
function setWords() {
  return [...document.querySelectorAll("figure")].map((figure, n) => {
    if (getComputedStyle(figure).position === "static") figure.style.position = "relative";
    for (const [edge, word] of [["top", `zqa${n}zq`], ["bottom", `zqb${n}zq`]]) {
      const it = document.createElement("span");
      it.textContent = word;
      it.style.cssText =
        "position:absolute;left:0;width:auto;height:auto;margin:0;padding:0;white-space:nowrap;" +
        "font:2px/2px sans-serif;color:rgb(127 127 127 / 2%);" + `${edge}:0`;
      figure.append(it);
    }
    return figure.id || figure.querySelector("figcaption")?.innerText.trim().slice(0, 60) || `figure ${n + 1}`;
  });
}

function sheets(pdf) {
  const xml = execFileSync("pdftotext", ["-bbox", pdf, "-"], {
    encoding: "utf8",
    maxBuffer: 1 << 28,
    stdio: ["ignore", "pipe", "pipe"],
  });
  return xml.split("<page ").slice(1);
}

/** Which figures have their two words on two sheets. */
function cuts(names, sheetTexts) {
  const on = (word) => sheetTexts.findIndex((it) => it.includes(`>${word}<`));
  const cut = [];
  const unseen = [];
  names.forEach((name, n) => {
    const [first, last] = [on(`zqa${n}zq`), on(`zqb${n}zq`)];
    if (first < 0 || last < 0) unseen.push(name);
    else if (first !== last) cut.push(name);
  });
  return { figures: names.length, cut, unseen };
}
