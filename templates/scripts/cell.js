// A figure of a bike in a table, linked to its working, out of the ready texts of a data file.
(function () {
  "use strict";
  guide.cell = function (slug, id, value, metric, us) {
    const box = guide.both(value, metric, us);
    box.dataset.bike = slug;
    box.dataset.figure = id;
    return guide.make("a", { class: "fig", href: `${guide.root}bikes/${slug}/index.html#fig-${id.replaceAll(".", "-")}` }, box);
  };
  guide.lost = "The data did not load. Check the connection and load the page again.";
  guide.notKnown = () => guide.make("span", { class: "not-known" }, "not known");

  // Put a search into the address bar: a page on a disk may not, and works all the same.
  guide.keep = function (search) {
    if (search === location.search) return;
    try { history.pushState(null, "", search || location.pathname); } catch (error) { /* shown, but not in the address */ }
  };
})();
