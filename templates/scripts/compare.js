// Two to four bikes side by side. The address bar says which; the tables are those of templates/parts/sides.html.
(function () {
  "use strict";
  const form = document.getElementById("picker");
  const input = document.getElementById("add");
  const chosen = document.getElementById("chosen");
  const said = document.getElementById("said");
  const sides = document.getElementById("sides");
  const most = Number(sides.dataset.most);
  const { make } = guide;
  let bikes, kinds, slugs = [], latest = 0;

  const nameOf = (bike) => `${bike.maker} ${bike.name}`;
  const plain = (text) => text.trim().toLowerCase();
  const counted = (count) => `${count} ${count === 1 ? "bike" : "bikes"}`;

  // Bikes of an address: each once, four at most, none that there is not; `faults` says what was left out.
  function read(search) {
    const asked = [...new Set((new URLSearchParams(search).get("bikes") || "").split(",").filter(Boolean))];
    const known = asked.filter((slug) => bikes.has(slug));
    const faults = asked.filter((slug) => !bikes.has(slug)).map((slug) => `There is no bike “${slug}” here.`);
    if (known.length > most) faults.push(`Only the first ${most} are shown.`);
    return { known: known.slice(0, most), faults };
  }

  const failed = () => { said.textContent = guide.lost; };
  const query = (list) => (list.length ? `?bikes=${list.join(",")}` : "");

  // The bike whose name was typed, whole or in part; words when it is none or several.
  function find(text) {
    const all = [...bikes.values()];
    const whole = all.filter((bike) => plain(nameOf(bike)) === plain(text));
    const found = whole.length ? whole : all.filter((bike) => plain(nameOf(bike)).includes(plain(text)));
    if (!plain(text)) return { fault: "Type a part of a bike's name." };
    if (!found.length) return { fault: `No bike's name holds “${text.trim()}”.` };
    if (found.length === 1) return { bike: found[0] };
    const names = found.slice(0, 6).map(nameOf).join(", ");
    return { fault: `${counted(found.length)} match: ${names}${found.length > 6 ? " and more" : ""}.` };
  }

  function change(list, words) {
    slugs = list;
    guide.keep(query(slugs));
    show(words);
  }

  function row(title, href, words, cells, verdict, clear, names) {
    const head = make("th", { scope: "row" }, href ? make("a", { href: guide.root + href }, title) : title);
    if (words) head.append(make("span", { class: "sides__words" }, words));
    const tds = cells.map(([content, mark], place) => {
      const cell = make("td", { "data-name": names[place] }, content);
      if (mark) cell.append(" ", make("b", { class: "sides__mark" }, mark));
      return cell;
    });
    return { clear, element: make("tr", { class: clear && "sides__clear" }, head, ...tds, make("td", { class: "sides__said" }, verdict)) };
  }

  function figureRow(id, cards, called, names) {
    const kind = kinds.kinds[id];
    const figures = cards.map((card) => card.figures[id]);
    if (!figures.some(Boolean)) return null;
    const verdict = guide.verdict(figures, called, kind.better);
    const cells = figures.map((figure, place) => [
      figure ? guide.cell(cards[place].slug, id, figure[0], figure[3], figure[4]) : guide.notKnown(),
      guide.mark(verdict, place),
    ]);
    return row(kind.title, kind.href, kind.plain, cells, verdict.words, verdict.clear, names);
  }

  function factRow(title, place, cards, names) {
    const texts = cards.map((card) => card.facts[place]);
    const known = texts.filter((text) => !kinds.untold.includes(text));
    const differ = new Set(known).size > 1;
    const alike = known.length === texts.length ? "the same" : "not known for all";
    return row(title, "", "", texts.map((text) => [text, ""]), differ ? "different" : alike, differ, names);
  }

  // A section with its rows, clear differences first.
  function section(id, title, corner, rows, cards) {
    const heads = cards.map((card) => make("th", { scope: "col" }, make("a", { href: guide.root + card.href }, card.name)));
    const ordered = [...rows.filter((each) => each.clear), ...rows.filter((each) => !each.clear)];
    const head = make("h2", { id: `part-${id}` }, title);
    const count = `${rows.filter((each) => each.clear).length} of ${rows.length} differ clearly`;
    const open = id === "main" || id === "stated";
    if (!open) head.append(" ", make("span", {}, count));
    const box = open ? make("section", { "aria-labelledby": `part-${id}` }, head)
      : make("details", { class: "sides__part" }, make("summary", {}, head));
    box.append(make("table", { class: "sides" },
        make("caption", { class: "quiet" }, title), make("thead", {}, make("tr", {}, make("th", { scope: "col" }, corner), ...heads, make("th", { scope: "col" }, "Said plainly"))),
        make("tbody", {}, ...ordered.map((each) => each.element))));
    return box;
  }

  function tables(cards) {
    const names = cards.map((card) => card.name);
    const short = cards.map((card) => card.called);
    const called = new Set(short).size === short.length ? short : names;
    const parts = kinds.parts.map(([id, title, ids]) => {
      const rows = ids.map((each) => figureRow(each, cards, called, names)).filter(Boolean);
      return { id, rows, element: section(id, title, "Figure", rows, cards) };
    }).filter((part) => part.rows.length);
    const facts = kinds.facts.map((title, place) => factRow(title, place, cards, names));
    const elements = parts.map((part) => part.element);
    elements.splice(1, 0, section("stated", "How they are built", "Stated", facts, cards));
    const main = parts.find((part) => part.id === "main");
    const clear = main ? main.rows.filter((each) => each.clear).length : 0;
    return { elements, summary: main ? `${clear} of ${main.rows.length} main figures differ clearly.` : "" };
  }

  function list() {
    chosen.replaceChildren(...slugs.map((slug) => {
      const bike = bikes.get(slug);
      const remove = make("button", { type: "button", class: "button button--plain", "aria-label": `Remove ${nameOf(bike)}` }, "Remove");
      remove.addEventListener("click", () => {
        change(slugs.filter((each) => each !== slug));
        input.focus();
      });
      return make("li", {}, make("a", { href: `${guide.root}bikes/${slug}/index.html` }, nameOf(bike)), remove);
    }));
  }

  // Everything for the bikes of now; `words` are said first.
  async function show(words = "") {
    const run = ++latest;
    list();
    const cards = await Promise.all(slugs.map((slug) => guide.load(`bikes/${slug}/card.js`))).catch(failed);
    if (!cards || run !== latest) return;
    const found = cards.length > 1 ? tables(cards) : { elements: [], summary: "" };
    sides.replaceChildren(...found.elements);
    const next = cards.length === 1 ? "Add a second bike to see both side by side." : "";
    const now = cards.length > 1 ? `${counted(cards.length)} side by side. ${found.summary}` : next;
    said.textContent = [words, now].filter(Boolean).join(" ");
    sides.dataset.shown = query(slugs);
  }

  function add() {
    const { bike, fault } = find(input.value);
    const full = slugs.length >= most && `${counted(most)} at most: remove one first.`;
    const twice = bike && slugs.includes(bike.slug) && `${nameOf(bike)} is there already.`;
    if (fault || twice || full) {
      said.textContent = fault || twice || full;
      return;
    }
    input.value = "";
    change([...slugs, bike.slug], `${nameOf(bike)} added.`);
  }

  function fromAddress() {
    const { known, faults } = read(location.search);
    slugs = known;
    return show(faults.join(" "));
  }

  Promise.all([guide.load("data/bikes.js"), guide.load("data/kinds.js")]).then(([list, table]) => {
    kinds = table;
    bikes = new Map(list.rows.map((row) => [row[0], Object.fromEntries(list.fields.map((name, place) => [name, row[place]]))]));
    document.getElementById("bikes").append(...[...bikes.values()].map((bike) => {
      const price = bike.price === null ? [] : [`${guide.digits(bike.price, 0)}\u00a0${bike.currency}`];
      return make("option", { value: nameOf(bike) }, [...bike.use, ...price].join(", "));
    }));
    form.addEventListener("submit", (event) => { event.preventDefault(); add(); });
    addEventListener("popstate", () => { if (query(read(location.search).known) !== query(slugs)) fromAddress(); });
    return fromAddress();
  }).then(() => {
    // What the page uses, for the tests that hold it to Python.
    guide.sideBySide = tables;
    form.dataset.ready = "true";
  }).catch(failed);
})();
