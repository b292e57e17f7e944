// Pastes messages into the page that checks dossiers, before a dossier is chosen and after.
//
//     node check_letter.mjs PAGE CASES.json
//
// CASES is a list of {folder, letter}. Prints one JSON object; it judges nothing: the caller compares.

import { readFileSync } from "node:fs";
import { resolve } from "node:path";
import { pathToFileURL } from "node:url";

import { isLocal, start } from "./chrome.mjs";

const [, , pagePath, casesPath] = process.argv;
const address = pathToFileURL(resolve(pagePath)).href;
const requests = new Set();
const complaints = new Set();
const browser = await start();
try {
  const context = await browser.newContext({ reducedMotion: "reduce" });
  await context.route((url) => !isLocal(url.href), (route) => route.abort());
  const page = await context.newPage();
  page.on("request", (it) => isLocal(it.url()) || requests.add(it.url()));
  page.on("console", (it) => it.type() === "error" && complaints.add(it.text()));
  page.on("pageerror", (it) => complaints.add(String(it)));
  const cases = [];
  for (const { folder, letter } of JSON.parse(readFileSync(casesPath, "utf8"))) {
    await page.goto(address, { waitUntil: "load" });
    await page.locator("#letter").fill(letter);
    await choose(page, folder);
    const before = await seen(page);
    await page.goto(address, { waitUntil: "load" });
    await choose(page, folder);
    await page.locator("#letter").fill(letter);
    await page.waitForFunction(() => document.getElementById("status").textContent.startsWith("With the letter"));
    cases.push({ before, after: await seen(page) });
  }
  console.log(JSON.stringify({ cases, requests: [...requests], console_errors: [...complaints] }, null, 1));
} finally {
  await browser.close();
}

async function choose(page, folder) {
  await page.locator("#folder").setInputFiles(folder);
  await page.waitForFunction(() => /^(Checked|The check broke|There is|This is)/.test(document.getElementById("status").textContent), null, { timeout: 60000 });
}

function seen(page) {
  return page.evaluate(() => ({
    verdict: document.getElementById("verdict").textContent,
    meaning: document.getElementById("meaning").textContent,
    beside: [...document.querySelectorAll("#beside > li")].map((it) => it.textContent),
    said: document.getElementById("letter-said").textContent,
    letter: document.querySelector('#checks > li[data-code="letter"]')?.dataset.how ?? null,
  }));
}
