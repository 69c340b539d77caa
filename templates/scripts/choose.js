// "Help me choose": form and address bar hold the same answers; the list follows them. The page says the rule in words.
(function () {
  "use strict";
  const form = document.getElementById("questions");
  const list = document.getElementById("list");
  const status = document.getElementById("status");
  const head = document.getElementById("result");
  const { make } = guide;
  const words = guide.choosingWords;
  let tables, answers;

  const named = (bike) => make("a", { href: words.link(bike) }, bike.name);
  // What is folded away is made when it is first opened; it may be long.
  function fold(title, list, rows) {
    const box = make("details", {}, make("summary", {}, title), list);
    box.addEventListener("toggle", () => list.append(...rows()), { once: true });
    return box;
  }

  const plural = (count, singular, more) => `${count} ${count === 1 ? singular : more}`;

  // Answers out of an address; what it does not say, or says wrongly, is as usual.
  function read(search) {
    const given = new URLSearchParams(search);
    const found = { ...tables.usual, weights: {} };
    for (const id of Object.keys(tables.usual)) {
      const answer = given.get(id);
      if (answer === null) continue;
      const known = id === "budget" ? /^[1-9]\d{0,5}$/.test(answer) : tables.changes[id].some((each) => each[0] === answer);
      if (known) found[id] = answer;
    }
    for (const part of (given.get("w") || "").split(".")) {
      const [, id, weight] = /^([a-z]+)([0-4])$/.exec(part) || [];
      const wish = tables.wishes.find((each) => each.id === id);
      if (wish && Number(weight) !== wish.weight) found.weights[id] = Number(weight);
    }
    return found;
  }

  // The same back; only what is not as usual.
  function query(given) {
    const pairs = new URLSearchParams();
    for (const [id, usual] of Object.entries(tables.usual)) if (given[id] !== usual) pairs.set(id, given[id]);
    const changed = tables.wishes.filter((wish) => guide.choosing.weight(given, wish) !== wish.weight);
    if (changed.length) pairs.set("w", changed.map((wish) => wish.id + given.weights[wish.id]).join("."));
    return String(pairs) && `?${pairs}`;
  }

  function slider(wish) { return document.getElementById(`w-${wish.id}`); }

  function say(wish) {
    const input = slider(wish);
    const text = input.dataset.words.split("|")[input.value];
    input.nextElementSibling.value = text;
    input.setAttribute("aria-valuetext", text);
  }

  function fill() {
    for (const id of Object.keys(tables.usual)) if (form.elements[id]) form.elements[id].value = answers[id];
    for (const wish of tables.wishes) {
      slider(wish).value = guide.choosing.weight(answers, wish);
      say(wish);
    }
  }

  function collect() {
    const found = { ...tables.usual, weights: {} };
    for (const id of Object.keys(tables.usual)) if (form.elements[id]) found[id] = form.elements[id].value;
    if (!/^[1-9]\d{0,5}$/.test(found.budget)) found.budget = "";
    for (const wish of tables.wishes) {
      const weight = Number(slider(wish).value);
      if (weight !== wish.weight) found.weights[wish.id] = weight;
    }
    return found;
  }

  function row(place) {
    const { bike } = place;
    const close = place.close ? " Close to the one before: no clear order." : "";
    const reasons = place.fits.filter((fit) => fit.weight).map((fit) => make("li", {}, ...words.reason(tables, bike, answers, fit)));
    const doubts = place.doubts.map((id) => make("li", { class: "reasons__doubt" }, ...words.filled(tables.doubts[id], tables, bike, answers)));
    return make("li", {}, make("h3", {}, named(bike)),
      make("p", { class: "hint" }, `${Math.floor(place.score / 10 + 0.5)} of 100. ${words.facts(tables, bike)}.${close}`),
      make("ul", { class: "reasons" }, ...reasons, ...doubts));
  }

  function change({ words: said, answers: other, bike }) {
    const there = make("a", { href: query(other) || location.pathname }, said[0].toUpperCase() + said.slice(1));
    there.addEventListener("click", (event) => {
      event.preventDefault();
      answers = other;
      fill();
      show(true);
      head.focus();
    });
    return make("li", {}, there, ", ", named(bike), " would come first.");
  }

  function why(bike, sentences) {
    return make("li", {}, named(bike), ": ", ...sentences.flatMap((each) => [...each, " "]));
  }

  function render() {
    const ranking = guide.choosing.rank(tables, answers);
    const { places } = ranking;
    const shown = tables.limits.shown;
    const left = ranking.left.filter(({ musts }) => musts[0] !== "use");
    if (!places.length) left.sort((one, other) => one.musts.length - other.musts.length); // the nearest misses first
    const parts = [make("p", { class: "answer" }, make("strong", {}, words.status(places))),
      make("ol", { class: "shortlist" }, ...places.slice(0, shown).map(row))];
    if (places.length > 1) {
      const first = places.slice(0, 3).map(({ bike }) => bike.slug);
      parts.push(make("p", {}, make("a", { href: `${guide.root}compare/index.html?bikes=${first.join(",")}` }, `The first ${["two", "three"][first.length - 2]} side by side`)));
    }
    if (places.length > shown) {
      const rest = places.slice(shown);
      parts.push(fold(`${plural(rest.length, "more bike fits", "more bikes fit")}, in order`, make("ol", { class: "after", start: shown + 1 }),
        () => rest.map((place) => make("li", {}, named(place.bike), `, ${Math.floor(place.score / 10 + 0.5)}`))));
    }
    const changes = guide.choosing.changes(tables, answers, ranking).map(change);
    parts.push(make("h3", {}, "What would change the answer"),
      changes.length ? make("ul", { class: "reasons" }, ...changes) : make("p", {}, "No single other answer that we tried puts another bike first."));
    if (ranking.apart.length) {
      parts.push(make("h3", {}, "Not set against your budget"), make("ul", { class: "reasons" },
        ...ranking.apart.map((each) => why(each.bike, [words.filled(tables.apart[each.why], tables, each.bike, answers)]))));
    }
    if (ranking.left.length) {
      const given = answers;
      const box = fold(`${plural(ranking.left.length, "bike", "bikes")} left out, and why${places.length ? "" : "; the nearest misses first"}`,
        make("ul", { class: "reasons" }), () => [...left, ...ranking.left.filter(({ musts }) => musts[0] === "use")].map(({ bike, musts }) =>
          why(bike, musts.map((id) => words.filled(tables.musts[id], tables, bike, given)))));
      box.open = !places.length;
      parts.push(box);
    }
    list.replaceChildren(...parts);
    status.textContent = words.status(places);
  }

  // Show the answers' list; `keep` puts them into the address bar, where a page on a disk may not.
  function show(keep) {
    render();
    const search = query(answers);
    if (!keep || search === location.search) return;
    try { history.pushState(null, "", search || location.pathname); } catch (error) { /* the list is right all the same */ }
  }

  guide.load("data/chooser.js").then((data) => {
    tables = guide.choosing.unpack(data);
    answers = read(location.search);
    fill();
    render();
    form.addEventListener("input", (event) => {
      const wish = tables.wishes.find((each) => slider(each) === event.target);
      if (wish) say(wish);
    });
    form.addEventListener("change", (event) => {
      answers = collect();
      show(true);
      if (event.target === form.elements.budget) event.target.reportValidity();
    });
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      answers = collect();
      show(true);
      head.focus();
      head.scrollIntoView();
    });
    addEventListener("popstate", () => { answers = read(location.search); fill(); render(); });
    // What the page uses, for the tests that hold it to Python.
    guide.chooser = { tables, read, query };
    form.dataset.ready = "true";
  });
})();
