// A window at the marking page, and what every walk through it does: go to a place, wait until all is saved, ask what the file says.

import { start } from "./chrome.mjs";

/** Where the page is: set by `visit`. */
let address = "";
let browser = null;

/** Requests to anywhere else, and errors of the console, of all windows. */
export const seen = { requests: new Set(), console: new Set() };

/** Starts the browser; `place` is the address of the page, with its secret if it has one. */
export async function visit(place) {
  address = place;
  browser = await start();
  return browser;
}

/** A window of its own, with no memory of others, at the page. */
export async function open(options = {}) {
  const context = await browser.newContext({ viewport: { width: 1280, height: 900 }, ...options });
  const page = await context.newPage();
  watch(page);
  await page.goto(address);
  await page.waitForSelector("#head h1");
  return { context, page };
}

/** Writes down requests to elsewhere and errors; those of a cut line and of refusals belong to the walk. */
export function watch(page) {
  page.on("request", (it) => it.url().startsWith(new URL(address).origin) || seen.requests.add(it.url()));
  page.on("pageerror", (it) => seen.console.add(String(it)));
  page.on("console", (it) => {
    const cut = /ERR_INTERNET_DISCONNECTED|ERR_CONNECTION|ERR_EMPTY_RESPONSE|status of (409|422)/.test(it.text());
    if (it.type() === "error" && !cut) seen.console.add(`${it.text()} ${it.location().url}`);
  });
}

/** Goes to a place of the page. */
export async function at(page, hash) {
  await page.evaluate((it) => (location.hash = it), hash);
  await page.waitForFunction((it) => document.body.dataset.route === it.slice(1).split("/")[0], hash, { polling: 50 });
  await page.waitForTimeout(150);
}

export const walk = (page) => page.evaluate(() => fetch("/walk").then((it) => it.json()));
export const saidOf = async (page, no) => (await walk(page)).photos.find((it) => it.no === no).said;
export const words = (page) => page.locator("#saving").innerText();

/** Waits until the line says `text`; gives the time, ms. */
export async function until(page, text) {
  const before = Date.now();
  await page.waitForFunction((it) => document.getElementById("saving")?.textContent.startsWith(it), text, { timeout: 20000, polling: 50 });
  return Date.now() - before;
}

/** Does `act` and waits until all is saved; gives the time from the act on, ms. */
export async function saved(page, act) {
  const before = Date.now();
  await act();
  await page.waitForFunction(() => document.getElementById("saving").textContent !== "all saved", null, { timeout: 3000, polling: 10 }).catch(() => {});
  await until(page, "all saved");
  return Date.now() - before;
}

