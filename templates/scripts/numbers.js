// Numbers as generator/figures/show.py and generator/pages/frame/numbers.py print them, for values looked up in the browser.
(function () {
  "use strict";

  function places(low, high, factor, most) {
    const half = 0.5 * (high - low) * factor;
    return half > 0 ? Math.min(most, Math.max(0, -Math.floor(Math.log10(half * 0.4)))) : most;
  }

  function digits(value, decimals) {
    let text = Math.abs(value).toFixed(decimals);
    const minus = value < 0 && Number(text) !== 0 ? "\u2212" : "";
    let [whole, part] = text.split(".");
    if (whole.length > 4) whole = whole.replace(/\B(?=(\d{3})+$)/g, "\u202f");
    return minus + whole + (part ? "." + part : "");
  }

  function joined(text, symbol) {
    return symbol ? text + (symbol === "°" ? "" : "\u00a0") + symbol : text;
  }

  // Plain text in one system; low and high, in SI, are left out when nothing is uncertain.
  function text(unit, system, value, low, high) {
    const [symbol, factor, most] = unit[system];
    const known = low !== undefined && low !== null && high > low;
    const decimals = known ? places(low, high, factor, most) : most;
    const words = joined(digits(value * factor, decimals), symbol);
    if (!known) return words;
    const edges = [low, high].map((edge) => digits(edge * factor, decimals));
    if (edges[0] === edges[1]) return words;
    const dash = edges.join("").includes("\u2212") ? " to " : "–";
    return `${words}, likely\u00a0${joined(edges.join(dash), symbol)}`;
  }

  // Put ready texts of both systems into an element; `us` is empty where it is the same.
  guide.systems = function (box, metric, us) {
    const texts = { metric, us: us || metric };
    const [one, other] = document.documentElement.dataset.first === "us" ? ["us", "metric"] : ["metric", "us"];
    if (texts[one] === texts[other]) box.append(guide.make("span", { class: "u-both" }, texts[one]));
    else {
      box.append(guide.make("span", { class: `u-${one}` }, texts[one]), " ", guide.make("span", { class: `u-${other}` }, `(${texts[other]})`));
    }
    guide.unbracket(box);
    return box;
  };

  // Ready texts as an element like those that the build prints.
  guide.both = (value, metric, us) => guide.systems(guide.make("data", { class: "figure", value: String(value) }), metric, us);

  // The same for a value in SI.
  guide.number = (unit, value, low, high) =>
    guide.both(value, text(unit, "metric", value, low, high), text(unit, "us", value, low, high));
  guide.numberText = text;
  guide.digits = digits;
})();
