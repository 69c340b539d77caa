// "Your ride": form, address and remembered weight hold the same settings; the table of ranges follows them.
(function () {
  "use strict";
  const box = document.getElementById("ride");
  if (!box) return;
  const { make } = guide;
  const KEYS = ["mass", "effort", "hill", "wind", "warmth", "age"];
  const KEPT = "ride-mass";
  const controls = {};
  let table, ride, status, result;

  function kept() {
    try { return Number(localStorage.getItem(KEPT)) || null; } catch (error) { return null; }
  }

  function keep() {
    try { localStorage.setItem(KEPT, String(ride.mass)); } catch (error) { /* not kept; the page still works */ }
  }

  const steps = (key) => table[`${key}s`];
  const spans = () => ({ ...table.spans, ...Object.fromEntries(["hill", "wind", "warmth", "age"].map((key) => [key, [0, steps(key).length - 1]])) });

  // Whole numbers inside their spans; anything else is as usual.
  function sound(given) {
    const found = { ...table.usual };
    for (const [key, [low, high]] of Object.entries(spans())) {
      const value = given[key];
      if (Number.isFinite(value) && (value === table.usual[key] || Number.isInteger(value)) && value >= low && value <= high) found[key] = value;
    }
    return found;
  }

  function fromAddress() {
    const found = /^#ride=([-\d.,]+)$/.exec(location.hash);
    return found && Object.fromEntries(found[1].split(",").map((part, place) => [KEYS[place], Number(part)]));
  }

  const words = {
    mass: () => text(table.units.mass, ride.mass),
    effort: () => `${ride.effort}\u00a0W, ${table.efforts.find((each) => ride.effort < each[0])[1]}`,
    hill: () => pair(table.units.climb, table.hills[ride.hill]),
    wind: () => pair(table.units.wind, table.winds[ride.wind]),
    warmth: () => {
      const [degrees, said] = table.warmths[ride.warmth];
      return `${said}, ${guide.digits(degrees, 0)}\u00a0°C (${guide.digits(degrees * 1.8 + 32, 0)}\u00a0°F)`;
    },
    age: () => table.ages[ride.age][1],
  };

  function text(unit, value) {
    const system = document.documentElement.dataset.units;
    const one = (which) => guide.numberText(unit, which, value);
    if (system === "metric" || system === "us") return one(system);
    const [first, second] = document.documentElement.dataset.first === "us" ? ["us", "metric"] : ["metric", "us"];
    return `${one(first)} (${one(second)})`;
  }
  const pair = (unit, [value, said]) => `${said}, ${text(unit, value)}`;

  function field(key, label, hint) {
    const [low, high] = spans()[key];
    const input = make("input", { type: "range", id: `ride-${key}`, min: low, max: high, step: 1, "aria-describedby": hint ? `ride-${key}-hint` : null });
    const output = make("output", { for: `ride-${key}` });
    input.addEventListener("input", () => {
      ride[key] = Number(input.value);
      if (key === "mass") keep();
      show(true);
    });
    controls[key] = [input, output];
    return make("div", { class: "field" }, make("label", { for: `ride-${key}` }, label),
      ...(hint ? [make("p", { class: "hint", id: `ride-${key}-hint` }, hint)] : []),
      make("div", { class: "slide" }, input, output));
  }

  function button(title, change) {
    const made = make("button", { type: "button", class: "button button--plain" }, title);
    made.addEventListener("click", () => { Object.assign(ride, change); ride = sound(ride); keep(); show(true); });
    return made;
  }

  const REASONS = {
    outside: "outside what this table covers",
    pushed: "not told: it would have to be pushed up the steepest part",
  };

  function ranges(found) {
    if (found.range) return guide.number(table.units.distance, ...found.range);
    if (found.why === "hardly") return make("span", {}, "more than ", guide.number({ metric: ["km", 1e-3, 0], us: [table.units.distance.us[0], table.units.distance.us[1], 0] }, found.least), ": the motor hardly helps");
    return make("span", { class: "not-known" }, REASONS[found.why]);
  }

  const speeds = (found) => (found.speed ? guide.number(table.units.speed, found.speed) : make("span", { class: "not-known" }, "not known"));

  function show(changed) {
    for (const [key, [input, output]] of Object.entries(controls)) {
      input.value = ride[key];
      output.value = words[key]();
      input.setAttribute("aria-valuetext", output.value);
    }
    const rows = table.levels.map((level) => ({ name: level.name, found: guide.rideOf(table, level, ride) }));
    result.replaceChildren(...rows.map(({ name, found }) =>
      make("tr", {}, make("th", { scope: "row" }, name), make("td", {}, ranges(found)), make("td", {}, speeds(found)))),
    make("tr", {}, make("th", { scope: "row" }, "Motor off"), make("td", {}, "no range: you are the motor"), make("td", {}, "")));
    const middle = rows.find((row) => row.name === table.middle) || rows[0];
    const said = [`Level ${middle.name}: `, ranges(middle.found)];
    if (middle.found.speed) said.push(", at ", speeds(middle.found), " on average");
    status.replaceChildren(...said, ".");
    if (changed) {
      const usual = KEYS.every((key) => ride[key] === table.usual[key]);
      history.replaceState(null, "", usual ? location.pathname + location.search : `#ride=${KEYS.map((key) => ride[key]).join(",")}`);
    }
  }

  function build(found) {
    table = found;
    const given = fromAddress();
    ride = sound(given || { mass: kept() });
    status = make("p", { role: "status", class: "answer" });
    result = make("tbody", {});
    const head = (title) => make("th", { scope: "col" }, title);
    box.append(
      make("p", {}, `Start from a rider of this publication, or set your own. The road is ${table.route}, its hills lower or higher, its stops and surface as they are.`),
      make("div", { class: "buttons" }, ...table.riders.map(([name, mass, effort]) => button(name[0].toUpperCase() + name.slice(1), { mass, effort })), button("Reset", table.usual)),
      make("div", { class: "fields" },
        field("mass", "Weight", "You, dressed, with what you carry."),
        field("effort", "How hard you pedal", "At the pedals, for most of the way."),
        field("hill", "Hills", "Height climbed for each stretch of road."),
        field("wind", "Wind", "Against you on the way out, behind you on the way back."),
        field("warmth", "Temperature", "A cold battery gives less."),
        field("age", "Battery", "An old one gives less.")),
      status,
      make("div", { class: "table-scroll", role: "region", tabindex: 0, "aria-labelledby": "ride-result" },
        make("table", { class: "record" }, make("caption", { id: "ride-result" }, "Your ride by level"),
          make("thead", {}, make("tr", {}, head("Level"), head("Range"), head("Average speed"))), result)),
      make("p", { class: "hint" }, `Looked up in a table made with this page, which may add 2 % of its own. “Likely” is as wide, in proportion, as for the published range. Cadence is that of ${table.rider}; a rider here carries the usual bag. The battery is as warm as the air: charge and store it only as its maker says.`));
    show(false);
  }

  function open() {
    if (!box.open || box.dataset.asked) return;
    box.dataset.asked = "yes";
    guide.load(box.dataset.ride).then(build, () => {
      delete box.dataset.asked;
      box.append(make("p", {}, "The table could not be loaded."));
    });
  }

  box.hidden = false;
  box.addEventListener("toggle", open);
  document.addEventListener("units", () => { if (table) show(false); });
  if (fromAddress()) { box.open = true; open(); box.scrollIntoView(); }
})();
