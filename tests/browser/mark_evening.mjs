// An evening at the marking page, and how long a practised hand would take for it, by the keystroke-level model (Card, Moran and Newell, The
// keystroke-level model for user performance time with interactive systems, CACM 1980): a key or button press 0.28 s (an average typist), a way
// of the pointer 1.1 s, getting ready in the mind 1.35 s, a hand from keys to mouse or back 0.4 s.
//
//     node mark_evening.mjs ADDRESS TRUTH.json plain|swift
//
// TRUTH.json: what /walk answers of the same book with everything said. The book that is served says nothing of the first two shoots.
// plain: one picture after the other, each opened, its view and part typed; every card and every side that is whole in its picture set by its
// corners; each inner part by itself. swift: what the sheet offers, and what is found in the pictures.
// Prints one JSON object; judges nothing: {way, pictures, faults, looked, laying, marking, looking, inner, offered, refused, waited, longest, cards, sides,
// per_40, right}: seconds of each step; `cards` and `sides`: {all, seconds}; `per_40`: minutes for 40 photos, {bare, sides, all}: without cards
// and sides, with the sides, with both; `right`: how many pictures have the view that is true; `offered`: how many cards and sides were only nodded at, `refused`: how many offers were none; `waited`: seconds on
// this machine from the opening of a picture to all that is found in it, in all and at most; no hand's minutes, and not among them.

import { readFileSync } from "node:fs";
import { start } from "./chrome.mjs";

const [address, truthPath, way] = process.argv.slice(2);
const truth = JSON.parse(readFileSync(truthPath, "utf8"));
const SECONDS = { K: 0.28, P: 1.1, M: 1.35, H: 0.4 };
const browser = await start();
const page = await (await browser.newContext({ viewport: { width: 1280, height: 800 } })).newPage();
await page.goto(address);
await page.waitForSelector("#head h1");

/** The hand, counted. */
const hand = {
  spent: 0,
  at: "mouse",
  by(operators, device) {
    if (device && device !== this.at) operators += "H";
    if (device) this.at = device;
    for (const it of operators) this.spent += SECONDS[it];
  },
  think() {
    this.by("M");
  },
  async click(what) {
    this.by("PK", "mouse");
    await what.click();
  },
  async key(key) {
    this.by(key.includes("+") ? "KK" : "K", "keys");
    await page.keyboard.press(key);
  },
  /** Types as much of a name as brings it to the front of a list, and takes it. */
  async name(text, first) {
    for (let n = 1; n <= text.length; n += 1) {
      await this.key(text[n - 1] === " " ? "Space" : text[n - 1]);
      if (n > 1 && (await first()) === text) break;
    }
    await this.key("Enter");
  },
};

const walk = () => page.evaluate(async () => (await fetch("/walk")).json());
const words = await page.evaluate(async () => (await fetch("/words")).json());
const photos = truth.photos.filter((it) => it.shoot <= 2);
const view = (id) => words.views.find((it) => it.id === id);
const part = (id) => truth.parts.find((it) => it.id === id);
const corners = { cards: { all: 0, seconds: 0 }, sides: { all: 0, seconds: 0 }, offered: 0, refused: 0, waited: 0, longest: 0 };
const focused = (key) => page.evaluate((key) => document.activeElement?.dataset.key === key, key);
const idle = () => page.waitForFunction(() => document.getElementById("saving").textContent === "all saved", null, { timeout: 20000 });
const firstOption = (place) => async () => {
  const all = page.locator(`${place} .choices [role=option] span:first-child`);
  return (await all.count()) ? (await all.first().innerText()) : "";
};

async function open(no) {
  await page.evaluate((no) => (location.hash = `#picture/${no}`), no);
  await isOpen(no);
}

async function isOpen(no) {
  await page.waitForFunction((no) => document.querySelector(`.stage[aria-label="Picture ${no}"] .print img[data-kind=middle]`), no);
  await page.waitForTimeout(80);
}

/** The picture that is open; 0 where none is. */
const opened = () => page.evaluate(() => Number(/^#picture\/(\d+)$/.exec(location.hash)?.[1] ?? 0));

/** The same by hand: by keys where it is one of the next two. */
async function turnTo(no) {
  const steps = no - (await opened());
  if (steps === 0) return;
  if (steps > 2 || steps < 0 || steps === no) {
    hand.by("PK", "mouse");
    return open(no);
  }
  for (let n = no - steps + 1; n <= no; n += 1) {
    await hand.key("PageDown");
    await isOpen(n);
  }
}

async function layPlain() {
  hand.by("PK", "mouse");
  for (const photo of photos) {
    await open(photo.no);
    hand.think();
    await hand.click(page.locator(".said-view [role=combobox]"));
    await hand.name(view(photo.said.view).label, firstOption(".said-view"));
    const offered = page.locator(".offer button");
    if (await offered.count()) await hand.click(offered);
    else if (photo.said.parts.length) {
      await hand.click(page.locator(".said-parts [role=combobox]"));
      await hand.name(part(photo.said.parts[0]).label, firstOption(".said-parts"));
    }
    hand.by("K", "keys");
  }
}

async function laySwift() {
  await page.evaluate(() => (location.hash = "#piece"));
  for (const shoot of [1, 2]) {
    await idle();
    await page.waitForTimeout(2000);
    await page.waitForSelector(".sheet-of .pick");
    const known = await walk();
    const own = photos.filter((it) => it.shoot === shoot);
    const guess = (no) => known.photos.find((it) => it.no === no).guess;
    const sure = own.filter((it) => guess(it.no)?.sure);
    for (const it of sure) {
      hand.think();
      if (guess(it.no).view !== it.said.view) await hand.click(page.locator(`[data-key="pick ${it.no}"]`));
    }
    if (sure.length) await hand.key("t");
    await idle();
    for (const it of own.filter((it) => !sure.includes(it) || guess(it.no).view !== it.said.view)) await layByHand(it);
  }
}

async function layByHand(photo) {
  const pick = page.locator(`[data-key="pick ${photo.no}"]`);
  hand.think();
  if (await focused(`pick ${photo.no}`)) await hand.key("Space");
  else await hand.click(pick);
  await hand.key("v");
  await hand.name(view(photo.said.view).label, firstOption(".hand"));
  await page.waitForTimeout(60);
  if (!(await pick.count()) || !photo.said.parts.length) return;
  if (await focused(`pick ${photo.no}`)) await hand.key("Space");
  else await hand.click(pick);
  await hand.key("p");
  await hand.name(part(photo.said.parts[0]).label, firstOption(".hand"));
  await page.waitForTimeout(60);
}

/** Percent of the picture on the screen. */
async function clickAt([x, y]) {
  const box = await page.evaluate(() => { const { left, top, width, height } = document.querySelector(".print").getBoundingClientRect(); return { left, top, width, height }; });
  hand.by("PK", "mouse");
  await page.mouse.click(box.left + (x / 100) * box.width, box.top + (y / 100) * box.height);
}

const whole = (it) => it.lie.corners?.every((at) => at.every((v) => v > 0 && v < 100));

/** Waits until the corners were held against size and camera. */
async function answered() {
  await page.waitForTimeout(400);
  await page.waitForSelector(".said-faces .same, .said-faces .wrong");
}

/** A side by its four corners. */
async function laySide(it) {
  hand.think();
  const lay = page.locator(`[data-key="lay face ${it.face}"]`);
  if (!(await lay.isVisible())) await hand.click(page.locator(".said-faces summary"));
  await hand.click(lay);
  for (const corner of it.lie.corners) await clickAt(corner);
  await answered();
  for (const [name, text] of [["size", it.size], ["at", it.at]]) {
    const field = page.locator(`#face-${name}`);
    if (!text || (await field.inputValue()) === text) continue;
    if (!(await field.isVisible())) await hand.click(page.getByText("Only a part of the side"));
    if (!(await focused(`face-${name}`))) await hand.click(field);
    const short = text.replace(/ mm$/, "").replaceAll(" ", "");
    hand.by("K".repeat(short.length + 1), "keys");
    await field.fill(short);
    await field.press("Tab");
    await answered();
  }
  await page.waitForSelector('[data-key="face-keep"]:not([disabled])');
  hand.think();
  await hand.click(page.locator('[data-key="face-keep"]'));
}

async function layCard(scale) {
  hand.think();
  await hand.click(page.locator('[data-key="card"]'));
  for (const corner of scale.corners) await clickAt(corner);
}

/** Looks that are under way. */
let looks = 0;
const looked = (by) => (it) => {
  if (it.url().includes("/offer/")) looks += by;
};
page.on("request", looked(1));
page.on("requestfinished", looked(-1));
page.on("requestfailed", looked(-1));

/** Waits until nothing more is looked for in the open picture: a look begins when it was open for some time. */
async function found() {
  const before = Date.now();
  await page.waitForTimeout(900);
  let last = before;
  for (let quiet = 0; quiet < 3; quiet += 1) {
    if (looks) [quiet, last] = [0, Date.now()];
    await page.waitForTimeout(50);
  }
  corners.waited += (last - before) / 1000;
  corners.longest = Math.max(corners.longest, (last - before) / 1000);
}

/** What is found in the open picture: all that is right is nodded at. */
async function nodded(wanted) {
  const there = new Set();
  await found();
  while (await page.locator(".nod:not([hidden])").count()) {
    const name = (await page.locator(".overlay .tag.offered text").textContent()).replace("?", "").toLowerCase();
    const before = hand.spent;
    hand.think();
    if (wanted.has(name)) {
      await hand.key("y");
      there.add(name);
      corners.offered += 1;
    } else {
      await hand.click(page.locator('[data-key="nod-no"]'));
      corners.refused += 1;
    }
    corners[name === "card" ? "cards" : "sides"].seconds += hand.spent - before;
    await page.waitForTimeout(80);
  }
  return there;
}

/** The cards, and the sides that are whole in their pictures. */
async function layCorners() {
  const label = (it) => truth.faces.find((one) => one.id === it.face).label.toLowerCase();
  const counted = async (kind, work) => {
    const before = hand.spent;
    await work();
    corners[kind].seconds += hand.spent - before;
  };
  for (const photo of photos) {
    const sides = (photo.said.faces ?? []).filter(whole);
    const { scale } = photo.said;
    if (!sides.length && !scale) continue;
    corners.sides.all += sides.length;
    if (scale) corners.cards.all += 1;
    await counted(scale ? "cards" : "sides", () => turnTo(photo.no));
    const wanted = new Set([...(scale ? ["card"] : []), ...(photo.said.faces ?? []).map(label)]);
    const there = way === "swift" ? await nodded(wanted) : new Set();
    for (const it of sides) if (!there.has(label(it))) await counted("sides", () => laySide(it));
    if (scale && !there.has("card")) await counted("cards", () => layCard(scale));
    await idle();
  }
}

/** The first drawn mark of each fault of the purchase. */
function faults() {
  const found = new Map();
  for (const finding of truth.findings) {
    const at = finding.marks.filter((it) => it.shoot === 1).find((it) => photos.find((photo) => photo.no === it.photo)?.said.marks[it.mark].region);
    if (at) found.set(finding.id, { ...at, finding, mark: photos.find((it) => it.no === at.photo).said.marks[at.mark] });
  }
  return [...found.values()].sort((a, b) => a.photo - b.photo);
}

async function mark(all) {
  let last = null;
  for (const { photo, finding, mark } of all) {
    await turnTo(photo);
    hand.think();
    await page.focus(".stage");
    await hand.key("b");
    const box = bounds(mark.region);
    hand.by("PKPK", "mouse");
    await drag(box);
    await page.waitForSelector(".mark-form");
    hand.think();
    const same = way === "swift" && last && last.tag === finding.tag && last.part === finding.part;
    if (same) await hand.key("=");
    else {
      await hand.name(finding.term, async () => {
        const all = page.locator(".word-list [role=option] b");
        return (await all.count()) ? (await all.first().innerText()) : "";
      });
      const asks = await page.evaluate(() => document.activeElement?.getAttribute("role") === "combobox" && !document.activeElement.closest(".word-field"));
      if (asks) await hand.name(finding.part_label, firstOption(".mark-form"));
      else if ((await page.locator(".mark-form .chooser input").inputValue()) !== finding.part_label) {
        await hand.click(page.locator(".mark-form .chooser input"));
        await hand.name(finding.part_label, firstOption(".mark-form"));
        const level = page.locator(".mark-form input[type=radio]").first();
        if (!(await page.evaluate(() => document.activeElement.type === "radio")) && (await level.count())) await hand.click(level);
      }
    }
    const one = page.locator('.mark-form [name="one"]');
    if (await one.count()) {
      hand.think();
      await hand.click(one.first());
    }
    if (await page.locator(".mark-form input[type=radio]").count()) await hand.key(String(mark.level ?? 1));
    await hand.key("Enter");
    await page.waitForSelector(".mark-form", { state: "detached" });
    last = finding;
  }
}

function bounds(region) {
  if (region.box) return region.box;
  const points = region.spot ? [region.spot] : (region.line ?? region.outline);
  const [xs, ys] = [0, 1].map((n) => points.map((it) => it[n]));
  return [Math.min(...xs), Math.min(...ys), Math.max(1, Math.max(...xs) - Math.min(...xs)), Math.max(1, Math.max(...ys) - Math.min(...ys))];
}

async function drag([x, y, w, h]) {
  const box = await page.evaluate(() => { const { left, top, width, height } = document.querySelector(".print").getBoundingClientRect(); return { left, top, width, height }; });
  const at = (px, py) => [box.left + (px / 100) * box.width, box.top + (py / 100) * box.height];
  await page.mouse.move(...at(x, y));
  await page.mouse.down();
  await page.mouse.move(...at(x + w, y + h), { steps: 3 });
  await page.mouse.up();
}

/** Each fault of the purchase, looked at again in the sale. */
async function look() {
  await idle();
  await page.evaluate(() => (location.hash = "#again/2"));
  await page.waitForTimeout(2500);
  hand.by("PK", "mouse");
  const due = (await walk()).again.filter((it) => it.shoot === 2);
  for (let n = 0; n < due.length; n += 1) {
    hand.think();
    const before = await page.locator("#place .lead").innerText();
    if (await page.locator("#place .states button").count()) await hand.key("2");
    await page.waitForTimeout(150);
    const after = page.locator("#place .lead");
    if ((await after.count()) && (await after.innerText()) === before) await hand.key("n");
    await page.waitForTimeout(60);
  }
  return due.length;
}

/** Two drawers of which nothing is to be seen, and all of their parts. */
async function inner() {
  for (const id of ["drawer-1", "drawer-2"]) {
    const parts = [id, ...truth.parts.filter((it) => it.inner && it.whole === id).map((it) => it.id)];
    for (const one of way === "plain" ? parts : [id]) {
      hand.by("PK", "mouse");
      await page.evaluate((one) => (location.hash = `#part/${one}`), one);
      await page.waitForTimeout(120);
      hand.think();
      const act = page.locator('[data-key="say not_examined"]');
      if (await act.count()) await hand.click(act);
      else hand.by("PKPK", "mouse");
      const too = page.locator('[data-key="inner too"]');
      await page.waitForTimeout(80);
      if (way === "swift" && (await too.count())) await hand.click(too);
    }
  }
}

async function timed(step) {
  const before = hand.spent;
  await step();
  await idle();
  return hand.spent - before;
}

try {
  const all = faults();
  const laying = await timed(way === "plain" ? layPlain : laySwift);
  const setting = await timed(layCorners);
  const marking = await timed(() => mark(all));
  let looked = 0;
  const looking = await timed(async () => (looked = await look()));
  const insides = await timed(inner);
  const now = await walk();
  const right = photos.filter((it) => now.photos.find((one) => one.no === it.no).said.view === it.said.view).length;
  const rounded = (it) => Math.round(it * 10) / 10;
  const minutes = (each, once) => rounded(((each / photos.length) * 40 + once) / 60);
  const { cards, sides, ...offers } = corners;
  const cornered = Object.entries({ cards, sides }).map(([name, it]) => [name, { ...it, seconds: rounded(it.seconds) }]);
  const each = laying + looking;
  const seconds = Object.fromEntries(Object.entries({ laying, marking, looking, inner: insides, ...offers }).map(([name, it]) => [name, rounded(it)]));
  const per_40 = { bare: minutes(each, marking + insides), sides: minutes(each + sides.seconds, marking + insides), all: minutes(each + setting, marking + insides) };
  console.log(JSON.stringify({ way, pictures: photos.length, faults: all.length, looked, ...seconds, ...Object.fromEntries(cornered), per_40, right }));
} finally {
  await browser.close();
}
