// A list's filters as the address bar keeps them: `?sensor=torque&spec.mass=..25&sort=-range.rolling`.
(function () {
  "use strict";
  const { CHOICES, limited } = guide.catalogue;
  const NUMBER = /^-?\d{1,9}(\.\d{1,6})?$/;

  const edge = (text) => (NUMBER.test(text || "") ? text : "");

  guide.catalogue.empty = (system) => ({ choices: {}, limits: {}, sort: "", down: false, sure: false, system });

  // Filters out of an address; what it says wrongly is left out. Limits are metric, or `in=us`.
  guide.catalogue.read = function (search, kinds, system) {
    const given = new URLSearchParams(search);
    const state = guide.catalogue.empty(system);
    for (const id of CHOICES) if (given.get(id)) state.choices[id] = given.get(id);
    for (const [id, text] of given) {
      if (!Object.hasOwn(kinds, id)) continue;
      const [from, to] = text.split("..");
      state.limits[id] = [edge(from), edge(to)];
    }
    if (Object.values(state.limits).some(limited)) state.system = given.get("in") === "us" ? "us" : "metric";
    const sort = given.get("sort") || "";
    state.down = sort.startsWith("-");
    state.sort = state.down ? sort.slice(1) : sort;
    state.sure = given.has("sure");
    return state;
  };

  guide.catalogue.query = function (state) {
    const pairs = new URLSearchParams();
    for (const id of CHOICES) if (state.choices[id]) pairs.set(id, state.choices[id]);
    for (const [id, [from, to]] of Object.entries(state.limits)) pairs.set(id, `${from}..${to}`);
    if (state.system === "us" && Object.values(state.limits).some(limited)) pairs.set("in", "us");
    if (state.sure) pairs.set("sure", "yes");
    if (state.sort) pairs.set("sort", (state.down ? "-" : "") + state.sort);
    return String(pairs) && `?${pairs}`;
  };
})();
