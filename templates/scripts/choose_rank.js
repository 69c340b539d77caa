// The chooser's rule, as in generator/figures/chooser/ranking.py, over the tables that the build made. Both must rank alike.
(function () {
  "use strict";
  const STATES = ["on sale", "announced", "withdrawn"];

  // Tables by name out of the data file; see generator/pages/choose/data.py for how they are packed.
  function unpack(data) {
    const people = data.people.map(([id, mass]) => ({ id, mass }));
    const roads = data.roads.map(([id, name, grade]) => ({ id, name, grade }));
    const loads = new Map(data.loads);
    const regions = data.regions.map(([id, name, ordinary]) => ({ id, name, ordinary: ordinary.map((at) => data.categories[at]) }));
    const rows = (data.columns[0] || []).map((_, at) => data.columns.map((column) => column[at]));
    const bikes = rows.map((row) => {
      let place = 0;
      const take = () => row[place++];
      const bike = {
        slug: take(), name: take(), status: STATES[take()], uses: take(), price: take(), currency: take(),
        mass: take(), permitted: take(), place: take(), places: take(), law: {}, ranges: {}, grades: {}, spans: {}, figures: {},
      };
      const letters = take();
      regions.forEach((region, at) => { bike.law[region.id] = data.categories[letters.charCodeAt(at) - 97]; });
      const along = (table, key) => {
        let before = 0;
        for (const load of loads.keys()) {
          const step = take();
          if (step !== null) table[`${key}/${load}`] = before += step;
        }
      };
      for (const person of people) for (const road of roads) along(bike.ranges, `${person.id}/${road.id}`);
      for (const person of people) along(bike.grades, person.id);
      for (const road of roads) bike.spans[road.id] = [take() / 1000, take() / 1000];
      bike.gradeSpan = [take() / 1000, take() / 1000];
      for (const id of data.figures) {
        const found = [take(), take(), take()];
        if (found[0] !== null) bike.figures[id] = found;
      }
      return bike;
    });
    return { ...data, people, roads, loads, regions, bikes };
  }

  const one = (list, id) => list.find((each) => each.id === id);
  const trip = (answers) => Number(answers.trip) * 1000;
  const road = (tables, answers) => one(tables.roads, answers.hills);
  const region = (tables, answers) => one(tables.regions, answers.law);
  const weight = (answers, wish) => answers.weights[wish.id] ?? wish.weight;

  function distance(bike, answers) {
    const cell = bike.ranges[`${answers.work}/${answers.hills}/${answers.load}`];
    return cell === undefined ? null : cell * 100;
  }

  function grade(bike, answers) {
    const cell = bike.grades[`${answers.work}/${answers.load}`];
    return cell === undefined ? null : cell * 0.001;
  }

  function total(tables, bike, answers) {
    return bike.mass === null ? null : bike.mass + one(tables.people, answers.work).mass + tables.loads.get(answers.load);
  }

  function racks(tables, bike, answers) {
    return tables.whole.includes(answers.load) ? bike.place : bike.places;
  }

  // Must-haves that a bike misses, and those of which nothing is known.
  function musts(tables, bike, answers) {
    const missed = [], doubts = [];
    const use = tables.uses.indexOf(answers.use);
    if (use >= 0 && !(bike.uses & (1 << use))) return [["use"], doubts];
    if (bike.status === "withdrawn") return [["sale"], doubts];
    const ask = (id, holds) => {
      if (holds === null) doubts.push(id);
      else if (!holds) missed.push(id);
    };
    if (answers.budget && bike.price !== null) ask("budget", bike.price <= Number(answers.budget));
    const reach = distance(bike, answers);
    ask("reach", reach === null ? null : reach >= trip(answers));
    const together = total(tables, bike, answers);
    ask("mass", together === null || bike.permitted === null ? null : together <= bike.permitted);
    const load = tables.loads.get(answers.load);
    if (load >= tables.limits.racks) {
      const rated = racks(tables, bike, answers);
      ask("racks", rated === null ? null : rated >= load);
    }
    const place = region(tables, answers);
    if (place) {
      const category = bike.law[place.id];
      const ordinary = place.ordinary.includes(category);
      if (category === "unknown" || ordinary || answers.fast === "no") ask("law", category === "unknown" ? null : ordinary);
      else doubts.push("fast");
    }
    if (answers.stairs === "daily") ask("lift", bike.mass === null ? null : bike.mass <= tables.limits.lift);
    return [missed, doubts];
  }

  function called(tables, answers, wish) {
    const condition = tables.conditions[wish.id];
    if (!condition) return true;
    const [question, wanted] = condition;
    return wanted[0] === "*" ? answers[question] !== "" : wanted.includes(answers[question]);
  }

  function measure(tables, bike, answers, wish) {
    if (wish.id === "reach") {
      const reach = distance(bike, answers);
      return reach === null ? null : reach / trip(answers);
    }
    if (wish.id === "climb") {
      const held = grade(bike, answers);
      return held === null ? null : held / road(tables, answers).grade;
    }
    if (wish.id === "cost") return bike.price === null ? null : bike.price / Number(answers.budget);
    if (wish.figure === "spec.mass") return bike.mass;
    const found = bike.figures[wish.figure];
    return found ? found[0] : null;
  }

  function fit(knots, value) {
    if (value <= knots[0][0]) return knots[0][1];
    for (let at = 1; at < knots.length; at++) {
      const [x0, y0] = knots[at - 1], [x1, y1] = knots[at];
      if (value <= x1) return y0 + (y1 - y0) * (value - x0) / (x1 - x0);
    }
    return knots[knots.length - 1][1];
  }

  function score(fits) {
    let weights = 0, gained = 0;
    for (const each of fits) {
      weights += each.weight;
      gained += each.weight * each.fit;
    }
    return weights ? Math.floor(1000 * gained / weights + 0.5) : 0;
  }

  // Places, best score first, equal ones in the order of the tables; then what stands apart and what is left out.
  function rank(tables, answers) {
    const wanted = tables.wishes.filter((wish) => called(tables, answers, wish));
    const places = [], apart = [], left = [];
    for (const bike of tables.bikes) {
      const [missed, doubts] = musts(tables, bike, answers);
      if (missed.length) left.push({ bike, musts: missed });
      else if (answers.budget && bike.price === null) apart.push({ bike, why: bike.currency ? "currency" : "unpriced" });
      else {
        const fits = wanted.map((wish) => {
          const value = measure(tables, bike, answers, wish);
          return { wish, measure: value, fit: value === null ? 0 : fit(wish.knots, value), weight: weight(answers, wish) };
        });
        places.push({ bike, score: score(fits), fits, doubts });
      }
    }
    places.sort((a, b) => b.score - a.score);
    places.forEach((place, at) => { place.close = at > 0 && places[at - 1].score - place.score < tables.limits.close; });
    return { places, apart, left };
  }

  // Other answers to one question, the nearest first.
  function others(tables, answers, id) {
    const given = answers[id];
    if (id === "budget") {
      const [factors, step] = tables.more;
      return !given ? [] : factors.map((factor) => {
        const more = Math.ceil(Number(given) * factor / step) * step;
        return [`with ${more - Number(given)} ${tables.currency} more`, { ...answers, budget: String(more) }];
      });
    }
    if (id === "fast" && !region(tables, answers)) return [];
    const listed = tables.changes[id];
    const place = Math.max(listed.findIndex((each) => each[0] === given), 0);
    return listed.map((each, at) => [Math.abs(at - place), each])
      .sort((a, b) => a[0] - b[0])
      .filter(([, [answer, words]]) => answer !== given && words)
      .map(([, [answer, words]]) => [words, { ...answers, [id]: answer }]);
  }

  // For each question the nearest other answer that puts another bike clearly first.
  function changes(tables, answers, ranking) {
    const first = ranking.places.length ? ranking.places[0].bike : null;
    const found = [];
    for (const id of tables.tried) {
      for (const [words, other] of others(tables, answers, id)) {
        const places = rank(tables, other).places;
        const old = places.find((place) => place.bike === first);
        if (places.length && (!old || places[0].score - old.score >= tables.limits.close)) {
          found.push({ words, answers: other, bike: places[0].bike });
          break;
        }
      }
    }
    return found;
  }

  guide.choosing = { unpack, rank, changes, trip, road, region, distance, grade, total, racks, weight };
})();
