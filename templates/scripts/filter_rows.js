// Which bikes a list shows, and in which order: filters and sorting over all bikes, on the columns of data/columns.
(function () {
  "use strict";
  const UNIT = 7; // place in a cell of the unit, where it is not the column's own
  const CHOICES = ["use", "motor", "sensor", "law", "status"];

  // All bikes as objects; `place` is that of their cell in every column.
  const unpack = (list) => list.rows.map((row, place) =>
    ({ place, ...Object.fromEntries(list.fields.map((name, at) => [name, row[at]])) }));

  const limited = ([from, to]) => from !== "" || to !== "";

  // Does a cell lie within limits as typed? With `sure` its whole interval must.
  function within(cell, [from, to], factor, sure) {
    if (!cell || cell[UNIT] !== undefined) return false;
    const slack = 1e-9; // 0.12 in SI is 12.000000000000002 %
    const [low, high] = sure ? [cell[1], cell[2]] : [cell[0], cell[0]];
    return (from === "" || low * factor >= Number(from) - slack * Math.abs(from))
      && (to === "" || high * factor <= Number(to) + slack * Math.abs(to));
  }

  // The filters of a state, each with what to call it, how to take it out, and its test of a bike.
  function filters(state, kinds, columns, words) {
    const found = CHOICES.filter((id) => state.choices[id]).map((id) => {
      const answer = state.choices[id];
      return {
        words: `${words(id)}: ${answer}`,
        without: { ...state, choices: { ...state.choices, [id]: "" } },
        test: (bike) => (id === "use" ? bike.use.includes(answer) : bike[id] === answer),
      };
    });
    for (const [id, limits] of Object.entries(state.limits).filter((each) => limited(each[1]))) {
      const [symbol, factor] = kinds[id].unit[state.system];
      const said = [limits[0] && `from ${limits[0]}`, limits[1] && `to ${limits[1]}`].filter(Boolean).join(" ");
      found.push({
        words: `${kinds[id].title}: ${said} ${symbol}`.trim(),
        without: { ...state, limits: { ...state.limits, [id]: ["", ""] } },
        test: (bike) => within(columns.get(id)[bike.place], limits, factor, state.sure),
      });
    }
    return found;
  }

  // In the order of the list, or sorted; prices of another currency stand after those of the column's own.
  function sorted(bikes, state, columns) {
    if (!state.sort) return bikes;
    if (state.sort === "name") {
      return [...bikes].sort((one, other) => guide.order(`${one.maker} ${one.name}`, `${other.maker} ${other.name}`, state.down));
    }
    const cell = (bike) => columns.get(state.sort)[bike.place];
    const unit = (bike) => (cell(bike) ? cell(bike)[UNIT] || "" : null);
    const key = (bike) => (cell(bike) ? cell(bike)[0] : null);
    return [...bikes].sort((one, other) => guide.order(unit(one), unit(other)) || guide.order(key(one), key(other), state.down));
  }

  guide.catalogue = {
    CHOICES,
    unpack,
    limited,
    filters,
    sorted,
    chosen: (bikes, tests) => bikes.filter((bike) => tests.every((one) => one.test(bike))),
  };
})();
