// A chart to explore in place of its still picture: series to choose, a reading that follows pointer and arrow keys, words
// for what is read. Nothing moves by itself.
(function () {
  "use strict";
  const rows = guide.chartRows;
  const fill = guide.chartFill;
  const SVG = "http://www.w3.org/2000/svg";
  const SHAPES = ["M7 0a5 5 0 1 0 10 0a5 5 0 1 0-10 0z", "M8-4h8v8h-8z", "M12-5l5 9h-10z", "M12-6l5 6-5 6-5-6z", "M10-5h4v3h3v4h-3v3h-4v-3h-3v-4h3z"];
  const DASHES = ["", "7 3", "2 2", "9 3 2 3", "14 4"];
  let count = 0;

  function swatch(place, form) {
    const picture = document.createElementNS(SVG, "svg");
    const part = (name, attributes) => {
      const one = document.createElementNS(SVG, name);
      Object.entries(attributes).forEach(([key, value]) => one.setAttribute(key, value));
      picture.append(one);
    };
    Object.entries({ viewBox: "0 -8 24 16", "aria-hidden": "true", class: `swatch swatch--${form === "points" ? 2 - place : place + 1}` })
      .forEach(([key, value]) => picture.setAttribute(key, value));
    if (form === "lines") part("path", { d: "M0 0H24", "stroke-dasharray": DASHES[place] || "none" });
    part("path", { class: "swatch__mark", d: form === "points" ? SHAPES[place ? 0 : 3] : SHAPES[place] });
    return picture;
  }

  async function prepared(figure) {
    const { chart: name, of } = figure.dataset;
    const given = await guide.load("assets/chart-forms.js");
    const kind = given.kinds[name];
    const [data] = await Promise.all([guide.load(kind.rows.replace("{of}", of)), guide.script("assets/vega.js")]);
    return { given, kind, data: data[name] };
  }

  guide.explore = async function (figure, back) {
    const { given, kind, data } = await prepared(figure);
    const title = figure.querySelector("strong").textContent;
    const plate = figure.querySelector(".chart__plate");
    const id = `explore-${count += 1}`;
    const chart = { kind, data, of: figure.dataset.of, all: rows.series(data), stop: null };
    let stops = rows.stops(chart.all, kind.form);
    let view = null;
    let turn = 0; // drawings overtake each other; only the last counts

    const picture = guide.make("div", { class: "live__picture", role: "img", "aria-label": title });
    const told = guide.make("div", { class: "live__reading", role: "status" });
    const slider = guide.make("input", { type: "range", id, min: 0, step: 1 });
    const along = kind.form === "points" ? "Bike, by price" : kind.x;
    const close = guide.make("button", { type: "button", class: "button button--plain" }, "Back to the still picture");
    const buttons = chart.all.map((one) => {
      const button = guide.make("button", { type: "button", "aria-pressed": "true" }, swatch(one.place, kind.form), one.name);
      button.addEventListener("click", () => toggle(one, button));
      return button;
    });
    const live = guide.make(
      "div", { class: "live" },
      guide.make("div", { class: "live__series", role: "group", "aria-label": `Shown: each ${kind.series}` }, ...buttons),
      picture,
      guide.make("label", { for: id }, `${along}, by arrow keys or by pointing at the chart`),
      slider, told, close,
    );

    function where(stop) {
      if (stop.bike) return stop.bike;
      return data.names ? data.names[stop.x] : guide.number(kind.xUnit, stop.x);
    }

    function read(index) {
      const stop = stops[index];
      chart.stop = stop || null;
      told.replaceChildren();
      if (!stop) {
        told.append("Nothing is shown.");
        return;
      }
      slider.value = index;
      const place = where(stop);
      slider.setAttribute("aria-valuetext", place.textContent || place);
      const list = guide.make("dl", {});
      const say = (name, value) => list.append(guide.make("div", {}, guide.make("dt", {}, ...name), guide.make("dd", {}, value)));
      if (kind.form === "points") {
        say([kind.x], `${guide.digits(stop.x, 0)} ${chart.of}`);
        say([kind.y], guide.number(kind.yUnit, stop.y, stop.low, stop.high));
        const page = guide.make("a", { href: `${guide.root}bikes/${stop.slug}/index.html` }, stop.bike);
        told.append(guide.make("p", {}, page), list);
      } else {
        chart.all.filter((one) => one.shown).forEach((one) => {
          const value = rows.at(one, stop.x);
          say([swatch(one.place, kind.form), one.name], value ? guide.number(kind.yUnit, value.y, value.low, value.high) : "–");
        });
        told.append(guide.make("p", {}, `${kind.x} `, guide.make("strong", {}, place)), list);
      }
      if (view) {
        Object.entries(fill.reading(chart, stop)).forEach(([name, found]) => view.data(name, found));
        view.runAsync();
      }
    }

    function toggle(one, button) {
      const stop = chart.stop;
      one.shown = !one.shown;
      button.setAttribute("aria-pressed", String(one.shown));
      begin(stop);
      draw();
    }

    // The stops, and the one nearest to where the reading was; in the middle at first.
    function begin(stop) {
      stops = rows.stops(chart.all, kind.form);
      slider.max = Math.max(stops.length - 1, 0);
      slider.disabled = !stops.length;
      let index = Math.floor((stops.length - 1) / 2);
      if (stop) index = nearest((one) => Math.abs(one.x - stop.x) + Math.abs((one.y || 0) - (stop.y || 0)) * 1e-9);
      read(index);
    }

    function nearest(distance) {
      let best = 0;
      stops.forEach((one, index) => { if (distance(one) < distance(stops[best])) best = index; });
      return best;
    }

    function pointed(event) {
      if (!view || !stops.length) return;
      const box = picture.querySelector("svg").getBoundingClientRect();
      const [left, top] = view.origin();
      const padding = view.padding();
      const x = event.clientX - box.left - left - padding.left;
      const y = event.clientY - box.top - top - padding.top;
      const [across, down] = [view.scale("x"), view.scale("y")];
      const away = (one) => {
        const spot = fill.spot(chart, one);
        if (kind.form === "bars") return Math.abs(down(spot.x) - y);
        return kind.form === "points" ? Math.hypot(across(spot.x) - x, down(spot.y) - y) : Math.abs(across(spot.x) - x);
      };
      const index = nearest(away);
      if (stops[index] !== chart.stop) read(index);
    }

    async function draw() {
      const mine = turn += 1;
      const frame = guide.make("div", {});
      const spec = fill.filled(given, chart, picture.clientWidth);
      const made = await window.vegaEmbed(frame, spec, {
        ast: true, actions: false, defaultStyle: false, tooltip: false, renderer: "svg",
      });
      if (mine !== turn) { made.finalize(); return; }
      if (view) view.finalize();
      view = made.view;
      picture.replaceChildren(frame);
    }

    const again = () => draw();
    const dark = window.matchMedia("(prefers-color-scheme: dark)");
    const size = new ResizeObserver(() => { if (picture.clientWidth !== width) { width = picture.clientWidth; draw(); } });
    let width = 0;

    function leave() {
      turn += 1;
      if (view) view.finalize();
      size.disconnect();
      document.removeEventListener("units", again);
      dark.removeEventListener("change", again);
      live.remove();
      plate.hidden = false;
      figure.classList.remove("chart--live");
      back();
    }

    slider.addEventListener("input", () => read(Number(slider.value)));
    picture.addEventListener("pointermove", pointed);
    picture.addEventListener("pointerdown", pointed);
    close.addEventListener("click", leave);
    document.addEventListener("units", again);
    dark.addEventListener("change", again);

    plate.hidden = true;
    figure.classList.add("chart--live");
    plate.after(live);
    begin(null);
    width = picture.clientWidth;
    await draw();
    size.observe(picture);
    slider.focus();
  };
})();
