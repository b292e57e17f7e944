(function () {
  "use strict";
  var data = JSON.parse(document.getElementById("data").textContent);
  var screen = document.getElementById("screen");
  var name = "asfound doorstep: " + document.body.dataset.list;
  var taps = data.taps;
  var last = taps.length + 1;

  // ---- what is kept

  function fresh() {
    return { taps: {}, at: 0, asks: "", price: "", way: data.ways[0].id, title: "", size: "", note: "", undo: [] };
  }
  function stored() {
    try {
      return window.localStorage.getItem(name);
    } catch (e) {
      return null;
    }
  }
  function read() {
    var it = fresh();
    var text = stored() || decodeURIComponent(window.location.hash.slice(1));
    try {
      var old = JSON.parse(text || "{}");
      Object.keys(it).forEach(function (key) {
        if (typeof old[key] === typeof it[key] && old[key] !== null) it[key] = old[key];
      });
    } catch (e) {
      return fresh();
    }
    if (!Array.isArray(it.undo)) it.undo = [];
    it.at = Math.min(Math.max(0, Math.floor(it.at) || 0), last);
    return it;
  }
  function keep() {
    var text = JSON.stringify(state);
    var where = "on this phone, in this browser";
    try {
      window.localStorage.setItem(name, text);
    } catch (e) {
      try {
        window.history.replaceState(null, "", "#" + encodeURIComponent(text));
        where = "in the address of this page: leave it open";
      } catch (other) {
        where = "";
      }
    }
    document.getElementById("kept").textContent = where
      ? "What you tap is kept " + where + "."
      : "This browser keeps nothing: what you tap is lost when the page is closed.";
  }
  var state = read();

  // ---- what the program says: terms that add up

  /** The places of the answers; 0 is the first, the number of answers means that nobody looked. */
  function walkOf(chosen) {
    return taps.map(function (tap) {
      var at = tap.answers.findIndex(function (it) { return it.id === chosen[tap.id]; });
      return at < 0 ? tap.answers.length : at;
    });
  }
  function add(walk) {
    var sum = {};
    data.terms.forEach(function (term) {
      var cell = term[1][term[0].map(function (at) { return walk[at]; }).join(" ")];
      if (!cell) return;
      for (var i = 0; i < cell.length; i += 2) {
        sum[data.names[cell[i]]] = (sum[data.names[cell[i]]] || 0) + cell[i + 1];
      }
    });
    return sum;
  }
  function half_even(number, of) {
    var whole = number / of;
    var rest = number % of;
    if (rest < 0n) { rest += of; whole -= 1n; }
    var twice = rest * 2n;
    if (twice > of || (twice === of && whole % 2n !== 0n)) whole += 1n;
    return whole;
  }
  function share(amount, hundredths) {
    return half_even(amount * BigInt(hundredths), 10000n);
  }
  function least(a, b) { return a < b ? a : b; }
  function most(a, b) { return a > b ? a : b; }

  /** The sums of one way: minutes, cash, questions, reasons to stop. */
  function wayOf(sum, way) {
    var it = { there: way === "leave", minutes: 0, cash: 0, aside: 0, untold: 0, asks: [], stops: [] };
    Object.keys(sum).forEach(function (key) {
      var number = sum[key];
      if (!number || key.indexOf(way + " ") !== 0) return;
      var rest = key.slice(way.length + 1);
      if (rest.indexOf("on ") === 0) it.there = it.there || number > 0;
      if (rest.indexOf("minutes ") === 0) it.minutes += number;
      if (rest.indexOf("cash ") === 0) it.cash += number;
      if (rest.indexOf("aside ") === 0) it.aside += number;
      if (rest === "untold") it.untold = number;
      if (rest.indexOf("asks ") === 0) it.asks.push(rest.slice(5));
      if (rest.indexOf("stop ") === 0) it.stops.push({ id: rest.slice(5), rank: number });
    });
    it.stops.sort(function (a, b) { return b.rank - a.rank; });
    return it;
  }

  /** The reckoning of the offer in whole minor units. */
  function reckon(it, price, asks) {
    var t = data.money;
    var cash = BigInt(it.cash + it.aside) + BigInt(t.pickup) + BigInt(t.storage);
    var off = share(price, Math.min(t.fee + t.discount, 10000));
    var net = price - off - BigInt(t.delivery);
    var margin = most(share(most(net, 0n), t.margin), BigInt(t.least_margin));
    var hours = half_even(BigInt(it.minutes) * BigInt(t.lowest_hourly), 60n);
    var lesser = least(net - cash - margin, net - cash - hours);
    var donor = t.donor.map(function (of) { return share(most(price, 0n), of); });
    var rank = it.stops.length ? it.stops[0].rank : 0;
    var worth = lesser;
    var pays = lesser > donor[0];
    if (rank === 3) worth = 0n;
    else if (rank === 2 && lesser > donor[1]) worth = donor[1];
    else if (lesser <= donor[0]) worth = donor[0];
    var highest = asks !== null && asks < worth ? most(asks, 0n) : worth;
    var verdict = rank === 3 ? "walk" : rank === 2 || !pays ? "donor" : "offer";
    var bid = highest > 0n ? t.first_bid.map(function (of) { return least(share(worth, of), highest); }) : null;
    return { highest: highest, bid: bid, verdict: verdict };
  }

  /** An amount as typed, in minor units; null when it is none. */
  function amount(text) {
    var found = /^(\d{1,12})(?:[.,](\d+))?$/.exec(String(text).trim());
    if (!found || (found[2] || "").length > data.money.decimals) return null;
    return BigInt(found[1] + (found[2] || "").padEnd(data.money.decimals, "0"));
  }
  function judge(it) {
    var price = amount(it.price);
    var way = wayOf(add(walkOf(it.taps)), it.way);
    var deal = price === null || price <= 0n || !way.there || way.untold ? null : reckon(way, price, amount(it.asks));
    return { way: way, deal: deal };
  }
  window.doorstep = { add: add, judge: judge, walkOf: walkOf };

  // ---- words

  function spoken(minor) {
    return data.money.currency + " " + (minor / BigInt(Math.pow(10, data.money.decimals))).toString();
  }
  function exact(minor) {
    var text = minor.toString().padStart(data.money.decimals + 1, "0");
    var at = text.length - data.money.decimals;
    return data.money.currency + " " + text.slice(0, at) + (data.money.decimals ? "." + text.slice(at) : "");
  }
  function hours(minutes) {
    var whole = Math.round(minutes / 60);
    return whole === 0 ? "half an hour" : whole === 1 ? "1 hour" : whole + " hours";
  }
  function opening(found) {
    var first = found.way.stops.find(function (it) { return it.rank > 1; });
    var why = first ? data.stops[first.id] + " " : "";
    if (first && first.rank === 3) return why + "I cannot take it.";
    if (!found.deal) return why + "No bid yet.";
    var bid = found.deal.bid && found.deal.bid[0] >= BigInt(Math.pow(10, data.money.decimals)) ? spoken(found.deal.bid[0]) : "";
    if (found.deal.verdict === "donor") return why + "I can use it for its parts" + (bid ? ", for " + bid : "") + ".";
    return bid ? "I can offer you " + bid + "." : "I can take it away, but I cannot pay for it.";
  }
  function lean(sum) {
    var may = data.materials.filter(function (it) { return sum["material " + it]; });
    if (may.length === data.materials.length || !may.length) return "Material: nothing speaks yet.";
    if (may.length === 1) return "Material: " + may[0] + ".";
    return "Material: " + may.slice(0, -1).join(", ") + " or " + may[may.length - 1] + ".";
  }

  // ---- screens

  function make(kind, text, cls) {
    var it = document.createElement(kind);
    if (text) it.textContent = text;
    if (cls) it.className = cls;
    return it;
  }
  function put(kind, text, cls) { return screen.appendChild(make(kind, text, cls)); }
  function bullets(lines) {
    var list = put("ul", "", "plain");
    lines.forEach(function (it) { list.appendChild(make("li", it)); });
  }
  function button(text, cls, act) {
    var it = make("button", text, cls);
    it.type = "button";
    it.addEventListener("click", act);
    return it;
  }
  function choose(tap, answer) {
    state.undo.push([tap.id, state.taps[tap.id] || ""]);
    if (state.undo.length > 50) state.undo.shift();
    if (answer) state.taps[tap.id] = answer;
    else delete state.taps[tap.id];
    show(false);
    var said = screen.querySelectorAll(".says");
    if (said.length) said[said.length - 1].scrollIntoView({ block: "nearest" });
  }
  function field(key, label, more, mode) {
    var box = put("label", label);
    box.htmlFor = "field-" + key;
    if (more) box.appendChild(make("span", more));
    var it = put(mode === "text" ? "textarea" : "input");
    it.id = "field-" + key;
    it.value = state[key];
    it.autocomplete = "off";
    if (mode === "decimal") it.inputMode = "decimal";
    it.addEventListener("input", function () { state[key] = it.value; keep(); });
  }

  function question(tap) {
    put("p", tap.how, "how");
    if (tap.shot) put("p", "Picture: " + tap.shot, "shot");
    var list = put("div", "", "answers");
    tap.answers.forEach(function (answer) {
      var it = button(answer.label, "", function () { choose(tap, answer.id); });
      it.setAttribute("aria-pressed", String(state.taps[tap.id] === answer.id));
      list.appendChild(it);
    });
    var none = button("Not looked", "none", function () { choose(tap, ""); });
    none.setAttribute("aria-pressed", String(!state.taps[tap.id]));
    list.appendChild(none);
    var answer = tap.answers.find(function (it) { return it.id === state.taps[tap.id]; });
    if (answer) says(tap, answer);
    if (tap.id === "seller") field("note", "Their words", "Private; it goes into the file.", "text");
  }
  function says(tap, answer) {
    if (tap.leans) put("p", lean(add(walkOf(state.taps))), "says");
    if (answer.gate) {
      var box = put("p", "", "says " + answer.gate);
      box.appendChild(make("b", answer.gate.charAt(0).toUpperCase() + answer.gate.slice(1)));
      box.appendChild(document.createTextNode(" " + answer.means));
    }
    answer.cautions.forEach(function (it) { put("p", it, "says caution"); });
  }
  function money() {
    field("asks", "What is asked", "", "decimal");
    field("price", "What such a piece was sold for, at the least", "Sold, not asked; private.", "decimal");
    put("h3", "When it was so finished");
    var list = put("div", "", "answers");
    data.ways.forEach(function (way) {
      var it = button(way.label, "", function () { state.way = way.id; show(false); });
      it.setAttribute("aria-pressed", String(state.way === way.id));
      list.appendChild(it);
    });
    field("title", "What you call it", "Such as: oak chest, four drawers.");
    field("size", "Height x width x depth, if you measured it", "With its unit, such as 900x1050x480mm.");
  }
  function reasons(found) {
    var lines = found.way.stops.filter(function (it) { return it.rank > 1; }).map(function (it) { return data.stops[it.id]; });
    var walk = walkOf(state.taps);
    var costs = taps.map(function (tap, at) {
      var fine = walk.slice();
      fine[at] = 0;
      var answer = tap.answers[walk[at]];
      return { by: answer ? found.way.minutes - wayOf(add(fine), state.way).minutes : 0, tap: tap, answer: answer };
    });
    costs.sort(function (a, b) { return b.by - a.by; });
    costs.filter(function (it) { return it.by > 0; }).forEach(function (it) {
      lines.push(it.answer.label + ": about " + hours(it.by) + " of work.");
    });
    lines.push("All of it, fetching and selling included: about " + hours(found.way.minutes) + ".");
    return lines.slice(0, 3);
  }
  function changes(found) {
    var lines = [];
    taps.filter(function (it) { return !state.taps[it.id]; }).forEach(function (tap) {
      var worst = null;
      tap.answers.forEach(function (answer) {
        var chosen = Object.assign({}, state.taps);
        chosen[tap.id] = answer.id;
        var it = judge({ taps: chosen, price: state.price, asks: state.asks, way: state.way });
        var bid = it.deal && it.deal.bid ? it.deal.bid[0] : 0n;
        if (!worst || bid < worst.bid) worst = { bid: bid, answer: answer, found: it };
      });
      var now = found.deal && found.deal.bid ? found.deal.bid[0] : 0n;
      if (worst && worst.bid < now) lines.push({ by: now - worst.bid, text: tap.ask + ", " + worst.answer.label.toLowerCase() + ": " + opening(worst.found) });
    });
    lines.sort(function (a, b) { return a.by < b.by ? 1 : -1; });
    return lines.slice(0, 3).map(function (it) { return it.text; });
  }
  function end() {
    var found = judge(state);
    put("p", opening(found), "bid");
    if (!found.way.there) put("p", "This way can be taken on no part of it as far as it was looked at: choose another, or look further.");
    else if (!found.deal) put("p", "Tell what such a piece was sold for, and there is a bid.");
    if (found.deal) {
      var own = button("Show how far I can go", "own", function () {
        own.textContent = open ? "Show how far I can go" : "At most " + exact(found.deal.highest) + " (tap to hide)";
        open = !open;
      });
      var open = false;
      screen.appendChild(own);
    }
    put("h3", "Why");
    bullets(reasons(found));
    var todo = taps.filter(function (it) { return !state.taps[it.id]; });
    put("h3", "Still to be looked at");
    todo.forEach(function (tap) {
      screen.appendChild(button(tap.ask, "jump", function () { state.at = taps.indexOf(tap); show(true); }));
    });
    bullets(found.way.asks.map(function (it) { return data.asks[it]; }).concat(todo.length ? [] : ["Every question of this walk was answered."]));
    var would = changes(found);
    if (would.length) {
      put("h3", "What would change it");
      bullets(would);
    }
    put("h3", "Take it home");
    var tools = put("div", "", "tools");
    tools.appendChild(button("Share or save the file", "lead", send));
    var text = make("details");
    text.appendChild(make("summary", "The file as text, to copy"));
    var box = make("textarea");
    box.readOnly = true;
    box.id = "file";
    box.setAttribute("aria-label", "The file as text");
    box.value = file();
    text.appendChild(box);
    tools.appendChild(text);
    var sure = false;
    var anew = button("Begin with another piece", "", function () {
      if (!sure) { sure = true; anew.textContent = "Tap again: all taps are forgotten"; return; }
      state = fresh();
      show(true);
    });
    tools.appendChild(anew);
  }

  // ---- the file

  function quoted(text) {
    return JSON.stringify(String(text).replace(/[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g, "\ufffd")).replace(/\u007f/g, "\\u007f");
  }
  function file() {
    var lines = ["# What was tapped at a door. Lay it with the photos: `asfound intake --doorstep` and `asfound import` read it.", "doorstep = 1", "form = " + quoted(data.form)];
    ["title", "size", "asks", "note"].forEach(function (key) {
      if (String(state[key]).trim()) lines.push(key + " = " + quoted(String(state[key]).trim()));
    });
    if (String(state.price).trim()) lines.push("", "[sold]", state.way + " = " + quoted(String(state.price).trim()));
    lines.push("", "[taps]");
    taps.forEach(function (tap) { if (state.taps[tap.id]) lines.push(tap.id + " = " + quoted(state.taps[tap.id])); });
    return lines.join("\n") + "\n";
  }
  function send() {
    var now = new Date();
    var two = function (it) { return String(it).padStart(2, "0"); };
    var title = "doorstep " + now.getFullYear() + "-" + two(now.getMonth() + 1) + "-" + two(now.getDate()) + " " + two(now.getHours()) + two(now.getMinutes()) + ".txt";
    var blob = new Blob([file()], { type: "text/plain" });
    try {
      var sent = new File([blob], title, { type: "text/plain" });
      if (navigator.canShare && navigator.canShare({ files: [sent] })) {
        navigator.share({ files: [sent] }).catch(function (e) { if (e.name !== "AbortError") save(blob, title); });
        return;
      }
    } catch (e) {
      // An old browser: it is saved.
    }
    save(blob, title);
  }
  function save(blob, title) {
    var link = make("a");
    link.href = URL.createObjectURL(blob);
    link.download = title;
    document.body.appendChild(link);
    link.click();
    link.remove();
  }

  // ---- the walk

  function show(moved) {
    keep();
    screen.textContent = "";
    var tap = taps[state.at];
    var head = put("h2", tap ? tap.ask : state.at === taps.length ? "The money" : "At the door");
    head.tabIndex = -1;
    if (tap) question(tap);
    else if (state.at === taps.length) money();
    else end();
    var done = taps.filter(function (it) { return state.taps[it.id]; }).length;
    document.getElementById("count").textContent = "Step " + (state.at + 1) + " of " + (last + 1) + ", " + done + " of " + taps.length + " answered";
    document.getElementById("mind").hidden = state.at !== 0;
    document.getElementById("back").disabled = state.at === 0;
    document.getElementById("undo").disabled = !state.undo.length;
    document.getElementById("next").disabled = state.at === last;
    document.getElementById("next").textContent = state.at < taps.length - 1 ? "Next" : state.at === taps.length - 1 ? "The money" : "The bid";
    if (moved) { window.scrollTo(0, 0); head.focus({ preventScroll: true }); }
  }
  function go(by) {
    state.at = Math.min(Math.max(0, state.at + by), last);
    show(true);
  }
  document.getElementById("back").addEventListener("click", function () { go(-1); });
  document.getElementById("next").addEventListener("click", function () { go(1); });
  document.getElementById("undo").addEventListener("click", function () {
    var was = state.undo.pop();
    if (!was) return;
    if (was[1]) state.taps[was[0]] = was[1];
    else delete state.taps[was[0]];
    var at = taps.findIndex(function (it) { return it.id === was[0]; });
    if (at >= 0) state.at = at;
    show(true);
  });
  show(false);
})();
