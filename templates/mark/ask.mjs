// Asks the program behind the page.

const PATIENCE = 15000;

/** The piece that is spoken of, once it is known. */
let piece = null;

/** From now on the page speaks of this piece. @param {string} stockNo */
export function speakOf(stockNo) {
  piece = stockNo;
}

/** Heads of what is sent. A port may come to serve another piece while this window is open: its pictures have the same numbers. */
export function heads() {
  return piece ? { "asfound-piece": piece } : {};
}

/** Asks the program; a `body` makes it a POST; `until` ends the waiting, in place of patience. Throws an error with `status` and `body` when it answers with a refusal. */
export async function ask(address, body, until = AbortSignal.timeout(PATIENCE)) {
  const options = { signal: until, cache: "no-store", headers: heads() };
  if (body) {
    options.headers["content-type"] = "application/json";
    Object.assign(options, { method: "POST", body: JSON.stringify(body) });
  }
  const reply = await fetch(address, options);
  const answer = await reply.json().catch(() => null);
  if (reply.ok && answer !== null) return answer;
  const error = new Error(answer?.message ?? `${address} answered ${reply.status}`);
  throw Object.assign(error, { status: reply.ok ? 502 : reply.status, body: answer });
}
