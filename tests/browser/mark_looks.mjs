// How the marking page looks and how quick it is: rules of axe, overflow, sizes of targets, long tasks.

import { axeSource } from "./chrome.mjs";
import { at, open } from "./mark_desk.mjs";

/** Targets that are not inside a line of text: their smaller side, px. */
function targets() {
  const shown = (it) => it.checkVisibility({ checkVisibilityCSS: true, contentVisibilityAuto: true, opacityProperty: false });
  const all = [...document.querySelectorAll("a, button, input, select, summary, [role=option]")].filter(shown);
  const sized = all.map((it) => {
    const label = it.matches("input") && it.closest("label") ? it.closest("label") : it;
    const of = (it.querySelector?.(".hit") ?? label).getBoundingClientRect();
    return { side: Math.round(Math.min(of.width, of.height) * 10) / 10, text: (it.getAttribute("aria-label") ?? it.textContent ?? it.id).trim().slice(0, 50), shown: of.width > 0, inline: it.matches("a") && getComputedStyle(it).display === "inline" && it.parentElement.matches("p") };
  });
  const counted = sized.filter((it) => it.shown && !it.inline && it.text !== "Go past the drawing").sort((a, b) => a.side - b.side);
  return { smallest: counted[0]?.side ?? null, small: counted.filter((it) => it.side < 24).slice(0, 8) };
}

/** Every place in every size and scheme. */
export async function routes(hashes) {
  const result = [];
  for (const scheme of ["light", "dark"]) {
    for (const width of [360, 768, 1280, 3840]) {
      const { page, context } = await open({ viewport: { width, height: width === 360 ? 740 : Math.round(width * 0.5625) }, colorScheme: scheme });
      await page.evaluate(axeSource);
      for (const hash of hashes) {
        await at(page, hash);
        await page.waitForTimeout(400);
        const found = await page.evaluate(() => globalThis.axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] }));
        const axe = found.violations.map((it) => `${it.id}: ${it.nodes[0].html.slice(0, 120)}`);
        const overflow = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
        result.push({ route: hash, width, scheme, axe, overflow, ...(await page.evaluate(targets)) });
      }
      await context.close();
    }
  }
  return result;
}

/** Tasks of the main thread while the piece's page is opened and scrolled through: by the clock, and by the processor's time for them. */
export async function tasks(browser, address) {
  const context = await browser.newContext({ viewport: { width: 1280, height: 900 } });
  const page = await context.newPage();
  await browser.startTracing(page, { categories: ["toplevel"] });
  await page.goto(address);
  await page.waitForSelector("#head h1");
  await page.waitForTimeout(500);
  const height = await page.evaluate(() => document.documentElement.scrollHeight);
  for (let y = 0; y < height; y += 600) {
    await page.evaluate((it) => scrollTo(0, it), y);
    await page.waitForTimeout(60);
  }
  const events = JSON.parse(await browser.stopTracing()).traceEvents;
  const nodes = await page.evaluate(() => document.querySelectorAll("*").length);
  const first = await page.evaluate(() => performance.getEntriesByName("first-contentful-paint")[0]?.startTime ?? null);
  await context.close();
  return { ...longest(events), first_paint_ms: first && Math.round(first), nodes };
}

/** The longest tasks of the pages' main threads in a trace, ms. */
function longest(events) {
  const main = new Set(events.filter((it) => it.name === "thread_name" && it.args.name === "CrRendererMain").map((it) => `${it.pid} ${it.tid}`));
  const own = events.filter((it) => it.ph === "X" && /RunTask/.test(it.name) && main.has(`${it.pid} ${it.tid}`));
  const most = (of) => Math.round(own.reduce((most, it) => Math.max(most, it[of] ?? 0), 0) / 1000);
  return { tasks: own.length, longest_ms: most("dur"), longest_cpu_ms: most("tdur") };
}
