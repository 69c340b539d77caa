// A list of bikes that filters and sorts over all its pages. Nothing is loaded before a reader asks; with no filter and
// no order of the reader's own, the table stands as it was built.
(function () {
  "use strict";
  const table = document.getElementById("catalogue");
  const body = table.tBodies[0];
  const form = document.getElementById("filter");
  const fold = form.closest("details");
  const count = document.getElementById("count");
  const loosen = document.getElementById("loosen");
  const limits = document.getElementById("limits");
  const figures = document.getElementById("more-figures");
  const meanings = document.getElementById("meanings");
  const pages = document.getElementById("pages");
  const { make, catalogue } = guide;
  const built = { rows: [...body.rows], count: count.textContent };
  const own = [...table.tHead.rows[0].cells].map((head) => head.dataset.key).filter((key) => key !== "name");
  const asked = ["spec.price", "spec.mass"]; // limits that the form always offers
  const step = Number(table.dataset.rows);
  const more = make("button", { type: "button", class: "button button--plain", hidden: true });
  const root = document.documentElement;
  let kinds, bikes, state, ready, shown = step, latest = 0;

  const reading = () => (root.dataset.units === "both" ? root.dataset.first : root.dataset.units);
  const label = (id) => form.querySelector(`label[for="f-${id}"]`)?.textContent || "Use";
  const added = () => Object.keys(state.limits).filter((id) => !own.includes(id));
  const columnFile = (id) => guide.load(`data/columns/${id}.js`);
  const failed = () => { count.textContent = guide.lost; };
  const idle = () => !catalogue.query(state);

  // Lists and kinds, once; then the parts of the form that need them.
  function prepare() {
    ready = ready || Promise.all([guide.load("data/bikes.js"), guide.load("data/kinds.js")]).then(([list, found]) => {
      kinds = found.kinds;
      bikes = catalogue.unpack(list).filter((bike) => !table.dataset.use || bike.use.includes(table.dataset.use));
      for (const group of new Set(Object.values(kinds).map((kind) => kind.group))) {
        const members = Object.entries(kinds).filter((each) => each[1].group === group);
        figures.append(make("optgroup", { label: group[0].toUpperCase() + group.slice(1) }, ...members.map(([id, kind]) => make("option", { value: id }, kind.title))));
      }
      fromAddress();
      form.dataset.ready = "true";
    });
    ready.catch(() => { ready = null; failed(); });
    return ready;
  }

  function fromAddress() {
    state = catalogue.read(location.search, kinds, reading());
    if (state.sort !== "name" && !own.includes(state.sort) && !Object.hasOwn(state.limits, state.sort)) state.sort = "";
    fill();
    return render();
  }

  function limitField(id) {
    const [symbol] = kinds[id].unit[state.system];
    const [from, to] = ["from", "to"].map((words, edge) => make("label", {}, `${words} `,
      make("input", { type: "number", step: "any", "data-id": id, "data-edge": edge, value: (state.limits[id] || ["", ""])[edge] })));
    const box = make("fieldset", { class: "catalogue__limit" }, make("legend", {}, kinds[id].title + (symbol && `, ${symbol}`)), from, " ", to);
    if (!asked.includes(id)) {
      const remove = make("button", { type: "button", class: "button button--plain", "aria-label": `Remove ${kinds[id].title}` }, "Remove");
      remove.addEventListener("click", () => {
        const { [id]: gone, ...rest } = state.limits;
        change({ limits: rest, sort: state.sort === id && !own.includes(id) ? "" : state.sort });
        fill();
        figures.focus();
      });
      box.append(" ", remove);
    }
    return box;
  }

  function fill() {
    for (const id of catalogue.CHOICES) if (form.elements[id]) form.elements[id].value = state.choices[id] || "";
    form.elements.sure.checked = state.sure;
    const ids = new Set([...asked.filter((id) => kinds[id]), ...Object.keys(state.limits)]);
    limits.replaceChildren(...[...ids].map(limitField));
  }

  function collect() {
    const choices = {};
    for (const id of catalogue.CHOICES) if (form.elements[id]?.value) choices[id] = form.elements[id].value;
    const found = {};
    limits.querySelectorAll("input").forEach((input) => {
      const { id, edge } = input.dataset;
      found[id] = found[id] || ["", ""];
      found[id][edge] = input.value;
    });
    for (const id of Object.keys(found)) if (asked.includes(id) && !catalogue.limited(found[id])) delete found[id];
    return { choices, limits: found, sure: form.elements.sure.checked };
  }

  function change(parts) {
    state = { ...state, ...parts };
    shown = step;
    guide.keep(catalogue.query(state));
    return render();
  }

  function heads() {
    const row = table.tHead.rows[0];
    const extra = added();
    [...row.cells].forEach((head) => { if (head.dataset.key !== "name" && !own.includes(head.dataset.key) && !extra.includes(head.dataset.key)) head.remove(); });
    [...meanings.querySelectorAll("[data-id]")].forEach((each) => { if (!extra.includes(each.dataset.id)) each.remove(); });
    for (const id of extra) {
      if (row.querySelector(`[data-key="${id}"]`)) continue;
      const head = make("th", { scope: "col", "data-key": id }, kinds[id].short);
      row.append(head);
      sortable(head);
      meanings.append(make("div", { "data-id": id }, make("dt", {}, make("a", { href: guide.root + kinds[id].href }, kinds[id].title)), make("dd", {}, kinds[id].words)));
    }
    guide.sorted(table, state.sort && row.querySelector(`[data-key="${state.sort}"]`), state.down);
  }

  // The rows of now: those of the build while nothing is asked, else rows made from data, always in the same way.
  async function render() {
    const run = ++latest;
    const ids = [...own, ...added()];
    const files = idle() ? [] : await Promise.all(ids.map(columnFile)).catch(failed);
    if (!files || run !== latest) return;
    heads();
    if (pages) pages.hidden = !idle();
    if (idle()) {
      body.replaceChildren(...built.rows);
      count.textContent = built.count;
      loosen.replaceChildren();
      more.hidden = true;
      guide.repick();
    } else {
      const columns = new Map(ids.map((id, at) => [id, files[at]]));
      const tests = catalogue.filters(state, kinds, columns, label);
      const found = catalogue.sorted(catalogue.chosen(bikes, tests), state, columns);
      body.replaceChildren(...found.slice(0, shown).map((bike) => catalogue.row(bike, ids, columns, own)));
      guide.pickable(body.rows);
      const rest = found.length - shown;
      more.hidden = rest <= 0;
      more.textContent = `Show ${Math.min(rest, step)} more`;
      count.textContent = `${found.length} of ${bikes.length} bikes${rest > 0 ? `, the first ${shown} shown` : ""}`;
      loosen.replaceChildren(...(found.length ? [] : catalogue.advice(bikes, tests, (test) => {
        change(test.without);
        fill();
        table.parentElement.focus();
      })));
    }
    table.dataset.shown = catalogue.query(state);
  }

  function sortable(head) {
    guide.sortButton(head, () => prepare().then(() => {
      const { key } = head.dataset;
      change({ sort: key, down: state.sort === key && !state.down });
    }));
  }

  // Limits that were typed in the other unit system keep their meaning.
  function changeUnits() {
    if (!state || state.system === reading()) return;
    const system = reading();
    const turned = Object.entries(state.limits).map(([id, edges]) => {
      const [, old] = kinds[id].unit[state.system];
      const [, factor, decimals] = kinds[id].unit[system];
      return [id, edges.map((edge) => edge && String(Number(((edge / old) * factor).toFixed(decimals))))];
    });
    change({ system, limits: Object.fromEntries(turned) });
    fill();
  }

  [...table.tHead.rows[0].cells].forEach(sortable);
  guide.pickable(built.rows);
  table.parentElement.after(more);
  more.addEventListener("click", () => {
    shown += step;
    render();
  });
  fold.addEventListener("toggle", () => { if (fold.open) prepare(); });
  form.addEventListener("change", (event) => { if (event.target !== figures) change(collect()); });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    change(collect());
    table.parentElement.focus();
  });
  form.addEventListener("reset", (event) => {
    event.preventDefault();
    state = catalogue.empty(reading());
    change({});
    fill();
  });
  document.getElementById("add-figure").addEventListener("click", () => {
    const id = figures.value;
    change({ limits: { ...state.limits, [id]: state.limits[id] || ["", ""] } });
    fill();
    limits.querySelector(`[data-id="${id}"]`).focus();
  });
  document.addEventListener("units", changeUnits);
  addEventListener("popstate", () => { if (ready) ready.then(() => { if (catalogue.query(catalogue.read(location.search, kinds, reading())) !== catalogue.query(state)) fromAddress(); }); });
  if (location.search) {
    fold.open = true;
    prepare();
  }
})();
