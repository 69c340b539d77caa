// Rows of a list of bikes out of data, laid out as templates/parts/shelf.html lays them out; and advice where none is left.
(function () {
  "use strict";
  const { make, catalogue } = guide;

  function cell(bike, id, found, spans) {
    if (!found) return make("td", {}, guide.notKnown());
    const [value, , , metric, likely, us, likelyUs] = found;
    const box = make("td", {}, guide.cell(bike.slug, id, value, metric, us));
    if (likely && spans) {
      box.append(make("span", { class: "catalogue__likely" }, "likely ", guide.systems(make("span", { class: "figure" }), likely, likelyUs)));
    }
    return box;
  }

  // The cells of `ids`; columns that the page has not as it was built (`own`) show their intervals too.
  catalogue.row = function (bike, ids, columns, own) {
    const remarks = [bike.use.join(", "), bike.status === "on sale" ? "" : bike.status].filter(Boolean).join("; ");
    const name = make("a", { href: `${guide.root}bikes/${bike.slug}/index.html` }, `${bike.maker} ${bike.name}`);
    return make("tr", { "data-slug": bike.slug }, make("th", { scope: "row" }, name, " ", make("span", { class: "basis" }, remarks)),
      ...ids.map((id) => cell(bike, id, columns.get(id)[bike.place], !own.includes(id))));
  };

  // Which filter to leave out, with the number of bikes that there would be; `act` is given the one that is chosen.
  catalogue.advice = function (bikes, tests, act) {
    const left = (test) => catalogue.chosen(bikes, tests.filter((other) => other !== test)).length;
    const helps = tests.filter(left);
    if (!helps.length) return [make("p", {}, "No bike fits, and no single filter is to blame: loosen two, or reset.")];
    return [make("p", {}, "No bike fits. Leave out one filter:"), make("p", { class: "buttons" }, ...helps.map((test) => {
      const button = make("button", { type: "button", class: "button button--plain" }, `${test.words} (then ${left(test)})`);
      button.addEventListener("click", () => act(test));
      return button;
    }))];
  };
})();
