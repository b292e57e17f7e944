// What is not saved yet: a queue that is kept in the browser until the program behind the page has answered.
//
// Each window has a queue of its own. A window holds a lock while it lives; the queue of a window whose lock is free was
// left behind (the browser was closed while the program was away) and is taken over by the next window that opens.

const PREFIX = "asfound not saved";

/** The queue of this window for one piece. */
export class Queue {
  /** @param {string} piece stock number */
  constructor(piece) {
    this.piece = piece;
    this.window = crypto.randomUUID();
    /**
     * In the order said. `held`: the program would not write it; it waits for the person to say what to do.
     * @type {{photo: number, digest: string, changes: object[], mine: boolean, sent: boolean, held: boolean}[]}
     */
    this.entries = [];
    /** Marks that are begun, one a picture. @type {{photo: number, digest: string, draft: object}[]} */
    this.drafts = [];
    navigator.locks?.request(this.lock(this.window), () => new Promise(() => {}));
  }

  lock(window) {
    return `${PREFIX} ${window}`;
  }

  key(window) {
    return `${PREFIX} ${this.piece} ${window}`;
  }

  /** Writes the queue down. */
  keep() {
    try {
      const { entries, drafts } = this;
      if (entries.length + drafts.length) localStorage.setItem(this.key(this.window), JSON.stringify({ entries, drafts }));
      else localStorage.removeItem(this.key(this.window));
    } catch {
      // The browser keeps nothing for this page: the queue lives as long as the window does.
    }
  }

  push(entry) {
    this.entries.push(entry);
    this.keep();
  }

  /** The entries of one picture that are to be saved. */
  of(photo) {
    return this.entries.filter((it) => it.photo === photo && !it.held);
  }

  /** Pictures of which something is to be saved, in the order said. */
  photos() {
    return [...new Set(this.entries.filter((it) => !it.held).map((it) => it.photo))];
  }

  /** Holds entries back, or lets them go on. */
  hold(entries, held) {
    for (const it of entries) it.held = held;
    this.keep();
  }

  /** Takes `gone` out and puts `instead` in front. */
  replace(gone, instead) {
    this.entries = [...instead, ...this.entries.filter((it) => !gone.includes(it))];
    this.keep();
  }

  /** Takes over what windows left behind that are closed; says how many entries. */
  async adopt() {
    if (!navigator.locks) return 0;
    const start = `${PREFIX} ${this.piece} `;
    const others = Object.keys(localStorage).filter((it) => it.startsWith(start) && it !== this.key(this.window));
    let taken = 0;
    for (const key of others) {
      const window = key.slice(start.length);
      await navigator.locks.request(this.lock(window), { ifAvailable: true }, (lock) => {
        if (lock) taken += this.takeOver(key);
      });
    }
    return taken;
  }

  takeOver(key) {
    const kept = JSON.parse(localStorage.getItem(key) ?? "[]");
    // A page of before kept its changes alone.
    const { entries, drafts } = Array.isArray(kept) ? { entries: kept, drafts: [] } : kept;
    const left = entries.map((it) => ({ ...it, held: false }));
    this.entries = [...left, ...this.entries];
    this.drafts.push(...drafts.filter((it) => !this.drafts.some((own) => own.photo === it.photo)));
    this.keep();
    localStorage.removeItem(key);
    return left.length;
  }
}
