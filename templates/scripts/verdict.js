// What figures side by side say: the rule of generator/pages/compare/differences.py. A figure is [value, low, high, …, unit?].
(function () {
  "use strict";
  const MORE = { higher: ["better", "best"], lower: ["better", "best"], neither: ["higher", "highest"] };
  const UNIT = 5; // its place in a figure; missing where the unit is the kind's own

  const listed = (names) => (names.length > 1 ? `${names.slice(0, -1).join(", ")} and ${names.at(-1)}` : names.join(""));
  const first = (items, before) => items.reduce((found, each) => (before(each.figure, found.figure) ? each : found));
  const meet = (one, other) => one[1] <= other[2] && other[1] <= one[2];

  // One value for all, without uncertainty.
  const exactly = (known) => new Set(known.flatMap((each) => each.figure.slice(0, 3))).size === 1;

  function ofKnown(known, better) {
    if (exactly(known)) return { words: "the same", clear: false, best: [] };
    const above = first(known, (one, other) => one[1] > other[1]);
    const below = first(known, (one, other) => one[2] < other[2]);
    if (above.figure[1] <= below.figure[2]) return { words: "no clear difference", clear: false, best: [] };
    const [more, most] = MORE[better];
    const top = first(known, better === "lower" ? (one, other) => one[0] < other[0] : (one, other) => one[0] > other[0]);
    const level = known.filter((each) => each !== top && meet(each.figure, top.figure));
    if (level.length === known.length - 1) {
      const [one, other] = better === "lower" ? [below, above] : [above, below];
      return { words: `no clear ${most}, though ${one.name} is clearly ${more} than ${other.name}`, clear: true, best: [] };
    }
    const best = better === "neither" ? [] : [top, ...level].map((each) => each.place).sort();
    if (!level.length) return { words: `${known.length === 2 ? more : most}: ${top.name}`, clear: true, best };
    const beside = exactly([top, ...level]) ? "the same as" : "no clear difference from";
    return { words: `${most}: ${top.name}, ${beside} ${listed(level.map((each) => each.name))}`, clear: true, best };
  }

  // One kind of figure of two bikes or more, undefined where a bike has none; `names` in the same order.
  guide.verdict = function (figures, names, better) {
    const all = figures.map((figure, place) => ({ figure, place, name: names[place] }));
    const known = all.filter((each) => each.figure);
    const lacking = `not known: ${listed(all.filter((each) => !each.figure).map((each) => each.name))}`;
    if (known.length < 2) return { words: lacking, clear: false, best: [] };
    if (known.some((each) => each.figure[UNIT] !== known[0].figure[UNIT])) {
      return { words: "different currencies, not compared", clear: false, best: [] };
    }
    const said = ofKnown(known, better);
    return known.length === all.length ? said : { ...said, words: `${said.words}; ${lacking}` };
  };

  // What stands beside the figure of a bike that leads.
  guide.mark = (said, place) => (!said.best.includes(place) ? "" : said.best.length === 1 ? "best" : "among the best");
})();
