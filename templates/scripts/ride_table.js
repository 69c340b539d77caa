// Looks a ride up in the table of generator/figures/rides/ride_grid.py, by the same rule as `look` there.
(function () {
  "use strict";

  const through = (nodes, at) =>
    nodes.map((one) => nodes.reduce((made, other) => (other === one ? made : made * (at - other) / (one - other)), 1));

  // First node and weights of the cubic through the four even nodes about a place.
  function cubic(place, count) {
    const first = Math.min(Math.max(Math.floor(place) - 1, 0), count - 4);
    return [first, through([0, 1, 2, 3], place - first)];
  }

  // The number that a logarithm stands for, out of the file's table of them.
  function number(table, logarithm) {
    const { first, step, values } = table.antilogarithms;
    const [at, weights] = cubic((logarithm - first) / step, values.length);
    return weights.reduce((sum, weight, place) => sum + weight * values[at + place], 0);
  }

  // {consumption [J/m], slowness [s/m]}, or {why: "pushed" | "outside"}.
  guide.rideLook = function (table, level, ride) {
    const mass = through(table.masses, ride.mass / table.usual.mass);
    const need = mass.reduce((sum, weight, node) => sum + weight * level.need[node], 0) / table.fine;
    const place = (Math.log(ride.effort / table.usual.effort) - need) / Math.log(table.step) + table.side;
    if (!(place >= 0 && place <= 2 * table.side)) return { why: "outside" };
    const [first, weights] = cubic(place, 2 * table.side + 1);
    // The outer masses hold what they add to the middle one.
    const near = level.logs[ride.hill][ride.wind][ride.warmth]
      .map((parts, node) => [node === table.middle_mass ? 1 : mass[node], parts.map((row) => row.slice(first, first + 4))])
      .filter(([pull]) => Math.abs(pull) > 1e-9);
    if (near.some(([, parts]) => parts.flat().includes(null))) return { why: "pushed" };
    const [energy, time] = [0, 1].map((part) => near.reduce((all, [pull, parts]) =>
      all + pull * parts[part].reduce((sum, one, at) => sum + weights[at] * one, 0), 0) / table.fine);
    return { consumption: number(table, energy + need), slowness: number(table, time) };
  };

  // Range [m] with its interval and speed [m/s] of a level, or why there is none.
  guide.rideOf = function (table, level, ride) {
    const found = guide.rideLook(table, level, ride);
    const left = table.capacity[ride.warmth] * table.ages[ride.age][0];
    if (Object.keys(table.usual).every((key) => ride[key] === table.usual[key])) {
      return { range: level.published, speed: found.why ? null : level.pace / found.slowness };
    }
    if (found.why || level.energy === null) return { why: found.why || "pushed" };
    const speed = level.pace / found.slowness;
    const value = level.energy * left / Math.max(found.consumption, table.least);
    if (found.consumption < table.least) return { why: "hardly", least: value, speed };
    return { range: level.published.map((edge) => value * edge / level.published[0]), speed };
  };
})();
