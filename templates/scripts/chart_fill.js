// A form of chart, made at build time by Altair, filled with one chart's rows in the reader's units and colours.
(function () {
  "use strict";
  const rows = guide.chartRows;
  const PLAIN = ["", 1, 2]; // names and money are shown as they are

  function scale(unit, system) {
    return (unit || { metric: PLAIN, us: PLAIN })[system];
  }

  // One system for the axes; where both are shown it is the site's first.
  function system() {
    const { units, first } = document.documentElement.dataset;
    return units === "metric" || units === "us" ? units : first || "metric";
  }

  // Colours of the form replaced by those of the style sheet, as they are now.
  function coloured(text, tokens) {
    const style = getComputedStyle(document.documentElement);
    return Object.entries(tokens).reduce(
      (so, [colour, token]) => so.replaceAll(colour, style.getPropertyValue(token).trim() || colour),
      text,
    );
  }

  function titled(name, unit) {
    return unit ? `${name}, ${unit}` : name;
  }

  // Points in the units of the axes.
  function drawn(points, fx, fy) {
    const times = (value) => (value === null ? null : value * fy);
    return points.map((one) => ({ ...one, x: one.x * fx, y: one.y * fy, low: times(one.low), high: times(one.high) }));
  }

  // Of bars: a step aside for each series, and long ones cut.
  function barred(points, data, fy) {
    const cut = data.cut * fy;
    const count = data.series.length;
    return points.map((one) => ({
      ...one,
      down: one.x + ((one.place - (count - 1) / 2) * 0.62) / count,
      to: Math.min(one.y, cut),
      low: Math.min(one.low, cut),
      high: Math.min(one.high, cut),
    }));
  }

  // Datasets and edges for the series that are shown, and the reading at one of the stops.
  function contents(chart) {
    const { kind, data, all, stop } = chart;
    const [, fx] = scale(kind.xUnit, system());
    const [, fy] = scale(kind.yUnit, system());
    const shown = all.filter((one) => one.shown);
    const points = drawn(shown.flatMap((one) => one.points), fx, fy);
    const every = drawn(all.flatMap((one) => one.points), fx, fy);
    const values = { left: Math.min(...every.map((one) => one.x)), right: Math.max(...every.map((one) => one.x)) };
    values.top = 1.08 * Math.max(...every.map((one) => (one.high === null ? one.y : one.high)));
    const datasets = { rows: points, at: [], dots: [], band: [], marks_x: [], marks_y: [] };
    if (kind.form === "bars") {
      datasets.rows = barred(points, data, fy);
      values.right = 1.03 * Math.max(...barred(every, data, fy).map((one) => one.high));
      Object.assign(values, { count: data.names.length, names: data.names });
    } else if (kind.form === "points") {
      const room = 0.06 * (values.right - values.left || 1);
      Object.assign(values, { left: Math.max(0, values.left - room), right: values.right + room });
    } else {
      const last = shown[shown.length - 1];
      if (last && last.lines.low) datasets.band = points.filter((one) => one.place === last.place);
      if (kind.mark) {
        const unit = kind.mark === "x" ? kind.xUnit : kind.yUnit;
        const said = guide.numberText(unit, system(), data.mark);
        const words = kind.words ? `${kind.words}, ${said}` : said;
        datasets[`marks_${kind.mark}`] = [
          kind.mark === "x" ? { x: data.mark * fx, y: 0, words } : { x: values.left, y: data.mark * fy, words },
        ];
      }
    }
    return { values, datasets: { ...datasets, ...reading(chart, stop) } };
  }

  // Datasets of the reading alone.
  function reading(chart, stop) {
    const { kind, all } = chart;
    if (!stop) return { at: [], dots: [] };
    const [, fx] = scale(kind.xUnit, system());
    const [, fy] = scale(kind.yUnit, system());
    if (kind.form === "bars") return { at: [{ from: stop.x - 0.5, until: stop.x + 0.5 }] };
    const found = kind.form === "points" ? [stop] : all.filter((one) => one.shown).map((one) => rows.at(one, stop.x));
    return { at: [{ x: stop.x * fx }], dots: drawn(found.filter(Boolean), fx, fy) };
  }

  // A stop in the units of the axes.
  function spot(chart, stop) {
    const [one] = drawn([stop], scale(chart.kind.xUnit, system())[1], scale(chart.kind.yUnit, system())[1]);
    return one;
  }

  // The whole specification. `given` is the data file of the forms.
  function filled(given, chart, width) {
    const { kind } = chart;
    const { values, datasets } = contents(chart);
    const value = titled(kind.y, scale(kind.yUnit, system())[0]);
    const along = titled(kind.x, kind.form === "points" ? chart.of : scale(kind.xUnit, system())[0]);
    const [across, upwards] = kind.form === "bars" ? [value, ""] : [along, value];
    const form = JSON.stringify({ ...given.forms[kind.form], config: given.config });
    const spec = JSON.parse(coloured(form, given.tokens), (key, part) => {
      if (part === given.titles[0]) return across;
      return part === given.titles[1] ? upwards : part;
    });
    spec.params.forEach((param) => { if (param.name in values) param.value = values[param.name]; });
    if (kind.form === "bars") spec.height = 24 + chart.data.names.length * (18 + 16 * chart.data.series.length);
    return { ...spec, width, datasets };
  }

  guide.chartFill = { filled, reading, spot };
})();
