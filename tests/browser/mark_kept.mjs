// What is begun at a mark is not lost, and a finding keeps its number.
//
//     node mark_kept.mjs ADDRESS WISHES.json
//
// WISHES.json: {"which", "photo", "sees"}: the name of a finding that is there in several pictures, one of several of its kind; a picture of which nothing is said; parts it is said to show.
// Prints one JSON object; judges nothing:
//   begun      {asked, kept, words, told, back, marks, thrown}: another mark begun over a filled form; one goes to another picture and comes back; it is thrown away
//   parts      {first, lit, refused, part}: the list of parts of a new mark, and what Enter takes of it unread
//   several    {asked, choices, refused, marks, findings}: a further fault of a kind that is there several times, without a choice and with one
//   renamed    {question, answers, before, after, names, undone}: a finding gets another name
//   undo       {before, kept, told, link}: a step in another picture: what is told of it first, what stands then; and what once it is taken back
//   look       {word, told}: an observation found by a word of its text, and Enter
//   errors

import { readFileSync } from "node:fs";
import { at as goTo, open, saidOf, saved, seen, visit, walk } from "./mark_desk.mjs";
import { drag, go, press, tool } from "./mark_hands.mjs";

const [address, wishesPath] = process.argv.slice(2);
const wishes = JSON.parse(readFileSync(wishesPath, "utf8"));
const browser = await visit(address);
const { page } = await open({ viewport: { width: 1280, height: 800 } });
const marks = async (no) => (await saidOf(page, no)).marks;
const say = (no, changes) => page.evaluate(async ([no, changes]) => (await import("/assets/store.mjs")).store.change(no, changes, "test"), [no, changes]);
const known = async () => (await walk(page)).findings.find((it) => it.which === wishes.which);
const { id } = await known();
const line = () => page.locator("#saving").innerText();
const question = () => page.locator(".question").innerText();

async function draw(no, box = [[40, 40], [50, 50]]) {
  await go(page, no);
  await tool(page, "box");
  await drag(page, box);
  await page.waitForSelector(".mark-form");
}

async function parts(no) {
  await saved(page, () => say(no, [{ do: "parts", was: [], to: wishes.sees }]));
  await draw(no);
  await page.keyboard.type("scratch");
  await page.keyboard.press("Enter");
  await page.waitForTimeout(100);
  const first = await page.locator(".mark-form .choices [role=option]").first().innerText();
  const lit = await page.locator('.mark-form .choices [aria-selected="true"]').count();
  await page.keyboard.press("Enter");
  const refused = await page.locator(".told-now").innerText();
  const part = await page.locator(".mark-form .chooser input").inputValue();
  await page.keyboard.press("ArrowDown");
  await page.keyboard.press("Enter");
  return { first, lit, refused, part, chosen: await page.locator(".mark-form .chooser input").inputValue() };
}

/** Over the form that `parts` has filled. */
async function begun(no, other) {
  const words = await line();
  await page.locator("button[data-tool=spot]").click();
  const asked = await question();
  await goTo(page, `#picture/${other}`);
  const elsewhere = await line();
  await goTo(page, `#picture/${no}`);
  await page.waitForSelector(".mark-form");
  const back = [await page.locator(".word-field input").inputValue(), await page.locator(".mark-form .chooser input").inputValue(), await page.locator(".overlay .mark").count()];
  await page.keyboard.press("Escape");
  await page.getByRole("button", { name: "Throw it away" }).click();
  return { words, asked, elsewhere, back, thrown: await page.locator(".mark-form").count(), left: await line(), marks: (await marks(no)).length };
}

async function several(no) {
  const { term, part_label } = await known();
  await draw(no, [[20, 20], [30, 30]]);
  await page.keyboard.type(term);
  await page.keyboard.press("Enter");
  await page.keyboard.type(part_label);
  await page.keyboard.press("Enter");
  const asked = await page.locator(".mark-form .same").first().innerText();
  const choices = await page.locator('[name="one"]').evaluateAll((all) => all.map((it) => it.value));
  const before = (await marks(no)).length;
  await page.keyboard.press("1");
  await page.keyboard.press("Enter");
  const refused = await page.locator(".mark-form .wrong").innerText();
  const after_enter = (await marks(no)).length;
  await page.locator(`[name="one"][value="${id}"]`).click();
  await page.keyboard.press("1");
  await saved(page, () => page.keyboard.press("Enter"));
  return { asked, choices, refused, stored: after_enter - before, finding: (await marks(no)).at(-1).finding };
}

async function renamed() {
  const of = async () => {
    const { findings, photos } = await walk(page);
    const it = findings.find((it) => it.id === id);
    return { ids: findings.map((it) => it.id), called: it?.which, marks: it?.marks.length, names: it?.marks.map((at) => photos.find((photo) => photo.no === at.photo).said.marks[at.mark].which) };
  };
  const { findings, photos } = await walk(page);
  const finding = findings.find((it) => it.id === id);
  const place = finding.marks.find((at) => photos.find((it) => it.no === at.photo).said.marks[at.mark].which);
  const before = await of();
  await go(page, place.photo);
  await page.locator(".mark-button", { hasText: finding.which }).first().click();
  await press(page, "Change words");
  await page.fill("#form-which", "by the window");
  const told = await page.locator(".mark-form .same").first().innerText();
  await page.keyboard.press("Enter");
  const asked = await question();
  const answers = await page.locator(".question button").allInnerTexts();
  const unread = await of();
  await saved(page, () => page.locator(".question button").first().click());
  const after = await of();
  await page.focus(".stage");
  await saved(page, () => page.keyboard.press("Control+z"));
  return { told, asked, answers, before, unread, after, undone: await of() };
}

async function undo(no, other) {
  await saved(page, () => say(no, [{ do: "note", was: null, to: "once more" }]));
  await go(page, other);
  await page.focus(".stage");
  await page.keyboard.press("Control+z");
  const before = await page.locator(".told-now").innerText();
  const kept = (await saidOf(page, no)).note;
  await saved(page, () => page.keyboard.press("Control+z"));
  return { before, kept, told: await page.locator(".told-now").innerText(), link: await page.locator(".told-now a").getAttribute("href") };
}

async function look(no) {
  await draw(no, [[60, 60], [70, 70]]);
  await page.keyboard.type("knot");
  await page.keyboard.press("Enter");
  const word = await page.evaluate(() => document.querySelector(".word-field input").value);
  return { word, told: await page.locator(".told-now").innerText() };
}

const { photos } = await walk(page);
const no = wishes.photo;
const other = photos.find((it) => it.no !== no).no;
const result = { id };
const steps = { parts: () => parts(no), begun: () => begun(no, other), several: () => several(no), renamed, undo: () => undo(no, other), look: () => look(no) };
for (const [name, step] of Object.entries(steps)) result[name] = await step().catch((error) => ({ failed: String(error.stack).slice(0, 500) }));
result.errors = [...seen.console].sort();
await browser.close();
console.log(JSON.stringify(result));
process.exit(0);
