// The chooser's sentences, as generator/pages/choose/words.py writes them: templates with numbers and links put in.
(function () {
  "use strict";
  const rule = guide.choosing;

  // A number in both systems; with an interval, the interval alone.
  function number(unit, value, low, high) {
    const first = document.documentElement.dataset.first === "us" ? ["us", "metric"] : ["metric", "us"];
    const words = first.map((system) => guide.numberText(unit, system, value, low, high).split(", likely\u00a0"));
    const likely = words[0].length > 1;
    const [one, other] = words.map((parts) => parts[parts.length - 1]);
    const box = guide.make("span", { class: "figure" }, likely ? "likely " : "");
    if (one === other) box.append(guide.make("span", { class: "u-both" }, one));
    else box.append(guide.make("span", { class: `u-${first[0]}` }, one), " ", guide.make("span", { class: `u-${first[1]}` }, `(${other})`));
    guide.unbracket(box);
    return box;
  }

  function money(tables, amount) {
    return `${guide.digits(amount, amount === Math.round(amount) ? 0 : 2)}\u00a0${tables.currency}`;
  }

  const link = (bike) => `${guide.root}bikes/${bike.slug}/index.html`;

  function range(tables, bike, answers) {
    const reach = rule.distance(bike, answers);
    const [low, high] = bike.spans[answers.hills];
    return number(tables.units.distance, reach, reach * low, reach * high);
  }

  // The figure behind a wish, linked to its derivation.
  function value(tables, bike, answers, { wish, measure }) {
    let shown;
    if (wish.id === "reach") shown = range(tables, bike, answers);
    else if (wish.id === "climb") {
      const held = rule.grade(bike, answers);
      shown = number(wish.unit, held, held * bike.gradeSpan[0], held * bike.gradeSpan[1]);
    } else if (wish.id === "cost") shown = money(tables, bike.price);
    else if (bike.figures[wish.figure]) shown = number(wish.unit, ...bike.figures[wish.figure]);
    else shown = number(wish.unit, measure);
    const id = wish.figure.replace("{route}", answers.hills).replaceAll(".", "-");
    return guide.make("a", { class: "fig", href: `${link(bike)}#fig-${id}` }, shown);
  }

  const SLOTS = {
    value: (t, bike, answers, fit) => value(t, bike, answers, fit),
    trips: (t, bike, answers, fit) => String(Math.floor(fit.measure)),
    trip: (t, bike, answers) => number(t.units.trip, rule.trip(answers)),
    where: (t, bike, answers) => rule.road(t, answers).name,
    need: (t, bike, answers) => number(t.units.grade, rule.road(t, answers).grade),
    load: (t, bike, answers) => number(t.units.load, t.loads.get(answers.load)),
    total: (t, bike, answers) => number(t.units.mass, rule.total(t, bike, answers)),
    permitted: (t, bike) => number(t.units.mass, bike.permitted),
    racks: (t, bike, answers) => number(t.units.mass, rule.racks(t, bike, answers)),
    mass: (t, bike) => number(t.units.mass, bike.mass),
    price: (t, bike) => money(t, bike.price),
    budget: (t, bike, answers) => money(t, Number(answers.budget)),
    range,
    category: (t, bike, answers) => bike.law[answers.law],
    region: (t, bike, answers) => rule.region(t, answers).name,
    currency: (t, bike) => bike.currency,
  };

  // Text and elements of a sentence.
  function filled(template, tables, bike, answers, fit) {
    return template.split(/\{(\w+)\}/).map((part, at) => (at % 2 ? SLOTS[part](tables, bike, answers, fit) : part));
  }

  function reason(tables, bike, answers, fit) {
    if (fit.measure === null) return [tables.unknown.replace("{title}", fit.wish.title)];
    const { good, middling } = tables.limits;
    return filled(fit.wish.words[fit.fit >= good ? 0 : fit.fit >= middling ? 1 : 2], tables, bike, answers, fit);
  }

  function facts(tables, bike) {
    const price = bike.price !== null ? money(tables, bike.price) : bike.currency ? `priced in ${bike.currency}` : "no price known";
    return bike.status === "on sale" ? price : `${price}, ${bike.status}`;
  }

  function status(places) {
    if (!places.length) return "No bike meets all must-haves.";
    const name = places[0].bike.name;
    if (places.length === 1) return `1 bike fits: ${name}.`;
    const close = places[1].close ? `, and ${places[1].bike.name} is close to it` : "";
    return `${places.length} bikes fit; first is ${name}${close}.`;
  }

  guide.choosingWords = { filled, reason, facts, status, link };
})();
