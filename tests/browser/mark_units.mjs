// The pure parts of the marking page, without a browser: shapes and the search for words.
//
//     node mark_units.mjs [WORDS.json]
//
// WORDS.json: what the marking page's server answers at /words. Prints one JSON object; judges nothing:
//   round_trip_px        largest error of percent -> screen -> percent -> screen over many views, pixels
//   anchor_px            largest way that the place under the pointer moved when zooming about it, pixels
//   boxes                boxes of two corners drawn in the four directions; null where there is no area
//   moved_outside        how many of many moved shapes reach over the edge (tolerance 0.011 %)
//   moved_bent           how many of them changed their width or height by more than 0.021 %
//   reshaped             a box pulled by each corner; a box pulled onto its own opposite corner
//   repointed            a line with a point added and taken; a triangle never loses its third
//   hits                 which shapes may be meant, best first: inside the smaller of two, inside the larger alone, near a line, far from all, at a spot
//   simplified           per hand-drawn trace: points before, after, error as told, error measured anew here
//   corners              whether four corners go round, for a card, a crossed one, and a dented one
//   sizes                sizes as written into the record
//   misfits              for a size and a level: whether something is said
//   search               per question: the first words found (only with WORDS.json)

import { readFileSync } from "node:fs";

import { misfit } from "../../templates/mark/fits_level.mjs";
import * as search from "../../templates/mark/search.mjs";
import * as shapes from "../../templates/mark/shapes.mjs";

/** Numbers between 0 and 1 that are the same in each run. */
function dice(seed) {
  let state = seed;
  return () => {
    state = (state * 1103515245 + 12345) % 2147483648;
    return state / 2147483648;
  };
}

const die = dice(7);
const views = Array.from({ length: 60 }, () => ({ x: die() * 900 - 450, y: die() * 900 - 450, w: 40 + die() * 9000, h: 40 + die() * 9000 }));
const point = () => [die() * 100, die() * 100];

function roundTrip() {
  let worst = 0;
  for (const view of views) {
    const at = point();
    const there = shapes.toScreen(view, at);
    const back = shapes.toScreen(view, shapes.toPercent(view, there));
    worst = Math.max(worst, Math.hypot(there[0] - back[0], there[1] - back[1]));
  }
  return worst;
}

function anchor() {
  let worst = 0;
  for (const view of views) {
    const at = [die() * 1000, die() * 1000];
    const before = shapes.toPercent(view, at);
    const after = shapes.toScreen(shapes.zoomed(view, 0.1 + die() * 8, at), before);
    worst = Math.max(worst, Math.hypot(after[0] - at[0], after[1] - at[1]));
  }
  return worst;
}

function someRegion() {
  const kind = ["box", "line", "outline", "spot"][Math.floor(die() * 4)];
  return shapes.regionOf(kind, [point(), point(), point(), point()]);
}

function movedShapes() {
  let [outside, bent] = [0, 0];
  for (let n = 0; n < 500; n += 1) {
    const region = someRegion();
    if (!region) continue;
    const to = shapes.moved(region, die() * 300 - 150, die() * 300 - 150);
    const [x, y, w, h] = shapes.boundsOf(to);
    const [, , w0, h0] = shapes.boundsOf(region);
    if (x < 0 || y < 0 || x + w > 100.011 || y + h > 100.011) outside += 1;
    if (Math.abs(w - w0) > 0.021 || Math.abs(h - h0) > 0.021) bent += 1;
  }
  return { outside, bent };
}

/** Largest distance of a trace from the way through fewer points, percent of the longer side; worked out anew. */
function measured(trace, kept, aspect) {
  const even = ([x, y]) => [x * Math.min(1, aspect), y / Math.max(1, aspect)];
  const way = kept.map(even);
  return Math.max(
    ...trace.map(even).map((p) => Math.min(...way.slice(1).map((b, n) => shapes.fromStretch(p, way[n], b)))),
  );
}

function traces() {
  const turn = (n, all) => (n / all) * 2 * Math.PI;
  const many = (count, of) => Array.from({ length: count }, (_, n) => of(n, count));
  return {
    straight: many(200, (n, all) => [10 + (n / all) * 60, 20 + (n / all) * 30]),
    circle: many(400, (n, all) => [50 + 8 * Math.cos(turn(n, all)), 50 + 8 * Math.sin(turn(n, all))]),
    shaky_ring: many(600, (n, all) => [50 + (9 + 0.05 * (die() - 0.5)) * Math.cos(turn(n, all)), 50 + 9 * Math.sin(turn(n, all))]),
    whole_picture: many(900, (n, all) => [50 + 48 * Math.cos(turn(n, all)), 50 + 48 * Math.sin(turn(n, all))]),
    crack: many(300, (n) => [20 + n * 0.1, 40 + 1.5 * Math.sin(n / 20)]),
    two_points: [[1, 1], [2, 2]],
  };
}

function simplified() {
  const out = {};
  for (const [name, trace] of Object.entries(traces())) {
    for (const aspect of [4 / 3, 3 / 4]) {
      const { points, error } = shapes.simplified(trace, aspect);
      out[`${name} ${aspect > 1 ? "wide" : "tall"}`] = {
        before: trace.length,
        after: points.length,
        told: Number(error.toFixed(4)),
        measured: Number(measured(trace, points, aspect).toFixed(4)),
      };
    }
  }
  return out;
}

function hits() {
  const view = { x: 0, y: 0, w: 1000, h: 500 };
  const regions = [{ box: [0, 0, 50, 50] }, { box: [10, 10, 5, 5] }, { line: [[60, 60], [90, 60]] }, { spot: [95, 95] }, null];
  const of = (x, y) => shapes.hits(view, regions, [x, y], 10);
  return { smaller: of(120, 60), larger: of(400, 200), near_line: of(700, 306), far: of(700, 400), spot: of(952, 477) };
}

/** Words as the trade book has them: a scratch, lifted face wood by its area, a gap. */
function misfits() {
  const scratch = { measure_what: "count; longest", measure_unit: "mm", levels: ["under 30 mm, in the coat", "a few, each under 100 mm", "20 to 100 mm long", "over 10, or one over 200 mm"] };
  const area = { ...scratch, measure_what: "area", measure_unit: "cm2" };
  const gap = { ...scratch, measure_what: "gap" };
  const all = [[scratch, 2, "123 mm (± 5 mm)"], [scratch, 2, "103 mm (± 5 mm)"], [scratch, 1, "4 cm"], [scratch, 3, "10 x 3 mm (± 1 x 1 mm)"], [scratch, 3, "60 mm"], [scratch, 4, "900 mm"], [scratch, 2, "several"], [area, 2, "123 mm"], [gap, 2, "123 mm"], [scratch, 0, "123 mm"]];
  return all.map((it) => Boolean(misfit(...it)));
}

function asked(path) {
  const words = JSON.parse(readFileSync(path, "utf8"));
  const all = [...words.tags, ...words.cues, ...words.statements];
  const of = (query, kind) => search.ranked(all, query, kind, 5).map((it) => it.id);
  return {
    "white ring, top": of("white ring", "top"),
    "whit, top": of("whit", "top"),
    "WHITE mark, top": of("WHITE mark", "top"),
    "bubbles, drawer_front": of("bubbles", "drawer_front"),
    "scrach (a slip), top": of("scrach", "top"),
    "nothing typed, leg": of("", "leg"),
    "nothing typed, top": of("", "top"),
    "nonsense": of("qqqqzz", "top"),
    "smell": of("smell", "case_side"),
    "found, top": of("nothing found", "top"),
  };
}

const box = { box: [10, 20, 30, 40] };
const triangle = { outline: [[0, 0], [10, 0], [0, 10]] };
const line = shapes.repointed({ line: [[0, 0], [10, 20]] }, 0, "add");
const { outside, bent } = movedShapes();
const result = {
  round_trip_px: roundTrip(),
  anchor_px: anchor(),
  boxes: [[[10, 10], [20, 30]], [[20, 10], [10, 30]], [[10, 30], [20, 10]], [[20, 30], [10, 10]], [[5, 5], [5, 9]], [[-9, 90], [5, 130]]].map(
    ([a, b]) => shapes.boxOf(a, b),
  ),
  moved_outside: outside,
  moved_bent: bent,
  reshaped: [...[0, 1, 2, 3].map((n) => shapes.reshaped(box, n, [50, 50])), shapes.reshaped(box, 0, [40, 60])],
  repointed: { added: line, taken: shapes.repointed(line, 1, "take"), triangle: shapes.repointed(triangle, 0, "take") },
  hits: hits(),
  simplified: simplified(),
  corners: {
    card: shapes.goesRound([[10, 10], [20, 11], [19, 18], [9, 17]]),
    crossed: shapes.goesRound([[10, 10], [19, 18], [20, 11], [9, 17]]),
    dented: shapes.goesRound([[10, 10], [20, 10], [12, 12], [10, 20]]),
  },
  sizes: [["70", "mm"], [" 7,5 ", "in"], ["70 x 40", "mm"], ["3 rings", "mm"], ["70mm", "mm"], ["", "mm"]].map(([text, unit]) => search.sized(text, unit)),
  misfits: misfits(),
  search: process.argv[2] ? asked(process.argv[2]) : null,
};
console.log(JSON.stringify(result, null, 1));
