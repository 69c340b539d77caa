// Unit switch: both systems stand in the page; the reader may hide one. Without this script both are shown.
(function () {
  "use strict";
  const root = document.documentElement;
  const box = document.querySelector(".units");

  function remembered() {
    try { return localStorage.getItem("units"); } catch (error) { return null; }
  }

  // The system that comes second stands in brackets; alone it needs none. For numbers that a script adds later, too.
  guide.unbracket = function (within) {
    const both = root.dataset.units === "both";
    within.querySelectorAll("span[class^='u-'] + span").forEach((span) => {
      const bare = span.textContent.replace(/^\((.*)\)$/, "$1");
      span.textContent = both ? `(${bare})` : bare;
    });
  };

  function show(choice) {
    root.dataset.units = choice;
    box.querySelectorAll("button").forEach((button) => {
      button.setAttribute("aria-pressed", String(button.dataset.show === choice));
    });
    guide.unbracket(document);
    document.dispatchEvent(new CustomEvent("units", { detail: choice }));
  }

  if (!box) return;
  box.addEventListener("click", (event) => {
    const choice = event.target.dataset.show;
    if (!choice) return;
    show(choice);
    try { localStorage.setItem("units", choice); } catch (error) { /* not kept; the page still works */ }
  });
  box.hidden = false;
  const choice = remembered();
  if (choice === "metric" || choice === "us") show(choice);
})();
