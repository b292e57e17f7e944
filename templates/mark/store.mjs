// The only place that holds what the page knows, and the only one that talks to the program behind it.
//
// Everybody else reads `store.walk`, `store.photo(12).said` ... (never writes into them), says what changed with
// `store.change(12, [{do: "add", mark}], "white ring")`, and hears of every change by `store.on(fn)`.

import { ask, heads, speakOf } from "./ask.mjs";
import { applied, appliedAll, chosen, compressed, inverse, isNothing, reconciled, same } from "./changes.mjs";
import { guessParts } from "./guess.mjs";
import { Queue } from "./queue.mjs";

const SOON = 250;
const AGAIN = 2000;
const WALK_AFTER = 1500;

/** What the saving line says, by state. */
const SAVING = {
  saved: "all saved",
  saving: "saving",
  full: "not saved: the disk is full; make room on it, what is kept here is saved then",
  stuck: "the file says something else",
  refused: "not all saved: something could not be written, see below",
  shut: "not saved: the program was started again; open the address that it shows, what is kept here is saved then",
};

class Store {
  walk = null;
  words = null;
  /** The shoot shown; `null` for all. */
  shown = null;
  /** `saved`, `saving`, `away`, `failed`, `full`, `stuck`, `refused` or `shut`. */
  state = "saved";
  /** Answers that contradict what was said here, by photo: {photo, said, version, stuck, entries}. */
  conflicts = new Map();
  /** What the program would not write: {photo, message, complaints, entries}. */
  refused = [];
  #listeners = new Set();
  #why = "";
  #told = false;
  #queue = null;
  #base = new Map();
  #undo = [];
  #redo = [];
  #busy = false;
  #epoch = 0;
  #flushAt = 0;
  #walkAt = 0;
  #others = null;

  /** The saving line's words. */
  get saving() {
    if (this.state === "away") return `not saved: the program behind this page does not answer. ${this.startAgain} What you said is kept here, and saved then`;
    if (this.state === "failed") return `not saved: ${this.#why}. Put that right: what you said is kept here, and saved then`;
    return SAVING[this.state];
  }
  /** How to get the program back. */
  get startAgain() {
    return `Start it again: asfound mark ${this.walk?.piece.stock_no ?? ""}.`;
  }

  photo(no) {
    return this.#photos.get(Number(no)) ?? null;
  }
  part(id) {
    return this.walk.parts.find((it) => it.id === id) ?? null;
  }
  finding(id) {
    return this.walk.findings.find((it) => it.id === id) ?? null;
  }
  shoot(no) {
    return this.walk.shoots.find((it) => it.no === Number(no)) ?? null;
  }
  view(id) {
    return this.words.views.find((it) => it.id === id) ?? null;
  }
  /** A fault, an observation or a statement by its id. */
  word(id) {
    return this.#wordsById.get(id) ?? null;
  }
  /** Pictures of the shoot that is shown, in walking order. */
  photos() {
    return this.walk.photos.filter((it) => this.shown === null || it.shoot === this.shown);
  }

  #photos = new Map();
  #wordsById = new Map();

  /** Calls `fn` after any change; gives back what ends it. */
  on(fn) {
    this.#listeners.add(fn);
    return () => this.#listeners.delete(fn);
  }

  #tell() {
    if (this.#told) return;
    this.#told = true;
    queueMicrotask(() => {
      this.#told = false;
      for (const fn of this.#listeners) fn();
    });
  }

  show(shoot) {
    this.shown = shoot;
    this.#tell();
  }

  // ---------------------------------------------------------------- from the program

  /** Fetches everything for the first time. */
  async start() {
    const [words, walk] = await Promise.all([ask("/words"), ask("/walk")]);
    this.words = words;
    speakOf(walk.piece.stock_no);
    for (const it of [...words.tags, ...words.cues, ...words.statements]) this.#wordsById.set(it.id, it);
    this.#queue = new Queue(walk.piece.stock_no);
    this.#take(walk);
    await this.#queue.adopt();
    this.#forgetStrangers();
    for (const no of this.#queue.photos()) this.#replay(no);
    this.#others = new BroadcastChannel(`asfound ${walk.piece.stock_no}`);
    this.#others.onmessage = () => this.#walkSoon();
    addEventListener("pagehide", () => this.#lastWord());
    this.#flushSoon();
  }

  /** Entries about a picture that this book does not hold are not ours to save. */
  #forgetStrangers() {
    const strange = this.#queue.entries.filter((it) => this.photo(it.photo)?.digest !== it.digest);
    if (strange.length) this.#queue.replace(strange, []);
    this.#queue.drafts = this.#queue.drafts.filter((it) => this.photo(it.photo)?.digest === it.digest);
    this.#queue.keep();
  }

  /** Marks that are begun: {photo, draft}. */
  get drafts() {
    return this.#queue?.drafts ?? [];
  }

  /** Keeps what is begun in a picture, in place of what was; `null` when nothing is. */
  keepDraft(no, draft) {
    const photo = Number(no);
    const others = this.drafts.filter((it) => it.photo !== photo);
    this.#queue.drafts = draft ? [...others, { photo, digest: this.photo(photo)?.digest, draft }] : others;
    this.#queue.keep();
  }

  #take(walk) {
    this.walk = walk;
    this.#photos = new Map(walk.photos.map((it) => [it.no, it]));
    for (const part of walk.parts) part.from = part.told;
    for (const photo of walk.photos) this.#base.set(photo.no, photo.said);
    // The file is another one since: what it stood in the way of is tried once more.
    for (const it of this.refused.filter((it) => this.photo(it.photo)?.version !== it.version)) this.tryAgain(it);
    for (const no of this.#queue.photos()) this.#replay(no);
    this.#tell();
  }

  /** What is said of a picture: the file, then what is not saved yet. */
  #replay(no) {
    const photo = this.photo(no);
    if (!photo) return;
    const before = photo.said;
    photo.said = appliedAll(this.#base.get(no), this.#queue.of(no).flatMap((it) => it.changes));
    photo.silent = isNothing(photo.said);
    guessParts(this.walk, photo, before, (tag) => this.word(tag)?.kind);
    this.#tell();
  }

  /** Fetches the walk anew. */
  async refresh() {
    const epoch = this.#epoch;
    try {
      const walk = await ask("/walk");
      if (epoch === this.#epoch) this.#take(walk);
      else this.#walkSoon();
    } catch (error) {
      if (error.status === undefined) this.#walkSoon(AGAIN);
    }
  }

  /** Fetches the walk anew in a moment: somebody may have worked elsewhere. */
  refreshSoon() {
    this.#walkSoon(SOON);
  }

  #walkSoon(wait = WALK_AFTER) {
    clearTimeout(this.#walkAt);
    this.#walkAt = setTimeout(() => this.refresh(), wait);
  }

  /** Looks whether the file of a picture was changed elsewhere, or pictures came, and fetches the walk if so. */
  async look(no) {
    const photo = this.photo(no);
    if (!photo || this.#busy || this.#queue.photos().length) return;
    const epoch = this.#epoch;
    const answer = await ask(`/version/${no}`).catch(() => null);
    if (answer && epoch === this.#epoch && (answer.version !== photo.version || answer.photos !== this.walk.photos.length)) await this.refresh();
  }

  /** The text beside a picture: {version, file, text}. */
  textBeside(no) {
    return ask(`/text/${no}`);
  }

  /** Writes a text that was put right: {photo, version, text}. */
  async mend(wanted) {
    await ask("/mend", wanted);
    await this.refresh();
  }

  /** Asks whether a face can lie so: {photo, laid}. */
  askFace(question) {
    return ask("/face", question);
  }

  /** What the program finds in a picture and offers: a list, by its address. It may take a while: nobody waits for it but the picture that is open. */
  offers(address, until) {
    return ask(address, undefined, until);
  }

  /** Asks the program for a length or an area: {photo, scale, region}. */
  measure(question) {
    return ask("/measure", question);
  }

  // ---------------------------------------------------------------- what the person says

  /**
   * Takes `changes` to what is said of photo `no`: at once here, on disk within a second. `label` names them for undo, such as
   * "white ring on Top". Gives back whether anything changed.
   */
  change(no, changes, label) {
    return this.changeAll([{ photo: Number(no), changes }], label);
  }

  /** The same for several photos as one step of undo: `all` is [{photo, changes}]. */
  changeAll(all, label) {
    const real = all.map(({ photo, changes }) => ({ photo, changes: this.#real(photo, changes) }));
    const parts = real.filter((it) => it.changes.length);
    if (!parts.length) return false;
    this.#undo.push({ parts, label });
    this.#undo = this.#undo.slice(-300);
    this.#redo = [];
    for (const it of parts) this.#say(it.photo, it.changes);
    return true;
  }

  /** Those of `changes` that change something, one after the other. */
  #real(no, changes) {
    let said = this.photo(no).said;
    return changes.filter((change) => {
      const next = applied(said, change);
      if (next === null || next === said) return false;
      said = next;
      return true;
    });
  }

  #say(no, changes) {
    const { digest } = this.photo(no);
    this.#queue.push({ photo: Number(no), digest, changes, mine: false, sent: false, held: false });
    this.#replay(Number(no));
    if (this.state === "saved" || this.state === "refused") this.state = "saving";
    this.#flushSoon();
  }

  /** What undo and redo would take back and do again; `null` when nothing. */
  get undoLabel() {
    return this.#undo.at(-1)?.label ?? null;
  }
  get redoLabel() {
    return this.#redo.at(-1)?.label ?? null;
  }
  /** The pictures in which they would do it. */
  get undoPhotos() {
    return this.#undo.at(-1)?.parts.map((it) => it.photo) ?? [];
  }
  get redoPhotos() {
    return this.#redo.at(-1)?.parts.map((it) => it.photo) ?? [];
  }

  /** Takes the last step back. Gives {photos, label, done}; `done` is false when the text reads otherwise by now. */
  undo() {
    return this.#step(this.#undo, this.#redo, (changes) => changes.toReversed().map(inverse));
  }

  /** Does again what was taken back. */
  redo() {
    return this.#step(this.#redo, this.#undo, (changes) => changes);
  }

  #step(from, to, turned) {
    const step = from.pop();
    if (!step) return null;
    const parts = step.parts.map((it) => ({ photo: it.photo, changes: turned(it.changes) }));
    const fits = parts.every((it) => this.photo(it.photo) && this.#real(it.photo, it.changes).length === it.changes.length);
    if (fits) {
      to.push(step);
      for (const it of parts) this.#say(it.photo, it.changes);
    }
    this.#tell();
    return { photos: step.parts.map((it) => it.photo), label: step.label, done: fits };
  }

  // ---------------------------------------------------------------- saving

  #flushSoon(wait = SOON) {
    clearTimeout(this.#flushAt);
    this.#flushAt = setTimeout(() => this.#flush(), wait);
  }

  #next() {
    return this.#queue.photos().find((it) => !this.conflicts.has(it)) ?? null;
  }

  async #flush() {
    if (this.#busy) return;
    const no = this.#next();
    if (no === null) return this.#settleState();
    this.#busy = true;
    const entries = this.#queue.of(no);
    for (const it of entries) it.sent = true;
    this.#queue.keep();
    let wait = 0;
    try {
      this.#saved(no, entries, await ask("/say", this.#letter(no, entries)));
    } catch (error) {
      wait = this.#notSaved(no, entries, error);
    }
    this.#busy = false;
    this.#tell();
    if (wait) this.#flushSoon(wait);
    else this.#flush();
  }

  #letter(no, entries) {
    return { photo: no, changes: entries.flatMap((it) => it.changes), mine: entries.some((it) => it.mine) };
  }

  #settleState() {
    const rest = this.refused.length ? "refused" : "saved";
    const state = this.conflicts.size ? "stuck" : rest;
    if (state === this.state) return;
    this.state = state;
    this.#tell();
  }

  #saved(no, entries, answer) {
    this.#epoch += 1;
    this.#queue.replace(entries, []);
    this.#calledSo(no, entries, answer.said);
    this.photo(no).version = answer.version;
    this.#base.set(no, answer.said);
    this.#replay(no);
    this.#walkSoon();
    this.#others.postMessage(no);
    if (this.state !== "saved") this.state = "saving";
  }

  /** A further mark of a kind is written with a name of its own: what takes it back must know it. */
  #calledSo(no, entries, said) {
    const bare = (mark) => ({ ...mark, which: null });
    const told = (mark) => said.marks.some((it) => same(it, mark));
    const marks = entries.flatMap((it) => it.changes).map((it) => it.mark).filter((it) => it && !it.which && !told(it));
    for (const mark of marks) {
      const name = said.marks.findLast((it) => same(bare(it), mark));
      const now = (it) => (name && it && same(it, mark) ? name : it);
      const steps = [...this.#undo, ...this.#redo].flatMap((it) => it.parts).filter((it) => it.photo === no);
      const renamed = (it) => Object.fromEntries(Object.entries(it).map(([key, value]) => [key, key === "mark" || key === "was" ? now(value) : value]));
      for (const part of steps) part.changes = part.changes.map(renamed);
    }
  }

  /** What follows when it was not saved; gives the time to wait, ms, or 0 to go on with the next picture. */
  #notSaved(no, entries, error) {
    if (error.status === 409) {
      const all = entries.flatMap((it) => it.changes);
      const { changes, rest } = reconciled(compressed(all), error.body.stuck);
      const one = [{ ...entries[0], changes, mine: false }];
      const shorter = changes.length < all.length || rest.length < error.body.stuck.length;
      if (shorter) this.#queue.replace(entries, one[0].changes.length ? one : []);
      else this.conflicts.set(no, { photo: no, ...error.body, entries });
      this.#base.set(no, error.body.said);
      this.#replay(no);
      this.state = shorter ? "saving" : "stuck";
      return 0;
    }
    if ([401, 403, 410].includes(error.status)) {
      this.state = "shut";
      return AGAIN;
    }
    if (error.status >= 400 && error.status < 500) {
      this.#queue.hold(entries, true);
      this.refused.push({ photo: no, message: error.message, complaints: error.body?.complaints ?? [], entries, version: this.photo(no).version });
      this.#undo = this.#undo.filter((step) => step.parts.every((it) => it.photo !== no));
      this.#replay(no);
      return 0;
    }
    this.#why = error.message;
    this.state = error.status === undefined ? "away" : error.status === 507 ? "full" : "failed";
    return AGAIN;
  }

  /**
   * Settles the contradiction about a photo: `choices[n]` (`mine`, `theirs`, `both`) is for `conflict.stuck[n]`.
   */
  settle(no, choices) {
    const { stuck, entries, said } = this.conflicts.get(no);
    const late = this.#queue.of(no).filter((it) => !entries.includes(it));
    const instead = entries.flatMap((it) => it.changes).flatMap((change) => {
      const n = stuck.findIndex((it) => same(it.change, change));
      return n < 0 ? [change] : chosen(change, stuck[n].theirs, choices[n]);
    });
    const entry = { ...entries[0], changes: instead, mine: choices.some((it) => it !== "theirs"), sent: false };
    this.#queue.replace([...entries, ...late], [...(instead.length ? [entry] : []), ...late]);
    this.conflicts.delete(no);
    this.#base.set(no, said);
    this.#replay(no);
    this.state = "saving";
    this.#flushSoon();
  }

  /** What the program would not write is let go. */
  letGo(refusal) {
    this.refused = this.refused.filter((it) => it !== refusal);
    this.#queue.replace(refusal.entries, []);
    this.#flushSoon();
    this.#tell();
  }

  /** What the program would not write is sent once more. */
  tryAgain(refusal) {
    this.refused = this.refused.filter((it) => it !== refusal);
    this.#queue.hold(refusal.entries, false);
    this.#replay(refusal.photo);
    this.state = "saving";
    this.#flushSoon();
  }

  /** The window closes: what waits is sent without waiting for an answer; it stays in the browser until one came. */
  #lastWord() {
    const no = this.#next();
    if (no === null || this.#busy) return;
    const body = JSON.stringify(this.#letter(no, this.#queue.of(no)));
    fetch("/say", { method: "POST", headers: { ...heads(), "content-type": "application/json" }, body, keepalive: true }).catch(() => {});
  }
}

export const store = new Store();
