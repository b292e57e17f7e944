// Hands for the tests of the marking page's picture: mouse, fingers and keys at places given in percent of the picture.

/** Opens a picture and waits until it is seen. Gives {page, context, errors}. */
export async function openPicture(browser, address, no, options = {}) {
  const { part = null, ...rest } = options;
  const context = await browser.newContext({ viewport: { width: 1280, height: 800 }, ...rest });
  const page = await context.newPage();
  const errors = [];
  page.on("pageerror", (it) => errors.push(String(it)));
  page.on("console", (it) => it.type() === "error" && !/favicon/.test(it.location().url) && errors.push(it.text()));
  await page.goto(address);
  await go(page, no, part);
  return { page, context, errors };
}

export async function go(page, no, part = null) {
  const hash = `#picture/${no}${part ? `?part=${encodeURIComponent(part)}` : ""}`;
  await page.evaluate((hash) => (location.hash = hash), hash);
  await page.waitForFunction((no) => document.querySelector(`.stage[aria-label="Picture ${no}"] .print img[data-kind=middle]`), no);
  await page.waitForTimeout(120);
}

/** Where a place of the picture is on the screen, pixels. @param {[number, number]} at percent */
export async function place(page, [x, y]) {
  const box = await page.evaluate(() => {
    const { left, top, width, height } = document.querySelector(".print").getBoundingClientRect();
    return { left, top, width, height };
  });
  return [box.left + (x / 100) * box.width, box.top + (y / 100) * box.height];
}

/** One pixel of the screen, in percent of the picture: how exact a hand can be. */
export async function pixel(page) {
  return page.evaluate(() => {
    const { width, height } = document.querySelector(".print").getBoundingClientRect();
    return [100 / width, 100 / height];
  });
}

/** A ring round a place, percent of a picture with this shape. */
export function ring([x, y], radius, aspect, steps = 24) {
  const turn = (n) => (n / steps) * 2 * Math.PI;
  return Array.from({ length: steps + 1 }, (_, n) => [x + radius * Math.cos(turn(n)), y + radius * aspect * Math.sin(turn(n))]);
}

// ---------------------------------------------------------------- mouse

export async function drag(page, points, button = "left") {
  const way = [];
  for (const it of points) way.push(await place(page, it));
  await page.mouse.move(...way[0]);
  await page.mouse.down({ button });
  for (const it of way.slice(1)) await page.mouse.move(...it, { steps: 3 });
  await page.mouse.up({ button });
}

export async function click(page, point) {
  await page.mouse.click(...(await place(page, point)));
}

/** Presses the button with just this name. */
export async function press(page, name) {
  await page.getByRole("button", { name, exact: true }).first().click();
}

export async function tool(page, name) {
  await page.click(`button[data-tool=${name}]`);
}

// ---------------------------------------------------------------- fingers

/** A finger by the browser's own protocol. */
export async function fingers(page) {
  const session = await page.context().newCDPSession(page);
  const send = (type, points) => session.send("Input.dispatchTouchEvent", { type, touchPoints: points.map(([x, y], id) => ({ x, y, id })) });
  const drag = async (points) => {
    const way = [];
    for (const it of points) way.push(await place(page, it));
    await send("touchStart", [way[0]]);
    for (let n = 1; n < way.length; n += 1) {
      for (const part of [1 / 3, 2 / 3, 1]) await send("touchMove", [way[n].map((to, axis) => way[n - 1][axis] + (to - way[n - 1][axis]) * part)]);
    }
    await send("touchEnd", []);
  };
  const tap = async (point) => {
    await send("touchStart", [await place(page, point)]);
    await send("touchEnd", []);
  };
  /** Two fingers apart, about a place. */
  const pinch = async (point, from, to) => {
    const [x, y] = await place(page, point);
    const pair = (apart) => [[x - apart / 2, y], [x + apart / 2, y]];
    await send("touchStart", pair(from));
    for (let n = 1; n <= 6; n += 1) await send("touchMove", pair(from + ((to - from) * n) / 6));
    await send("touchEnd", []);
  };
  return { drag, tap, pinch };
}

// ---------------------------------------------------------------- words and what is saved

/** Says the words of the shape that was just drawn: types, chooses with Enter, level by key, Enter. The part is chosen if it is not known. */
export async function say(page, words, level = null) {
  await page.waitForSelector(".mark-form");
  await page.keyboard.type(words);
  const found = await page.locator(".word-list [role=option]").allTextContents();
  await page.keyboard.press("Enter");
  await anyPart(page);
  if (level) await page.keyboard.press(String(level));
  await page.keyboard.press("Enter");
  await page.waitForSelector(".mark-form", { state: "detached" });
  return found.slice(0, 3);
}

/** Takes the first part that the form offers, if it asks for one; of several findings of the kind, another one. */
export async function anyPart(page) {
  const field = await page.evaluate(() => (document.activeElement?.getAttribute("role") === "combobox" ? document.activeElement.value : null));
  if (field !== null) {
    // A part that is guessed is taken as it stands.
    if (!field) await page.keyboard.press("ArrowDown");
    await page.keyboard.press("Enter");
  }
  const one = page.locator('[name="one"][value="new"]');
  if (await one.count()) await one.click();
}

/** Waits until all is on disk, and gives what the server then says of a photo. */
export async function saved(page, no) {
  await page.waitForFunction(() => /^(all saved|one mark is not saved yet)/.test(document.getElementById("saving")?.textContent), null, { timeout: 10000 });
  return page.evaluate(async (no) => (await (await fetch("/walk", { cache: "no-store" })).json()).photos.find((it) => it.no === no).said, no);
}

export async function lastRegion(page, no) {
  return (await saved(page, no)).marks.at(-1)?.region ?? null;
}

/** Everything that can be chosen with a finger, and the shorter side of the smallest, pixels. */
export async function smallestTarget(page) {
  return page.evaluate(() => {
    const all = [...document.querySelectorAll("button, a, input, select, textarea, summary, [role=option]")].filter((it) => it.checkVisibility() && !it.closest("[hidden]") && !it.disabled);
    const sides = all.map((it) => {
      const label = it.matches("[type=radio], [type=checkbox]") ? it.closest("label") : null;
      const { width, height } = (label ?? it).getBoundingClientRect();
      return { px: Math.round(Math.min(width, height) * 10) / 10, what: (it.textContent || it.name || it.id || it.className).trim().slice(0, 40) };
    });
    return sides.filter((it) => it.px > 1).sort((a, b) => a.px - b.px)[0];
  });
}

export async function overflow(page) {
  return page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
}

export async function axe(page, source) {
  await page.evaluate(() => scrollTo(0, 0));
  await page.evaluate(source);
  return page.evaluate(async () => {
    const found = await window.axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] });
    return found.violations.map((it) => `${it.id}: ${it.nodes.slice(0, 3).map((node) => node.target.join(" ")).join(" | ")}`);
  });
}
