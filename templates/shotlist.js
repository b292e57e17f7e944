(function () {
  "use strict";
  var boxes = Array.prototype.slice.call(document.querySelectorAll("input[type=checkbox]"));
  var name = "asfound shot list: " + document.body.dataset.list;
  var count = document.getElementById("count");
  var kept = document.getElementById("kept");
  var clear = document.getElementById("clear");

  function read() {
    try {
      var list = JSON.parse(window.localStorage.getItem(name) || "[]");
      return Array.isArray(list) ? list : [];
    } catch (e) {
      return [];
    }
  }
  function keep() {
    try {
      var ticked = boxes.filter(function (it) { return it.checked; });
      window.localStorage.setItem(name, JSON.stringify(ticked.map(function (it) { return it.id; })));
      return true;
    } catch (e) {
      return false;
    }
  }
  // Nothing is written over what is kept before somebody ticks: a page that is opened again at once may not find it yet.
  function works() {
    try {
      window.localStorage.setItem(name + " probe", "");
      window.localStorage.removeItem(name + " probe");
      return true;
    } catch (e) {
      return false;
    }
  }
  function show(works) {
    var done = boxes.filter(function (it) { return it.checked; }).length;
    count.textContent = document.body.dataset.ticked.replace("%1", done).replace("%2", boxes.length);
    kept.textContent = works ? document.body.dataset.kept : document.body.dataset.notKept;
    clear.hidden = done === 0;
  }

  var before = read();
  boxes.forEach(function (it) {
    if (before.indexOf(it.id) >= 0) it.checked = true;
    it.addEventListener("change", function () { show(keep()); });
  });
  clear.addEventListener("click", function () {
    boxes.forEach(function (it) { it.checked = false; });
    show(keep());
    if (boxes[0]) boxes[0].focus();
  });
  show(works());
})();
