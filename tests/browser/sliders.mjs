// Operates every before/after slider by keyboard and by finger, and compares what the pictures show.
//
// A slider is a `role=slider` or an `input[type=range]`. What it shows is the area of the pictures in the nearest
// element around it that holds at least one `img` or `svg`; "shows" counts the share of that area whose pixels changed.
// Limits: the handle itself may lie over the pictures and counts as changed too, so a share below `LEAST` is no change.

import { open } from "./chrome.mjs";

const SLIDER = '[role="slider"], input[type="range"]';
const LEAST = 0.02;

/** One entry a slider, for both ways of working it. */
export async function sliders(browser, address, seen) {
  const judge = await (await browser.newContext()).newPage();
  const desk = await open(browser, address, { viewport: { width: 1280, height: 800 } }, seen);
  const phone = await open(
    browser,
    address,
    { viewport: { width: 360, height: 740 }, isMobile: true, hasTouch: true },
    seen,
  );
  const finger = await phone.context.newCDPSession(phone.page);
  const result = [];
  const count = await desk.page.locator(SLIDER).count();
  for (let n = 0; n < count; n += 1) {
    result.push({
      name: await nameOf(desk.page.locator(SLIDER).nth(n)),
      keyboard: await byKeyboard(desk.page, n, judge),
      touch: await byFinger(phone.page, finger, n, judge),
    });
  }
  await desk.context.close();
  await phone.context.close();
  return result;
}

async function nameOf(slider) {
  return slider.evaluate((it) => it.getAttribute("aria-label") ?? it.labels?.[0]?.innerText ?? it.id ?? "");
}

async function valueOf(slider) {
  return slider.evaluate((it) => Number(it.value ?? it.getAttribute("aria-valuenow")));
}

async function byKeyboard(page, n, judge) {
  const slider = page.locator(SLIDER).nth(n);
  await slider.scrollIntoViewIfNeeded();
  await slider.focus();
  const focused = await slider.evaluate((it) => it === document.activeElement);
  const start = { value: await valueOf(slider), picture: await pictureOf(page, slider) };
  for (let i = 0; i < 20; i += 1) await page.keyboard.press("ArrowRight");
  const right = { value: await valueOf(slider), picture: await pictureOf(page, slider) };
  for (let i = 0; i < 40; i += 1) await page.keyboard.press("ArrowLeft");
  const left = { value: await valueOf(slider), picture: await pictureOf(page, slider) };
  const values = [start.value, right.value, left.value];
  const changed = [await share(judge, start.picture, right.picture), await share(judge, right.picture, left.picture)];
  const works = focused && right.value > left.value && Math.max(...changed) >= LEAST && changed[1] >= LEAST;
  return { works, values, changed };
}

async function byFinger(page, finger, n, judge) {
  const slider = page.locator(SLIDER).nth(n);
  // Into the middle of the screen, clear of anything that sticks to its edges. Said again before each drag: taking a
  // picture of the whole page can leave it scrolled elsewhere.
  const place = async () => {
    await slider.evaluate((it) => it.scrollIntoView({ block: "center", behavior: "instant" }));
    return { box: await slider.boundingBox(), around: await areaOf(slider) };
  };
  const { box, around } = await place();
  if (!box || !around) return { works: false, why: "no place on the screen" };
  const at = await slider.evaluate((it) => {
    const [low, high] = [Number(it.min || it.ariaValueMin || 0), Number(it.max || it.ariaValueMax || 100)];
    return (Number(it.value ?? it.ariaValueNow) - low) / (high - low || 1);
  });
  const wide = box.width > around.width / 2;
  const x0 = box.x + box.width * (wide ? Math.min(0.98, Math.max(0.02, at)) : 0.5);
  const start = { value: await valueOf(slider), picture: await pictureOf(page, slider) };
  const target = (part) => around.x + around.width * part;
  const middle = async () => {
    const { box: now } = await place();
    return now.y + now.height / 2;
  };
  await drag(finger, x0, target(0.85), await middle());
  const right = { value: await valueOf(slider), picture: await pictureOf(page, slider) };
  await drag(finger, target(0.85), target(0.15), await middle());
  const left = { value: await valueOf(slider), picture: await pictureOf(page, slider) };
  const changed = [await share(judge, start.picture, right.picture), await share(judge, right.picture, left.picture)];
  const tall = Math.round(Math.min(box.width, box.height));
  const works = right.value > left.value && changed[1] >= LEAST;
  return { works, values: [start.value, right.value, left.value], changed, target_px: tall };
}

async function drag(finger, from, to, y) {
  const touch = (type, x) =>
    finger.send("Input.dispatchTouchEvent", { type, touchPoints: type === "touchEnd" ? [] : [{ x, y }] });
  await touch("touchStart", from);
  for (let i = 1; i <= 10; i += 1) await touch("touchMove", from + ((to - from) * i) / 10);
  await touch("touchEnd", to);
}

/** The box of the pictures beside a slider, in pixels of the screen. */
async function areaOf(slider) {
  return slider.evaluate((it) => {
    let around = it.parentElement;
    while (around && !around.querySelector("img, svg")) around = around.parentElement;
    const boxes = [...(around?.querySelectorAll("img, svg") ?? [])].map((one) => one.getBoundingClientRect());
    if (!boxes.length) return null;
    const x = Math.min(...boxes.map((b) => b.left));
    const y = Math.min(...boxes.map((b) => b.top));
    const width = Math.max(...boxes.map((b) => b.right)) - x;
    const height = Math.max(...boxes.map((b) => b.bottom)) - y;
    return { x, y, width, height };
  });
}

/** A picture of that area, as PNG in base64. */
async function pictureOf(page, slider) {
  const area = await areaOf(slider);
  if (!area) return "";
  const scroll = await page.evaluate(() => ({ x: scrollX, y: scrollY }));
  const clip = { ...area, x: area.x + scroll.x, y: area.y + scroll.y };
  const png = await page.screenshot({ clip, fullPage: true, animations: "disabled" });
  return png.toString("base64");
}

/** The share of pixels that differ by more than 16 of 255 in any channel. */
async function share(judge, before, after) {
  if (!before || !after) return 0;
  return judge.evaluate(async ([before, after]) => {
    const pixels = async (png) => {
      const blob = await (await fetch(`data:image/png;base64,${png}`)).blob();
      const bitmap = await createImageBitmap(blob);
      const canvas = new OffscreenCanvas(bitmap.width, bitmap.height);
      const pen = canvas.getContext("2d");
      pen.drawImage(bitmap, 0, 0);
      return pen.getImageData(0, 0, bitmap.width, bitmap.height).data;
    };
    const [a, b] = [await pixels(before), await pixels(after)];
    const length = Math.min(a.length, b.length);
    let differ = 0;
    for (let i = 0; i < length; i += 4) {
      if ([0, 1, 2].some((c) => Math.abs(a[i + c] - b[i + c]) > 16)) differ += 1;
    }
    return Math.round((differ / (length / 4)) * 1000) / 1000;
  }, [before, after]);
}
