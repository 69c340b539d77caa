// Unit switch: both systems stand in the page; the reader may hide one. Without this script both are shown.
(function () {
  "use strict";
  var box = document.querySelector(".units");
  if (!box) return;
  var root = document.documentElement;

  function remembered() {
    try { return localStorage.getItem("units"); } catch (error) { return null; }
  }

  function show(choice) {
    root.dataset.units = choice;
    box.querySelectorAll("button").forEach(function (button) {
      button.setAttribute("aria-pressed", String(button.dataset.show === choice));
    });
    // The system that comes second stands in brackets; alone it needs none.
    document.querySelectorAll(".figure > span + span").forEach(function (span) {
      var bare = span.textContent.replace(/^\((.*)\)$/, "$1");
      span.textContent = choice === "both" ? "(" + bare + ")" : bare;
    });
  }

  box.addEventListener("click", function (event) {
    var choice = event.target.dataset.show;
    if (!choice) return;
    show(choice);
    try { localStorage.setItem("units", choice); } catch (error) { /* not kept; the page still works */ }
  });
  box.hidden = false;
  var choice = remembered();
  if (choice === "metric" || choice === "us") show(choice);
})();
