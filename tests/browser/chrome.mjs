// Opens the machine's own Chromium, with nothing of its own on the net.

import { createRequire } from "node:module";
import { existsSync, readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const here = dirname(fileURLToPath(import.meta.url));
const folder = process.env.ASFOUND_NODE ?? join(here, "../../target/reference/node");
const require = createRequire(join(folder, "here.js"));

const { chromium } = require("playwright-core");

/** The source of axe-core, to be run inside a page. */
export const axeSource = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");

const FLAGS = [
  "--no-sandbox",
  "--disable-gpu",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
];

/** Starts the browser. */
export async function start() {
  const program = ["/usr/bin/chromium", "/usr/bin/chromium-browser"].find(existsSync);
  if (!program) throw new Error("no chromium: install the package chromium");
  return chromium.launch({ executablePath: program, args: FLAGS });
}

/** Whether an address lies on this machine and needs no request. */
export function isLocal(address) {
  return /^(file|data|blob|about):/.test(address);
}

/** Opens the page as `fresh` does, and scrolls through it. */
export async function open(browser, address, options, seen) {
  const page = await fresh(browser, address, options, seen);
  await walkDown(page);
  return { context: page.context(), page };
}

/**
 * Opens the page in a context of its own; `before` runs in it first. Requests to anywhere else are written down in `seen.requests`
 * and not let out, complaints in `seen.console`.
 */
export async function fresh(browser, address, options, seen, before) {
  const context = await browser.newContext(options);
  if (before) await context.addInitScript(before);
  await context.route((url) => !isLocal(url.href), (route) => route.abort());
  const page = await context.newPage();
  // A busy machine takes its time; what never comes is still told.
  page.setDefaultTimeout(120000);
  page.on("request", (it) => isLocal(it.url()) || seen.requests.add(it.url()));
  page.on("console", (it) => it.type() === "error" && seen.console.add(it.text()));
  page.on("pageerror", (it) => seen.console.add(String(it)));
  await page.goto(address, { waitUntil: "load" });
  return page;
}

/** Scrolls through the page once, so that pictures that load late are there, and back to the top. */
async function walkDown(page) {
  const { height, step } = await page.evaluate(() => ({
    height: document.documentElement.scrollHeight,
    step: innerHeight,
  }));
  for (let y = 0; y < height; y += step) await page.evaluate((y) => scrollTo(0, y), y);
  await page.evaluate(() => scrollTo(0, 0));
  await page.waitForFunction(() => [...document.images].every((it) => it.complete));
}
