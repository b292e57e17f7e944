// Parts of the walk through the marking page's picture that are long: many marks, the column, sizes of the window.

import { axeSource } from "./chrome.mjs";
import { axe, drag, go, openPicture, overflow, place, press, ring, saved, say, smallestTarget, tool } from "./mark_hands.mjs";

/** Draws a shaky outline for some seconds among many marks. */
export async function manyMarks(page, no, many) {
  await go(page, no);
  await page.evaluate(
    async ({ no, many }) => {
      const part = (await (await fetch("/walk")).json()).parts[0].id;
      const mark = (n) => ({ tag: "dent", part, which: `of many ${n}`, finding: null, state: "present", level: 1, size: null, note: null, region: { outline: Array.from({ length: 12 }, (_, k) => [5 + (n % 20) * 4.5 + Math.round(150 * Math.cos(k / 2)) / 100, 5 + Math.floor(n / 20) * 9 + Math.round(150 * Math.sin(k / 2)) / 100]) } });
      const changes = Array.from({ length: many }, (_, n) => ({ do: "add", mark: mark(n) }));
      const reply = await fetch("/say", { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify({ photo: no, changes, mine: false }) });
      if (!reply.ok) throw new Error(await reply.text());
    },
    { no, many },
  );
  await page.reload();
  await go(page, no);
  await page.mouse.move(...(await place(page, [50, 50])));
  for (let n = 0; n < 4; n += 1) await page.mouse.wheel(0, -300);
  await page.waitForTimeout(1500);
  await page.evaluate(() => {
    window.tasks = [];
    window.gaps = [];
    new PerformanceObserver((list) => window.tasks.push(...list.getEntries().map((it) => it.duration))).observe({ type: "longtask" });
    let last = performance.now();
    const tick = (now) => {
      window.gaps.push(now - last);
      last = now;
      if (window.gaps) requestAnimationFrame(tick);
    };
    requestAnimationFrame(tick);
  });
  const cpu = await page.context().newCDPSession(page);
  await cpu.send("Performance.enable", { timeDomain: "threadTicks" });
  const spent = async () => (await cpu.send("Performance.getMetrics")).metrics.find((it) => it.name === "TaskDuration").value * 1000;
  await tool(page, "outline");
  await page.waitForTimeout(300);
  const tool_tasks = await page.evaluate(() => window.tasks.splice(0));
  await page.evaluate(() => window.gaps.splice(0));
  const before = await spent();
  const way = ring([50, 50], 3, 1, 60).map(([x, y], n) => [x + 0.1 * Math.sin(n * 7), y + 0.1 * Math.cos(n * 5)]);
  const from = performance.now();
  const screen = [];
  for (const it of way) screen.push(await place(page, it));
  await page.mouse.move(...screen[0]);
  await page.mouse.down();
  for (const it of screen.slice(1)) await page.mouse.move(...it, { steps: 3 });
  const drawn_ms = performance.now() - from;
  const cpu_ms = (await spent()) - before;
  await page.waitForTimeout(100);
  const [tasks, gaps] = await page.evaluate(() => [window.tasks.splice(0), window.gaps.slice()]);
  await page.mouse.up();
  await page.waitForSelector(".mark-form");
  await page.waitForTimeout(300);
  const opening = await page.evaluate(() => window.tasks);
  const drawn = await page.evaluate(() => document.querySelectorAll(".overlay .mark").length);
  await page.keyboard.press("Escape");
  const longest = (all) => Math.max(0, ...all);
  return { photo: no, marks: drawn, moves: 3 * (way.length - 1), drawn_ms, cpu_ms, long_tasks: tasks.length, longest_ms: longest(tasks), frames: gaps.length, longest_gap_ms: longest(gaps), tool_longest_ms: longest(tool_tasks), form_longest_ms: longest(opening) };
}

export async function sizesOf(browser, address, { no, part }, errors) {
  const out = [];
  for (const [width, height, colorScheme] of [[360, 740, "light"], [768, 1024, "dark"], [1280, 800, "light"], [1280, 800, "dark"], [3840, 2160, "light"]]) {
    const { page, context, errors: wrong } = await openPicture(browser, address, no, { viewport: { width, height }, colorScheme, hasTouch: width < 800, part });
    const at = { width, colorScheme };
    if (await page.locator(".mark-button").count()) await page.locator(".mark-button").first().click();
    out.push({ ...at, what: "picture", axe: await axe(page, axeSource), overflow: await overflow(page), smallest: await smallestTarget(page) });
    await page.click("button[data-tool=box]");
    await drag(page, [[60, 30], [70, 40]]);
    await page.waitForSelector(".mark-form");
    out.push({ ...at, what: "words", axe: await axe(page, axeSource), overflow: await overflow(page), smallest: await smallestTarget(page) });
    await page.keyboard.type("white");
    await page.keyboard.press("Enter");
    out.push({ ...at, what: "form", axe: await axe(page, axeSource), overflow: await overflow(page), smallest: await smallestTarget(page) });
    errors.push(...wrong);
    await context.close();
  }
  return out;
}

/** What is said in the column: view, part, statement, notes, something not drawn; and the next picture by key. */
export async function column(page, no) {
  await go(page, no);
  const out = { before: await saved(page, no) };
  const choose = async (place, text) => {
    await page.click(`${place} input[role=combobox]`);
    await page.keyboard.type(text);
    await page.keyboard.press("Enter");
  };
  await choose(".said-view", "fault close");
  out.view = (await saved(page, no)).view;
  await choose(".said-parts", "left side");
  out.parts = (await saved(page, no)).parts;
  await page.selectOption(".shows select", "sound");
  out.statement = (await saved(page, no)).marks.at(-1);
  await page.fill("#said-note", "window light from the left");
  await page.fill("#said-private_note", "asked 90 for it");
  await page.focus(".stage");
  const said = await saved(page, no);
  out.notes = [said.note, said.private_note];
  await press(page, "Say it without drawing");
  out.offered = await say(page, "musty", 1);
  out.undrawn = (await saved(page, no)).marks.at(-1);
  await page.keyboard.press("PageDown");
  await page.waitForTimeout(200);
  out.next = await page.evaluate(() => location.hash);
  return out;
}
