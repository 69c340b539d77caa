// The rows of a chart that is explored: which places can be read, and what each series says there. It looks up and reads on
// the straight line between two rows; everything was worked out when the site was built.
(function () {
  "use strict";

  function between(xs, values, x) {
    if (!values) return null;
    for (let at = 0; at < xs.length; at += 1) {
      if (xs[at] === x) return values[at];
      if (at && xs[at - 1] < x && x < xs[at]) {
        const part = (x - xs[at - 1]) / (xs[at] - xs[at - 1]);
        return values[at - 1] + part * (values[at] - values[at - 1]);
      }
    }
    return null;
  }

  // Series as objects {name, place, shown, points: [{x, y, low, high, bike, slug}]}.
  function series(data) {
    const list = (key, at) => (data[key] ? data[key][at] : null);
    return data.series.map((name, at) => {
      const lines = Object.fromEntries(["x", "y", "low", "high"].map((key) => [key, list(key, at)]));
      const points = lines.x.map((x, step) => ({
        x,
        y: lines.y[step],
        low: lines.low ? lines.low[step] : null,
        high: lines.high ? lines.high[step] : null,
        bike: data.bikes ? data.bikes[at][step] : null,
        slug: data.slugs ? data.slugs[at][step] : null,
        place: data.place[at],
      }));
      return { name, place: data.place[at], shown: true, points, lines };
    });
  }

  // Places that the reading can stand at, from left to right or from above to below: {x}, and of points the point itself.
  function stops(all, form) {
    const shown = all.filter((one) => one.shown);
    if (form === "points") {
      return shown.flatMap((one) => one.points).sort((one, other) => one.x - other.x || one.y - other.y);
    }
    return [...new Set(shown.flatMap((one) => one.lines.x))].sort((one, other) => one - other).map((x) => ({ x }));
  }

  // What a series says at x; null where it has ended.
  function at(one, x) {
    const [y, low, high] = ["y", "low", "high"].map((key) => between(one.lines.x, one.lines[key], x));
    return y === null ? null : { x, y, low, high, place: one.place };
  }

  guide.chartRows = { series, stops, at };
})();
