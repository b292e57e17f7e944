// Looks at a report as its readers do: on a phone and on a desk, light and dark, without scripts, on paper, by keyboard, by finger.
//
//     node look.mjs PAGE OUTDIR
//
// Writes screenshots and PDFs into OUTDIR and prints one JSON object. It judges nothing: the caller compares.

import { mkdirSync } from "node:fs";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

import { axeSource, open, start } from "./chrome.mjs";
import { onPaper } from "./paper.mjs";
import { sliders } from "./sliders.mjs";

const RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];
const WIDTHS = [360, 1280];
const SLICE = 8000; // px; Chromium draws no picture higher than 16384 px

const [, , pagePath, outDir] = process.argv;
if (!pagePath || !outDir) {
  console.error("usage: node look.mjs PAGE OUTDIR");
  process.exit(2);
}
mkdirSync(outDir, { recursive: true });
const address = pathToFileURL(resolve(pagePath)).href;

const seen = { requests: new Set(), console: new Set() };
const violations = new Map();
const overflow = {};
const screenshots = [];
let scripted;
const enlarged = new Set();

const browser = await start();
try {
  for (const width of WIDTHS) {
    for (const colorScheme of ["light", "dark"]) {
      const { context, page } = await open(browser, address, screen(width, colorScheme), seen);
      const name = `${width}-${colorScheme}`;
      const over = await tooWide(page, width);
      if (!overflow[width] || over.px > overflow[width].px) overflow[width] = over;
      await audit(page, name);
      screenshots.push(...(await slices(page, name, width)));
      scripted ??= await contents(page);
      for (const it of await tooLarge(page)) enlarged.add(`${name}: ${it}`);
      await context.close();
    }
  }
  const plain = await open(browser, address, { javaScriptEnabled: false }, seen);
  const without = await contents(plain.page);
  await plain.context.close();

  const result = {
    violations: [...violations.values()].sort((a, b) => (a.id < b.id ? -1 : 1)),
    horizontal_overflow: overflow,
    requests: [...seen.requests].sort(),
    console_errors: [...seen.console].sort(),
    enlarged: [...enlarged].sort(),
    h1: scripted.h1,
    images: scripted.images,
    broken_images: scripted.broken,
    without_script: {
      images: without.images,
      broken_images: without.broken,
      words: without.words.length,
      words_only_with_script: missing(scripted.words, without.words),
    },
    paper: await onPaper(browser, address, outDir, seen),
    sliders: await sliders(browser, address, seen),
    screenshots,
  };
  console.log(JSON.stringify(result, null, 1));
} finally {
  await browser.close();
}

function screen(width, colorScheme) {
  const phone = width < 600;
  return {
    colorScheme,
    viewport: { width, height: 800 },
    isMobile: phone,
    hasTouch: phone,
    reducedMotion: "reduce",
  };
}

/** By how much the page is wider than the screen, and which elements stick out. */
async function tooWide(page, width) {
  return page.evaluate((width) => {
    const px = Math.max(0, document.documentElement.scrollWidth - width);
    const clipped = (it) => {
      for (let up = it.parentElement; up && up !== document.body; up = up.parentElement) {
        if (getComputedStyle(up).overflowX !== "visible") return true;
      }
      return false;
    };
    const out = [...document.body.querySelectorAll("*")].filter((it) => {
      const box = it.getBoundingClientRect();
      return box.width > 0 && box.right > width + 0.5 && !clipped(it);
    });
    const name = (it) => it.tagName.toLowerCase() + (it.id && `#${it.id}`) + (it.classList[0] ? `.${it.classList[0]}` : "");
    return { px, elements: out.slice(0, 5).map(name) };
  }, width);
}

/** Pictures that are shown larger than they are. */
async function tooLarge(page) {
  return page.evaluate(() =>
    [...document.images]
      .filter((it) => it.naturalWidth > 0 && it.getBoundingClientRect().width > it.naturalWidth + 1)
      .map((it) => it.alt.slice(0, 60)),
  );
}

/** Runs axe-core; one entry a rule, with the screens on which it was broken. */
async function audit(page, name) {
  await page.evaluate(axeSource);
  const found = await page.evaluate(
    (values) => globalThis.axe.run(document, { runOnly: { type: "tag", values }, resultTypes: ["violations"] }),
    RULES,
  );
  for (const it of found.violations) {
    const entry = violations.get(it.id) ?? { id: it.id, impact: it.impact, help: it.help, screens: [], nodes: 0, where: [] };
    entry.screens.push(name);
    entry.nodes = Math.max(entry.nodes, it.nodes.length);
    if (!entry.where.length) {
      entry.where = it.nodes.slice(0, 5).map((node) => `${node.target.join(" ")}: ${node.failureSummary?.split("\n")[1]?.trim() ?? ""}`);
    }
    violations.set(it.id, entry);
  }
}

async function slices(page, name, width) {
  const height = await page.evaluate(() => Math.ceil(document.documentElement.scrollHeight));
  const files = [];
  for (let y = 0; y < height; y += SLICE) {
    const path = join(outDir, `${name}-${files.length + 1}.png`);
    const clip = { x: 0, y, width, height: Math.min(SLICE, height - y) };
    await page.screenshot({ path, fullPage: true, clip });
    files.push(path);
  }
  return files;
}

/** What a reader gets: pictures that have loaded, words that have a place on the page. */
async function contents(page) {
  return page.evaluate(() => {
    const images = [...document.images];
    return {
      h1: document.querySelectorAll("h1").length,
      images: images.length,
      broken: images.filter((it) => !it.complete || it.naturalWidth === 0).length,
      words: document.body.innerText.split(/\s+/).filter(Boolean),
    };
  });
}

function missing(all, some) {
  const left = new Map();
  for (const word of some) left.set(word, (left.get(word) ?? 0) + 1);
  return all.filter((word) => {
    const n = left.get(word) ?? 0;
    left.set(word, n - 1);
    return n <= 0;
  }).length;
}
