// Search: builds an index of the site's own list of bikes, guides, terms, pages and figures, and answers while you type.
(function () {
  "use strict";
  const { make } = guide;
  const GROUPS = [["bike", "bikes"], ["guide", "guides"], ["term", "terms"], ["page", "pages"], ["figure", "figures"]];
  const SHOWN = 8; // of a group, before a reader asks for more
  const PATIENCE = 120; // between a key and the answer [ms]
  const WORDS = 24; // of a summary
  const form = document.getElementById("search");
  const input = document.getElementById("q");
  const status = document.getElementById("found");
  const results = document.getElementById("results");
  let rows, index, timer;

  const counted = (count, [one, more]) => `${count} ${count === 1 ? one : more}`;
  // "Ž" is found by "z", "spin-out" by "spin" and "out".
  const plain = (word) => word.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase();
  // As it sounds, for words written by ear: "torque" by "tork". Marked, so that it is never taken for a spelling.
  const heard = (word) => `==${word.replace(/que?(?=$|s$)/, "k").replace(/ph/g, "f").replace(/c(?![ehiy])/g, "k").replace(/([a-z])\1/g, "$1")}`;

  function built() {
    const found = new MiniSearch({
      idField: "id",
      fields: ["title", "also", "summary"],
      processTerm: (word) => [plain(word), heard(plain(word))],
      searchOptions: {
        processTerm: plain,
        boost: { title: 4, also: 2 },
        prefix: (term) => term.length > 1,
        fuzzy: (term) => (term.length > 3 ? 0.25 : false),
        maxFuzzy: 2,
        weights: { fuzzy: 0.3, prefix: 0.5 },
      },
    });
    found.addAll(rows.map(([, , title, summary, also], id) => ({ id, title, summary, also })));
    return found;
  }

  // What has all of the words, first what is called so; where nothing has, what has any. A word counts as heard too.
  function hits(text) {
    const exactly = { prefix: false, fuzzy: false };
    const words = text.split(/\s+/).map((word) => ({ combineWith: "OR", queries: [word, { queries: [heard(plain(word))], ...exactly }] }));
    const named = ({ id }) => Number(plain(rows[id][2]) === plain(text));
    const all = index.search({ combineWith: "AND", queries: words }).sort((one, other) => named(other) - named(one));
    return all.length ? { all: true, found: all } : { all: false, found: index.search({ combineWith: "OR", queries: words }) };
  }

  function begun(summary) {
    const words = summary.split(/\s+/);
    return words.length > WORDS ? `${words.slice(0, WORDS).join(" ")} …` : summary;
  }

  function item({ id }) {
    const [, path, title, summary] = rows[id];
    return make("li", {}, make("a", { href: guide.root + path }, title), " ", make("span", {}, begun(summary)));
  }

  function group([kind, own]) {
    const [, more] = GROUPS[kind];
    const list = make("ul", { class: "contents" }, ...own.slice(0, SHOWN).map(item));
    const body = make("div", { class: "side__body" }, list);
    if (own.length > SHOWN) {
      const button = make("button", { type: "button", class: "button button--plain" }, `All ${own.length} ${more}`);
      button.addEventListener("click", () => {
        list.append(...own.slice(SHOWN).map(item));
        button.remove();
        list.children[SHOWN].querySelector("a").focus();
      });
      body.append(make("p", { class: "buttons" }, button));
    }
    const title = more[0].toUpperCase() + more.slice(1);
    return make("section", { class: "side", "aria-labelledby": `of-${kind}` }, make("h2", { id: `of-${kind}` }, title), body);
  }

  function show() {
    clearTimeout(timer);
    const text = input.value.trim();
    if (!index || !text) {
      results.replaceChildren();
      status.textContent = "";
      return;
    }
    const { all, found } = hits(text);
    const groups = new Map(); // the group of the best hit comes first
    for (const hit of found) {
      const kind = rows[hit.id][0];
      if (!groups.has(kind)) groups.set(kind, []);
      groups.get(kind).push(hit);
    }
    results.replaceChildren(...[...groups].map(group));
    const parts = [...groups].map(([kind, own]) => counted(own.length, GROUPS[kind])).join(", ");
    if (!found.length) status.textContent = `Nothing found for “${text}”. Try fewer or shorter words, a maker, or a part such as motor or battery; or look through the lists below.`;
    else status.textContent = all ? `Found for “${text}”: ${parts}.` : `Nothing has all of “${text}”. With some of it: ${parts}.`;
  }

  function read() {
    input.value = new URLSearchParams(location.search).get("q") || "";
    show();
  }

  input.addEventListener("input", () => {
    clearTimeout(timer);
    timer = setTimeout(show, PATIENCE);
  });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    show();
    const search = input.value.trim() ? `?${new URLSearchParams({ q: input.value.trim() })}` : "";
    if (search === location.search) return;
    try { history.pushState(null, "", search || location.pathname); } catch (error) { /* a page on a disk keeps its address */ }
  });
  addEventListener("popstate", read);

  input.value = new URLSearchParams(location.search).get("q") || "";
  Promise.all([guide.load("data/search.js"), guide.script("assets/minisearch.js")]).then(([given]) => {
    rows = given;
    index = built();
    show();
    form.dataset.ready = "true";
  }, () => {
    status.textContent = "The list to search in could not be loaded. Look through the lists below.";
  });
})();
