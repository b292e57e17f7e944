(function () {
  "use strict";
  var data = JSON.parse(document.getElementById("data").textContent);
  var rates = data.rates, terms = rates.terms, names = rates.names, table = data.table;

  // ---- the estimate: counts of the table, and what follows from them

  // To the nearest whole number, halves to the even one.
  function even(number, of) {
    var whole = Math.floor(number / of), twice = 2 * (number - whole * of);
    return whole + (twice > of || (twice === of && whole % 2 !== 0) ? 1 : 0);
  }
  function share(amount, hundredths) { return even(amount * hundredths, 10000); }

  // given: for each row of the table the place of its answer, or null. Of a name that ends with "some" there is some or none.
  function countsOf(given) {
    var counts = Object.create(null), sums = Object.create(null);
    table.terms.forEach(function (term) {
      if (!term[0].every(function (it) { return given[it[0]] === it[1]; })) return;
      term[1].forEach(function (it) {
        var name = table.names[it[0]];
        sums[name] = (sums[name] || 0) + it[1];
      });
    });
    Object.keys(sums).forEach(function (name) {
      if (name.slice(-5) !== "|some") counts[name] = sums[name];
      else if (sums[name] > 0) counts[name.slice(0, -5)] = 1;
    });
    return counts;
  }

  // The counts that begin so, by the rest of their names.
  function under(counts, start) {
    var found = [];
    Object.keys(counts).sort().forEach(function (name) {
      if (counts[name] && name.indexOf(start) === 0) found.push([name.slice(start.length), counts[name]]);
    });
    return found;
  }

  function pricesOf(offer, way) { return offer.sold[way] || []; }

  function waysOf(counts, offer) {
    var parts = counts.parts || 0, found = [];
    rates.ways.forEach(function (way) {
      if (way.id === names.mend) return;
      var can = under(counts, way.id + "|can|").length, waits = !under(counts, way.id + "|firm|").length;
      var leaves = way.id === names.leave;
      var hoped = pricesOf(offer, way.id).length > 0 && way.keeps && !leaves && parts > 0 && waits;
      if (!leaves && !can && !hoped) return;
      var same = found.some(function (other) { return !under(counts, "differ|" + other.id + "|" + way.id + "|").length; });
      if (hoped || !same) found.push(way);
    });
    var mend = rates.ways.filter(function (it) { return it.id === names.mend; })[0];
    if (mend && pricesOf(offer, names.mend).length && counts["to do"]) found.push(mend);
    return found;
  }

  // The work of a plan: minutes of own hands, materials, and work of others that has no price.
  function workOf(counts, way, which) {
    var work = { minutes: 0, cost: 0, bills: [], unpriced: false, tasks: [] };
    var phases = Object.create(null), much = Object.create(null);
    // A task as a whole, or part by part: then its name tells how much of it there is on the part.
    under(counts, way + "|" + which + "|").forEach(function (it) {
      var cut = it[0].split("|"), of = cut.length > 1 ? Number(cut[2]) : it[1];
      much[cut[0]] = (much[cut[0]] || 0) + of;
    });
    Object.keys(much).sort().forEach(function (id) {
      var rate = rates.tasks[id], many = rate.whole ? 1000 : much[id];
      var minutes = rate.own ? even(rate.hours * many * 60, 1000000) + even(rate.set_up * 60, 1000) : 0;
      var cost = rate.cost === null ? null : even(rate.cost * many, 1000000);
      if (rate.own) phases[rate.phase] = true;
      if (cost === null && rate.own) work.unpriced = true;
      if (cost === null && !rate.own) work.bills.push(rate.name);
      work.minutes += minutes;
      work.cost += cost || 0;
      work.tasks.push({ id: id, method: rate.method, name: rate.name, own: rate.own, minutes: minutes, cost: cost });
    });
    rates.base.forEach(function (it) {
      if (it.drawers && !rates.drawers) return;
      if (it.only_for.length && !it.only_for.some(function (phase) { return phases[phase]; })) return;
      work.minutes += even(it.hours * (it.drawers ? rates.drawers : 1) * 60, 1000);
    });
    return work;
  }

  function netSale(price) { return price - share(price, Math.min(terms.fee + terms.discount, 10000)) - terms.delivery; }

  // The next amount below that is said at a door.
  function saidAs(minor) {
    var units = Math.floor(minor / rates.unit), decade = 1, step;
    if (units < 1) return 0;
    while (decade * 10 <= units) decade *= 10;
    var lead = Math.floor(units / decade);
    if (decade === 1) step = lead < 5 ? 1 : 5;
    else if (decade === 10 && lead === 1) step = 5;
    else if (lead === 1) step = decade / 5;
    else step = lead < 5 ? decade / 2 : decade;
    return Math.floor(units / step) * step * rates.unit;
  }

  function firstBid(asks, worth, parts) {
    var first = share(worth, terms.first_bid[0]), second = share(worth, terms.first_bid[1]);
    if (asks !== null) {
      if (worth >= asks * 2 || asks <= parts) return [asks, asks];
      var ofAsked = share(asks, terms.first_bid_of_asked);
      if (worth >= ofAsked) { first = ofAsked; second = Math.min(second, asks); }
    }
    var from = Math.max(saidAs(first), parts);
    return [from, Math.max(saidAs(second), from)];
  }

  function reckon(deal) {
    var net = netSale(deal.price);
    var margin = Math.max(share(Math.max(net - deal.cash, 0), terms.margin), terms.least_margin);
    var hours = even(deal.minutes * terms.lowest_hourly, 60);
    var byMargin = net - deal.cash - margin, byHours = net - deal.cash - hours;
    var ofParts = function (it) { return Math.max(share(Math.max(deal.ofParts, 0), it) - terms.pickup, 0); };
    var sure = ofParts(terms.donor[0]), most = ofParts(terms.donor[1]);
    var least = byHours < byMargin ? byHours : byMargin, because = byHours < byMargin ? "hours" : "margin", worth;
    if (deal.stop === "Walk") { worth = 0; because = "stopped"; }
    else if (deal.stop === "Donor" && least > most) { worth = most; because = "only_parts"; }
    else if (least <= sure) { worth = sure; because = "parts"; }
    else worth = least;
    var highest = worth;
    if (deal.asks !== null && deal.asks < worth) { highest = Math.max(deal.asks, 0); because = "asked"; }
    return {
      net: net, byMargin: byMargin, byHours: byHours, sure: sure, most: most, worth: worth, highest: highest, because: because,
      bid: highest > 0 ? firstBid(deal.asks, worth, saidAs(sure)) : null
    };
  }

  var STRENGTH = ["Walk", "Donor", "Ask"];
  function strongest(stops) {
    return stops.reduce(function (most, it) {
      return most === null || STRENGTH.indexOf(it.stop) < STRENGTH.indexOf(most) ? it.stop : most;
    }, null);
  }
  function rule(id) { return rates.stops.filter(function (it) { return it.id === id; })[0]; }

  function named(list) {
    return data.labels.filter(function (label) { return list.some(function (it) { return it[0] === label; }); });
  }

  function lookOf(counts, question) {
    if (!question.moves) return question.look;
    var off = under(counts, "off|"), gives = under(counts, "gives|"), look = question.look;
    var list = off.concat(gives);
    if (list.length) {
      look = (off.length ? rates.moving.off : rates.moving.gives).replace("{parts}", named(off).concat(named(gives)).filter(function (it, at, all) {
        return all.indexOf(it) === at;
      }).join(", "));
    }
    under(counts, "paint|").forEach(function (it) { look += rates.moving.paint[it[0]] || ""; });
    return look;
  }

  function stopsOf(counts, way, asked) {
    var seen = Object.create(null), found = [];
    under(counts, way + "|stop|").forEach(function (it) {
      var cut = it[0].split("|");
      seen[cut[0]] = { stop: cut[1], what: cut[2] };
    });
    var unseen = asked.filter(function (it) { return it.unseen; }).map(function (it) { return it.unseen; });
    rates.stops.forEach(function (it) {
      if (it.id === names.not_shown && unseen.length) {
        found.push({ id: it.id, stop: it.stop, what: "Not seen yet: " + unseen.join(", ") + ".", why: it.why, unless: it.unless });
      } else if (seen[it.id]) {
        found.push({ id: it.id, stop: seen[it.id].stop, what: seen[it.id].what, why: it.why, unless: it.unless });
      }
    });
    found.sort(function (a, b) { return STRENGTH.indexOf(a.stop) - STRENGTH.indexOf(b.stop); });
    if (counts[way + "|harm"]) found.push(rule(names.unsafe_left));
    return found;
  }

  function questionsOf(counts, way, plan, lowest) {
    var asked = [];
    rates.questions.forEach(function (it) {
      if (!counts[way + "|ask|" + it.id]) return;
      var aside = it.aside, look = lookOf(counts, it);
      if (aside !== null && it.held && lowest !== null && terms) {
        aside = Math.min(aside, share(Math.max(netSale(lowest), 0), terms.aside_at_most));
      }
      if (it.id === names.lead) {
        var paid = 0;
        plan.tasks.forEach(function (task) { if (task.method === names.lead_test) paid += task.cost || 0; });
        if (paid > 0) {
          aside = aside === null ? null : Math.max(0, aside - paid);
          look += " The test is in the plan.";
        }
      }
      asked.push({ id: it.id, question: it.question, look: look, aside: aside, counted: !!counts[way + "|counted|" + it.id], unseen: it.unseen, said: it.said });
    });
    return asked;
  }

  // The kinds of fault: dangers first, then the dearest.
  function kindsOf(counts, way, plan, wage) {
    var kinds = Object.create(null);
    under(counts, "fault|").forEach(function (it) {
      var cut = it[0].split("|"), kind = kinds[cut[0]];
      if (!kind) kind = kinds[cut[0]] = { tag: cut[0], of: 0, minutes: 0, level: 0, bill: "", places: [], term: cut[3] };
      kind.level = Math.max(kind.level, Number(cut[2]));
      kind.places.push(cut[1]);
      kind.danger = !!counts["danger|" + cut[0]];
    });
    plan.tasks.forEach(function (task) {
      if (counts[way + "|sound|" + task.id] || (!task.minutes && task.cost === 0)) return;
      var of = under(counts, way + "|of|" + task.id + "|"), number = 0;
      of.forEach(function (it) { number += it[1]; });
      of.forEach(function (it) {
        var kind = kinds[it[0]];
        kind.of += it[1] * Math.floor((task.minutes * wage + (task.cost || 0) * 60) / number);
        kind.minutes += it[1] * Math.floor(task.minutes / number);
        if (!task.own && task.cost === null) kind.bill = task.name.toLowerCase().replace(", by a specialist", "");
      });
    });
    var list = Object.keys(kinds).sort().map(function (tag) { return kinds[tag]; });
    list = list.filter(function (it) { return it.of > 0 || it.bill || it.level >= rates.say.from; });
    function before(a, b) {
      var keys = [[a.danger ? a.level : 0, b.danger ? b.level : 0], [Number(!!a.bill), Number(!!b.bill)], [a.of, b.of], [a.level, b.level]];
      for (var i = 0; i < keys.length; i += 1) if (keys[i][0] !== keys[i][1]) return keys[i][1] - keys[i][0];
      return 0;
    }
    list.sort(before);
    list.forEach(function (it) {
      var places = data.labels.filter(function (label) { return it.places.indexOf(label) >= 0; });
      var hours = Math.floor((it.minutes + 30) / 60);
      var work = it.minutes < 45 ? "half an hour" : hours === 1 ? "1 hour" : hours + " hours";
      it.text = it.term + " (" + (places.length > rates.say.places ? places.length + " places" : places.join(", ")) + ")";
      it.text += it.bill ? ": to be done by others, " + it.bill + "." : it.minutes ? ": about " + work + " of work." : ".";
    });
    return list;
  }

  function lower(text) { return /^.[A-Z]/.test(text) ? text : text.charAt(0).toLowerCase() + text.slice(1); }
  function listed(all) { return all.join(all.length > 1 && all.some(function (it) { return it.indexOf(",") >= 0; }) ? "; " : ", "); }

  // What can be said to the seller: the first bid, every danger, the dearest faults, the names of the others, what was not seen. Never
  // what it sells for, and never the ceiling.
  function wordsOf(way, kinds, sold) {
    var sums = way.sums, stop = { walk: "Walk", donor: "Donor" }[way.verdict];
    var reason = way.stops.filter(function (it) { return it.stop === stop; })[0];
    var because = reason ? reason.what + " " : "", bid = sums && sums.bid ? Math.floor(sums.bid[0] / rates.unit) : 0;
    var named = reason ? rule(reason.id).faults : [], said;
    if (way.verdict === "walk") said = because + "I cannot take it.";
    else if (way.verdict === "not_known" && sums) said = "I cannot name a price yet: somebody else has to do part of the work, and I have to ask what that costs.";
    else if (way.verdict === "not_known" && way.told && way.lacks) said = "I cannot name a price yet: I have to work it out first.";
    else if (way.verdict === "not_known" && sold) said = "I cannot name a price yet: I have to look at it more closely first.";
    else if (!sums) said = because + "I cannot name a price yet: I have to look up what such pieces bring.";
    else if (bid > 0) said = because + "I can offer you " + rates.currency + " " + bid + ".";
    else said = because + "I can take it away, but I cannot pay for it.";
    function text(it) { return it.text; }
    kinds = kinds.filter(function (it) { return named.indexOf(it.tag) < 0; });
    var dangers = kinds.filter(function (it) { return it.danger; }), rest = kinds.filter(function (it) { return !it.danger; });
    said = [said].concat(dangers.map(text));
    if (way.verdict === "walk") return said;
    var told = Math.max(rates.say.faults - dangers.length, 1);
    said = said.concat(rest.slice(0, told).map(text));
    rest = rest.slice(told).map(function (it) { return lower(it.term); });
    var more = rest.length - rates.say.named, also = rest.slice(0, rates.say.named);
    if (more > 0) also.push(more === 1 ? "one thing more" : more + " things more");
    if (also.length) said.push("Also: " + listed(also) + ".");
    var open = way.asked.map(function (it) { return it.said; }).filter(Boolean);
    if (open.length > rates.say.unseen) open = open.slice(0, rates.say.unseen - 1).concat((open.length - rates.say.unseen + 1) + " things more are open");
    if (!open.length) return said;
    var last = open.pop(), line = open.length ? open.join(", ") + ", and " + last : last;
    said.push(line.charAt(0).toUpperCase() + line.slice(1) + ".");
    return said;
  }

  // One way: its plan, its questions, what stops it, its sums.
  function wayOf(counts, way, offer) {
    var plan = workOf(counts, way.id, "plan"), all = workOf(counts, way.id, "may");
    var prices = pricesOf(offer, way.id), lowest = prices.length ? Math.min.apply(null, prices) : null;
    var asked = questionsOf(counts, way.id, plan, lowest), stops = stopsOf(counts, way.id, asked);
    var looks = Object.create(null), decided = under(counts, way.id + "|look|");
    decided.forEach(function (it) { looks[it[0].split("|")[0]] = true; });
    var partly = !way.keeps && (Object.keys(looks).length > 1 || decided.length < (counts.parts || 0));
    var it = { id: way.id, label: way.label, plan: plan, asked: asked, stops: stops, sums: null, verdict: "not_known", told: lowest !== null };
    var known = asked.every(function (it) { return !it.counted || it.aside !== null; });
    var stop = strongest(stops);
    it.lacks = !terms || plan.unpriced || !known;
    if (terms && lowest !== null && !partly && !plan.unpriced && known) {
      var aside = 0, everything = [];
      asked.forEach(function (it) { if (it.counted) aside += it.aside; });
      Object.keys(offer.sold).forEach(function (path) { everything = everything.concat(offer.sold[path]); });
      var minutes = Math.max(plan.minutes, all.minutes), cost = Math.max(plan.cost, all.cost);
      var cash = cost + terms.pickup + terms.storage_week * terms.weeks + aside;
      var deal = { price: lowest, ofParts: Math.min.apply(null, everything), cash: cash, minutes: minutes, asks: offer.asks, stop: stop };
      var sums = reckon(deal);
      var well = reckon(Object.assign({}, deal, { cash: cash - aside }));
      sums.pays = Math.min(well.byMargin, well.byHours) > well.sure;
      sums.waits = plan.bills.length > 0 && stop !== "Walk" && stop !== "Donor" && sums.pays;
      if (sums.waits) sums.bid = null;
      sums.cash = cash;
      sums.minutes = minutes;
      sums.price = offer.asks !== null ? offer.asks : Math.max(sums.highest, 0);
      sums.hour = even((sums.net - cash - sums.price) * 60, Math.max(minutes, 1));
      it.sums = sums;
    }
    if (stop === "Walk") it.verdict = "walk";
    else if (stop === "Donor") it.verdict = "donor";
    else if (it.sums) it.verdict = !it.sums.pays ? "donor" : it.sums.waits ? "not_known" : "offer";
    if (it.sums && offer.asks !== null && offer.asks > it.sums.highest) {
      if (offer.asks > it.sums.byHours) it.stops.push(rule(names.asks_too_much));
      else if (offer.asks > it.sums.byMargin) it.stops.push(rule(names.asks_into_margin));
    }
    return it;
  }

  // What is not to be done until it is repaired.
  function untilOf(given) {
    return data.harm.until.filter(function (line) {
      return data.rows.some(function (row, n) { return given[n] !== null && row.choices[given[n]].until.indexOf(line) >= 0; });
    });
  }

  // The estimate. given: the answers; offer: {asks: minor units or null, sold: {path: [minor units]}}.
  function estimate(given, offer) {
    var counts = countsOf(given);
    var ways = waysOf(counts, offer).map(function (it) { return wayOf(counts, it, offer); });
    var best = null, priced = null;
    function worth(it) { return [Number(it.plan.bills.length === 0), it.sums.highest, it.sums.hour]; }
    function more(a, b) {
      for (var i = 0; i < 3; i += 1) if (a[i] !== b[i]) return a[i] > b[i];
      return false;
    }
    ways.forEach(function (it) {
      if (!it.sums) return;
      priced = priced || it;
      var stopped = it.stops.some(function (stop) { return stop.stop !== "Ask"; });
      if (!stopped && (!best || more(worth(it), worth(best)))) best = it;
    });
    var shown = best || priced;
    var way = shown || ways[0];
    var kinds = kindsOf(counts, way.id, way.plan, way.sums ? terms.lowest_hourly : 1);
    return {
      way: shown ? shown.id : null, label: way.label, bills: way.plan.bills, verdict: way.verdict, sums: way.sums, stops: way.stops, asked: way.asked,
      until: untilOf(given), reasons: kinds.map(function (it) { return it.text; }), words: wordsOf(way, kinds, Object.keys(offer.sold).length > 0),
      materials: under(counts, "material|").map(function (it) { return it[0].split("|"); })
    };
  }

  // ---- the page

  var rows = data.rows, given = rows.map(function () { return null; });
  var told = { title: "", asks: "", note: "", sold: {} };
  var name = "asfound doorstep: " + data.key;
  var touched = false;
  var kept = document.getElementById("kept");
  function at(id) { return document.getElementById(id); }

  // An amount as typed in minor units; null where it is none.
  function amount(text) {
    var cut = /^([0-9]{1,7})(?:[.,]([0-9]{1,3}))?$/.exec(text.trim());
    if (!cut) return null;
    var digits = String(rates.unit).length - 1, rest = cut[2] || "";
    if (rest.length > digits) return null;
    while (rest.length < digits) rest += "0";
    return Number(cut[1]) * rates.unit + (rest ? Number(rest) : 0);
  }
  function money(minor) {
    var digits = String(rates.unit).length - 1, size = Math.abs(minor);
    var text = String(Math.floor(size / rates.unit));
    if (digits) text += "." + ("000" + size % rates.unit).slice(-digits);
    return rates.currency + " " + (minor < 0 ? "-" : "") + text;
  }
  function whole(minor) { return rates.currency + " " + Math.floor(minor / rates.unit); }
  function time(minutes) {
    var rest = minutes % 60, hours = (minutes - rest) / 60;
    return hours ? hours + " h" + (rest ? " " + ("0" + rest).slice(-2) + " min" : "") : rest + " min";
  }
  function offer() {
    var sold = {};
    Object.keys(told.sold).forEach(function (path) {
      var minor = amount(told.sold[path]);
      if (minor !== null && minor > 0) sold[path] = [minor];
    });
    return { asks: amount(told.asks), sold: sold };
  }

  function keep() {
    // Before anything was told nothing is written over what is kept: a page that is opened again at once may not find it yet.
    var key = touched ? name : name + " probe";
    try {
      window.localStorage.setItem(key, JSON.stringify({ given: ids(), told: told }));
      if (!touched) window.localStorage.removeItem(key);
      return true;
    } catch (e) {
      return false;
    }
  }
  function ids() {
    var all = {};
    rows.forEach(function (row, n) { if (given[n] !== null) all[row.id] = row.choices[given[n]].id; });
    return all;
  }
  function read() {
    try {
      var was = JSON.parse(window.localStorage.getItem(name) || "null");
      if (!was) return;
      rows.forEach(function (row, n) {
        row.choices.forEach(function (it, at) { if (was.given[row.id] === it.id) given[n] = at; });
      });
      ["title", "asks", "note"].forEach(function (it) { if (typeof was.told[it] === "string") told[it] = was.told[it]; });
      Object.keys(told.sold).forEach(function (path) {
        if (typeof was.told.sold[path] === "string") told.sold[path] = was.told.sold[path];
      });
    } catch (e) {
      // What cannot be read is as if nothing had been kept.
    }
  }

  function element(kind, text, into, sort) {
    var it = document.createElement(kind);
    it.textContent = text;
    if (sort) it.className = sort;
    into.appendChild(it);
    return it;
  }
  function list(into, lines) {
    var it = element("ul", "", into);
    lines.forEach(function (line) { element("li", line, it); });
  }

  function materialText(found, row) {
    var own = found.filter(function (it) { return row.parts.indexOf(it[0]) >= 0; })[0];
    if (!own) return "";
    var text = own[1];
    if (text.indexOf("perhaps ") === 0) return "Material still open: " + text.slice(8).split(" ").join(" or ") + ".";
    if (text.indexOf("open over ") === 0) return "Face still open, over " + text.slice(10) + ".";
    return "Material: " + text + ".";
  }

  // What a tap means, below it.
  function meaning(found, n) {
    var row = rows[n], choice = given[n] === null ? null : row.choices[given[n]], into = at("means-" + n);
    into.textContent = "";
    if (!choice) return;
    if (choice.effort) element("b", choice.effort, into, "effort " + choice.effort.toLowerCase());
    var text = [];
    if (choice.plain) text.push(choice.plain);
    if (row.material) text.push(materialText(found.materials, row));
    choice.stops.forEach(function (id) {
      found.stops.forEach(function (it) { if (it.id === id) text.push((it.stop === "Ask" ? "Ask: " : "Stop: ") + it.what + " Unless: " + it.unless); });
    });
    if (choice.until.length) text.push(data.harm.title + ".");
    choice.dangers.forEach(function (it) { text.push(it); });
    element("span", " " + text.filter(Boolean).join(" "), into);
  }

  var BECAUSE = {
    margin: "the margin must be left", hours: "the hours must be paid", parts: "what its parts may bring, less fetching",
    only_parts: "what its parts may bring at most, less fetching", asked: "no more is asked", stopped: "a reason not to buy stands"
  };

  // What is not to be done with it, before all else.
  function sayHarm(found, into, then) {
    if (found.until.length) element("p", [data.harm.title + "."].concat(found.until, then).join(" "), into, "harm");
  }

  function sayMine(found, now) {
    var into = at("mine-text");
    into.textContent = "";
    var sums = found.sums, looked = given.filter(function (it) { return it !== null; }).length;
    sayHarm(found, into, data.harm.then);
    if (looked < rows.length) element("p", looked + " of " + rows.length + " looked at: what was not is not in these figures. Look before you bid.", into, "wrong");
    if (found.verdict === "walk") element("p", "Do not buy it.", into, "big");
    else if (!sums) element("p", "No price yet: " + noPrice(found, now), into, "big");
    else if (sums.waits) element("p", "No bid until the bill of others is known.", into, "big");
    else {
      element("p", "First bid " + (sums.bid ? whole(sums.bid[0]) : "nothing"), into, "big");
      element("p", "Ceiling " + money(sums.highest) + ": " + BECAUSE[sums.because] + ".", into, "big");
    }
    if (sums) {
      element("p", "Way: " + found.label + ".", into);
      element("p", "An hour brings " + money(sums.hour) + " at " + money(sums.price) + ", in " + time(sums.minutes) + ". Cash besides: " + money(sums.cash) + ".", into);
    }
    var all = found.stops.filter(function (it) { return it.stop !== "Ask"; }).map(function (it) { return it.what; });
    all = all.concat(found.reasons, found.stops.filter(function (it) { return it.stop === "Ask" && it.id !== names.not_shown; }).map(function (it) { return it.what; }));
    var three = all.slice(0, 3), more = all.length - three.length;
    element("h3", "Why", into);
    if (three.length) list(into, three);
    else element("p", "No fault was tapped.", into);
    if (more) element("p", (more === 1 ? "One more is" : more + " more are") + " on the walk.", into);
    element("h3", "Still to look at", into);
    var open = rows.filter(function (row, n) { return given[n] === null && row.parts.length; }).map(function (row) { return row.label ? row.tap + ", " + row.label.toLowerCase() : row.tap; });
    if (!found.asked.length && !open.length) element("p", "Nothing: every row was answered.", into);
    list(into, found.asked.map(function (it) { return it.question + " " + it.look + (it.aside ? " A bad answer: " + money(it.aside) + "." : ""); }));
    if (open.length) element("p", "Not looked at: " + open.join("; ") + ".", into);
    element("h3", "What would change it", into);
    var changes = changesOf(found, now);
    if (changes.length) list(into, changes);
    else element("p", sums ? "Nothing that is still open changes the ceiling." : "Tell what such a piece brings.", into);
  }
  function noPrice(found, now) {
    if (!terms) return "book.toml lacks terms of an offer.";
    if (!Object.keys(now.sold).length) return "tell below what such a piece brings.";
    return "look at what is still open first.";
  }

  // What each answer that is still open would make of the ceiling.
  function changesOf(found, now) {
    if (!found.sums) return [];
    if (found.sums.waits) return ["What others ask for it: " + found.bills.join(", ") + "."];
    var was = found.sums.highest, all = [];
    rows.forEach(function (row, n) {
      if (given[n] !== null) return;
      row.choices.forEach(function (choice, at) {
        var other = given.slice();
        other[n] = at;
        var it = estimate(other, now), highest = it.sums && it.verdict !== "walk" ? it.sums.highest : 0;
        if (highest !== was) all.push([Math.abs(highest - was), (row.label ? row.tap + ", " + row.label.toLowerCase() : row.tap) + ", \u201c" + choice.label + "\u201d: " + money(highest)]);
      });
    });
    all.sort(function (a, b) { return b[0] - a[0]; });
    return all.slice(0, 5).map(function (it) { return it[1]; });
  }

  function saySeller(found) {
    var into = at("seller-text");
    into.textContent = "";
    sayHarm(found, into, []);
    found.words.forEach(function (it, n) { element("p", it, into, n ? "" : "big"); });
  }

  function show() {
    var now = offer(), found = estimate(given, now), looked = 0;
    rows.forEach(function (row, n) {
      if (given[n] !== null) looked += 1;
      row.choices.forEach(function (it, place) {
        at("tap-" + n + "-" + place).setAttribute("aria-pressed", String(given[n] === place));
      });
      meaning(found, n);
    });
    at("count").textContent = looked + " of " + rows.length + " looked at";
    at("asks-wrong").hidden = !told.asks.trim() || amount(told.asks) !== null;
    data.prices.forEach(function (it) {
      var text = told.sold[it.path];
      at("sold-" + it.path + "-wrong").hidden = !text.trim() || amount(text) !== null;
    });
    if (!at("mine").hidden) sayMine(found, now);
    if (!at("seller").hidden) saySeller(found);
    kept.textContent = keep()
      ? "What you tap and type is kept in this browser, on this phone only. Take the file along all the same."
      : "This browser keeps nothing: take the file before you close this page.";
  }

  // ---- the file that intake and import take in

  function quote(text) {
    var sound = text.replace(/[\uD800-\uDBFF](?![\uDC00-\uDFFF])|([^\uD800-\uDBFF]|^)[\uDC00-\uDFFF]/g, "$1\uFFFD");
    return JSON.stringify(sound).replace(/[\u007f-\u009f]/g, function (it) { return "\\u" + ("000" + it.charCodeAt(0).toString(16)).slice(-4); });
  }
  function file() {
    var lines = ["# What was tapped at the door. `asfound intake --doorstep` and `asfound import --doorstep` take it in.", "version = 1", "form = " + quote(data.form)];
    if (data.size) lines.push("size = " + quote(data.size));
    if (data.drawer_rows.length) lines.push("drawers = [" + data.drawer_rows.join(", ") + "]");
    if (data.with.length) lines.push("with = [" + data.with.map(quote).join(", ") + "]");
    if (data.worth) lines.push("worth = " + quote(data.worth));
    if (data.meant_for) lines.push("meant_for = " + quote(data.meant_for));
    var all = ids(), keys = Object.keys(all);
    // A piece needs a title: without one it is called by its form.
    var title = told.title.trim() ? told.title : keys.length ? document.querySelector(".piece").textContent : "";
    if (title) lines.push("title = " + quote(title));
    if (told.asks.trim()) lines.push("seller_asks = " + quote(told.asks));
    if (told.note.trim()) lines.push("note = " + quote(told.note));
    var sold = Object.keys(told.sold).filter(function (it) { return told.sold[it].trim(); });
    if (sold.length) lines.push("", "[sold]");
    sold.forEach(function (it) { lines.push(it + " = " + quote(told.sold[it])); });
    if (keys.length) lines.push("", "[taps]");
    keys.forEach(function (it) { lines.push(quote(it) + " = " + quote(all[it])); });
    return lines.join("\n") + "\n";
  }
  function take() {
    var blob = new File([file()], "doorstep.toml", { type: "text/plain" });
    if (navigator.canShare && navigator.canShare({ files: [blob] })) {
      navigator.share({ files: [blob] }).catch(function () {});
      return;
    }
    var link = document.createElement("a");
    link.href = URL.createObjectURL(blob);
    link.download = "doorstep.toml";
    link.click();
    setTimeout(function () { URL.revokeObjectURL(link.href); }, 10000);
  }

  // ---- wiring

  data.prices.forEach(function (it) { told.sold[it.path] = ""; });
  read();
  rows.forEach(function (row, n) {
    row.choices.forEach(function (it, place) {
      at("tap-" + n + "-" + place).addEventListener("click", function () {
        given[n] = given[n] === place ? null : place;
        show();
      });
    });
  });
  Array.prototype.forEach.call(document.querySelectorAll("[data-all]"), function (button) {
    button.addEventListener("click", function () {
      rows.forEach(function (row, n) { if (row.group === button.dataset.all && given[n] === null) given[n] = 0; });
      show();
    });
  });
  function field(id, from, key) {
    at(id).value = from[key];
    at(id).addEventListener("input", function () { from[key] = at(id).value; show(); });
  }
  field("title", told, "title");
  field("asks", told, "asks");
  field("note", told, "note");
  data.prices.forEach(function (it) { field("sold-" + it.path, told.sold, it.path); });
  var walked = null;
  function open(id, isOpen) {
    ["walk", "mine", "seller"].forEach(function (it) { at(it).hidden = it !== (isOpen ? id : "walk"); });
    at("foot").hidden = isOpen && id === "seller";
    // The seller who holds the phone is one tap from nothing that is private.
    at("to-mine").hidden = isOpen && id === "seller";
    at("to-mine").textContent = isOpen && id === "mine" ? "Back" : "For me";
    at("to-seller").textContent = isOpen && id === "seller" ? "Back" : "For the seller";
    if (isOpen && walked === null) walked = window.scrollY;
    show();
    at(isOpen ? id : "walk").focus({ preventScroll: true });
    window.scrollTo(0, isOpen ? 0 : walked || 0);
    if (!isOpen) walked = null;
  }
  at("to-mine").addEventListener("click", function () { open("mine", at("mine").hidden); });
  at("to-seller").addEventListener("click", function () { open("seller", at("seller").hidden); });
  at("take").addEventListener("click", take);
  at("clear").addEventListener("click", function () {
    if (!window.confirm("Forget all taps and words of this page?")) return;
    given = rows.map(function () { return null; });
    ["title", "asks", "note"].forEach(function (it) { told[it] = ""; at(it).value = ""; });
    data.prices.forEach(function (it) { told.sold[it.path] = ""; at("sold-" + it.path).value = ""; });
    show();
  });
  show();
  touched = true;

  window.asfoundDoorstep = { estimate: estimate, file: file };
})();
