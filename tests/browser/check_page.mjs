// Lets the page that checks dossiers check some, as a reader does: opened from a file, the folder chosen by the button.
//
//     node check_page.mjs PAGE OUTDIR FOLDER...
//
// Prints one JSON object; it judges nothing: the caller compares.

import { mkdirSync } from "node:fs";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

import { axeSource, fresh as load, start } from "./chrome.mjs";

const RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];
const [, , pagePath, outDir, ...folders] = process.argv;
const address = pathToFileURL(resolve(pagePath)).href;
mkdirSync(outDir, { recursive: true });

const seen = { requests: new Set(), console: new Set() };
const browser = await start();
try {
  const result = { folders: [], screens: [], without_ed25519: null, without_crypto: null, single: null };
  const plain = await fresh({ viewport: { width: 1280, height: 900 } });
  for (const folder of folders) result.folders.push(await check(plain, folder));
  result.dropped = await dropped(plain, folders[0]);
  result.single = await single(plain, folders[0]);
  await plain.context().close();
  for (const width of [360, 1280]) {
    for (const colorScheme of ["light", "dark"]) {
      const page = await fresh({ viewport: { width, height: 800 }, colorScheme });
      result.screens.push(await look(page, `${width}-${colorScheme}-before`));
      await check(page, folders[0]);
      result.screens.push(await look(page, `${width}-${colorScheme}-good`));
      await check(page, folders[folders.length - 1]);
      result.screens.push(await look(page, `${width}-${colorScheme}-last`));
      await page.context().close();
    }
  }
  result.tongues = [];
  for (const locale of ["de-DE", "fr-FR"]) {
    const page = await fresh({ viewport: { width: 360, height: 800 }, locale });
    result.tongues.push(await other(page, folders[0]));
    result.screens.push(await look(page, `360-${locale}`));
    await page.context().close();
  }
  const old = await fresh({}, () => {
    crypto.subtle.importKey = async () => {
      throw new DOMException("no such algorithm", "NotSupportedError");
    };
  });
  result.without_ed25519 = await check(old, folders[0]);
  await old.context().close();
  const none = await fresh({}, () => Object.defineProperty(globalThis, "crypto", { value: {} }));
  result.without_crypto = { status: await none.locator("#status").innerText(), disabled: await none.locator("#folder").isDisabled() };
  await none.context().close();
  result.requests = [...seen.requests].sort();
  result.console_errors = [...seen.console].sort();
  console.log(JSON.stringify(result, null, 1));
} finally {
  await browser.close();
}

function fresh(options, before) {
  return load(browser, address, { reducedMotion: "reduce", ...options }, seen, before);
}

/** Chooses a folder and waits for the verdict; tells how long it took and how long the page stood still at most. */
async function check(page, folder) {
  await page.evaluate(() => {
    globalThis.still = 0;
    let before = performance.now();
    clearInterval(globalThis.beat);
    globalThis.beat = setInterval(() => {
      const now = performance.now();
      globalThis.still = Math.max(globalThis.still, now - before);
      before = now;
    }, 20);
    document.getElementById("status").textContent = "";
  });
  const from = Date.now();
  await page.locator("#folder").setInputFiles(folder);
  await page.waitForFunction(() => /^(Checked|The check broke|There is|This is)/.test(document.getElementById("status").textContent), null, { timeout: 120000 });
  const ms = Date.now() - from;
  const seen = await page.evaluate(() => ({
    verdict: document.getElementById("verdict").textContent,
    status: document.getElementById("status").textContent,
    owner: document.getElementById("owner").textContent,
    beside: [...document.querySelectorAll("#beside > li")].map((it) => it.textContent),
    photos: document.querySelectorAll("#photos tbody tr").length,
    bad: Object.fromEntries(
      [...document.querySelectorAll("#checks > li")]
        .filter((it) => ["wrong", "missing", "unchecked"].includes(it.dataset.how))
        .map((it) => [it.dataset.code, it.innerText]),
    ),
    told: [...document.querySelectorAll("#checks > li")].map((it) => it.innerText).join("\n"),
    focus: document.activeElement?.id,
    still: Math.round(globalThis.still),
  }));
  return { folder, ms, ...seen };
}

/** The page in the language that the browser asks for, then in English by its button. */
async function other(page, folder) {
  await page.locator("#folder").setInputFiles(folder);
  await page.waitForFunction(() => !document.getElementById("result").hidden, null, { timeout: 120000 });
  const seen = () => page.evaluate(() => ({
    language: document.documentElement.lang,
    title: document.title,
    verdict: document.getElementById("verdict").textContent,
    said: [...document.querySelectorAll("main p, main li, main th, main label, #result h2, #result h3, #result caption")].map((it) => it.textContent),
  }));
  const first = await seen();
  await page.locator("#tongues [lang=en]").click();
  const english = await seen();
  await page.locator(`#tongues [lang=${first.language}]`).click();
  return { first, english };
}

/** Drops a folder on the page, as a hand does it. */
async function dropped(page, folder) {
  await page.evaluate(() => {
    document.getElementById("status").textContent = "";
  });
  const hand = await page.context().newCDPSession(page);
  const data = { items: [], files: [folder], dragOperationsMask: 1 };
  for (const type of ["dragEnter", "dragOver", "drop"]) await hand.send("Input.dispatchDragEvent", { type, x: 200, y: 200, data });
  await page.waitForFunction(() => /[.]$/.test(document.getElementById("status").textContent), null, { timeout: 60000 });
  return page.locator("#status").innerText();
}

/** Drops one photo of the dossier, and one that is none, on the page. */
async function single(page, folder) {
  await check(page, folder);
  const drop = (text) =>
    page.evaluate(async (text) => {
      const data = new DataTransfer();
      data.items.add(new File([text], "sent.jpg"));
      document.getElementById("single").textContent = "";
      dispatchEvent(new DragEvent("drop", { dataTransfer: data, bubbles: true, cancelable: true }));
      while (!document.getElementById("single").textContent) await new Promise((done) => setTimeout(done, 10));
      return document.getElementById("single").textContent;
    }, text);
  return { known: await drop("invented picture 1 ".repeat(9)), unknown: await drop("another") };
}

async function look(page, name) {
  await page.screenshot({ path: join(outDir, `${name}.png`), fullPage: true });
  await page.evaluate(axeSource);
  const found = await page.evaluate((values) => globalThis.axe.run(document, { runOnly: { type: "tag", values }, resultTypes: ["violations"] }), RULES);
  const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  return { name, over, violations: found.violations.map((it) => `${it.id}: ${it.nodes[0].target.join(" ")}`) };
}
