// What is wrong in a bike's values, in the words of the command `vet`: guide.check(field, value, units) gives a list of
// {path, what, mend}. It looks at one value at a time; `vet` also compares values with each other.
(function () {
  "use strict";
  const { blank, empty, isDay, number } = guide.yaml;
  const NUMBER = /^([-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]+)?)(?![.,0-9])\s*(.*)$/;
  const THOUSANDS = /^[-+]?[1-9][0-9]{0,2}(?:[,' ][0-9]{3})+(?![0-9,])/;
  const COMMA = /^([-+]?[0-9]+),([0-9]+)(?![0-9,])/;
  const FRACTION = /^[-+]?(?:[0-9]+[ -]*)?(?:[0-9]+[/⁄][0-9]*[1-9][0-9]*|[¼-¾⅐-⅞])\s*[^0-9]*$/;
  const SPAN = /^[0-9.]+\s*[^0-9\seE]{0,5}\s*(?:-|–|—|to|…|\.\.+)\s*[0-9.]+/;
  const SIGNS = { "\u00a0": " ", "\u202f": " ", "\u2009": " ", "−": "-", "⋅": "·", "∙": "·", "•": "·", "×": "·", "º": "°", "℃": "°C", "℉": "°F", "％": "%" };

  const shown = (value) => {
    const words = String(value).trim().split(/\s+/).join(" ");
    return `'${words.length > 80 ? words.slice(0, 79) + "…" : words}'`;
  };
  const any = (words) => {
    if (words.length === 1) return words[0] === "%" ? "% or a bare number" : words[0];
    return `${words.slice(0, -1).join(", ")} or ${words[words.length - 1]}`;
  };
  const such = (begin, field) => (field.options ? `${begin}: one of ${field.options.join(", ")}` : field.like ? `${begin}, such as ${field.like}` : begin);

  // [SI value, number as written] of a text, or {what, mend}.
  function quantity(text, dimension, units, like) {
    const wanted = units.dimensions[dimension];
    const words = text.trim().replace(/[\u00a0\u202f\u2009−⋅∙•×º℃℉％]/g, (sign) => SIGNS[sign]);
    const match = words.length <= 40 && NUMBER.exec(words);
    if (words.length <= 40 && FRACTION.test(words)) return { what: `${shown(text)} is written with a fraction`, mend: "Write it as a decimal" };
    if (!match || THOUSANDS.test(words) || SPAN.test(words)) return noNumber(words, text, like || `12 ${wanted.usual[0]}`);
    const sign = Object.hasOwn(units.spellings, match[2].trim()) ? units.spellings[match[2].trim()] : match[2].trim();
    if (Object.hasOwn(wanted.units, sign)) {
      const [factor, divisor, offset] = wanted.units[sign];
      return [Number(match[1]) * factor / divisor + offset, match[1]];
    }
    const other = sign && Object.keys(units.dimensions).find((each) => Object.hasOwn(units.dimensions[each].units, sign));
    const usual = [...wanted.usual];
    if (other) {
      const first = like && (NUMBER.exec(like) || [])[2];
      usual.sort((a, b) => (a !== first) - (b !== first));
      const what = `${shown(text)} is ${units.dimensions[other].article} ${other}; ${dimension} wants ${any(usual)}`;
      return { what, mend: `Write ${wanted.article} ${dimension}, such as ${like || `${match[1]} ${usual[0]}`}` };
    }
    if (!sign) {
      const both = new Set([usual[0], units.partners[usual[0]] || usual[0]]);
      return { what: `${shown(text)} has no unit`, mend: `Write ${any([...both].map((each) => `${match[1]} ${each}`))}` };
    }
    const right = Object.keys(wanted.units).filter(Boolean);
    return { what: `${shown(match[2].trim())} in ${shown(text)} is not a unit of ${dimension}`, mend: `Units of ${dimension} are ${any(right)}` };
  }

  function noNumber(words, text, like) {
    const thousands = THOUSANDS.exec(words);
    const comma = COMMA.exec(words);
    const decimal = comma && `'${comma[1]}.${comma[2]}${words.slice(comma[0].length)}'`;
    if (thousands) {
      const plain = thousands[0].replace(/[,' ]/g, "") + words.slice(thousands[0].length);
      return { what: `${shown(text)} has a separator inside its number`, mend: `Write ${shown(plain)}` + (comma ? `, or ${decimal} if a decimal is meant` : "") };
    }
    if (comma) return { what: `${shown(text)} has a decimal comma`, mend: `Write ${decimal}, with a decimal point` };
    if (SPAN.test(words)) return { what: `${shown(text)} is a span`, mend: `Write one value, such as ${like}` };
    return { what: `${shown(text)} is not one plain number with a unit`, mend: `Write a number and a unit and nothing else, such as ${like}` };
  }

  function measured(value, rule, units, like) {
    const found = quantity(value, rule.dimension, units, like);
    if (!Array.isArray(found)) return found;
    const limit = (text) => (text === undefined ? undefined : quantity(text, rule.dimension, units)[0]);
    const [low, high, slack] = [limit(rule.min), limit(rule.max), 1e-9 * Math.abs(found[0])];
    const wrong = found[0] < low - slack ? `less than ${rule.min}, the least` : found[0] > high + slack ? `more than ${rule.max}, the most` : "";
    if (!wrong) return null;
    const fitting = Object.entries(units.dimensions[rule.dimension].units).find(([sign, [factor, divisor, offset]]) => {
      const si = Number(found[1]) * factor / divisor + offset;
      return units.ordinary.includes(sign) && !(si < (found[0] < low ? 2 * low : low)) && !(si > high);
    });
    const mend = fitting ? `Check the number and the unit; '${found[1]} ${fitting[0]}' would fit`
      : found[0] < low && found[0] * 10 >= low && !(found[0] * 10 > high) ? "Check the number against the source; a digit may be missing"
        : "Check the number and the unit against the source";
    return { what: `${shown(value)} is ${wrong} that is plausible here`, mend };
  }

  // What is wrong with one value that is not a group, list or map; null when nothing is. `beside`: the group it is in.
  function single(field, value, units, beside) {
    if (typeof value !== "string") return null;
    const rule = field.quantity;
    if (rule && rule.by) return Object.hasOwn(rule.kinds, beside[rule.by] || "") ? measured(value, rule.kinds[beside[rule.by]], units, field.like) : null;
    if (rule) return measured(value, rule, units, field.like);
    if (field.options) return field.options.includes(value) ? null : { what: `${shown(value)} is not one of the words known here`, mend: `Write one of: ${field.options.join(", ")}` };
    if (field.kind === "date") return isDay(value) ? null : { what: `${shown(value)} is not a date`, mend: "Write year-month-day, such as 2026-10-04" };
    if (field.kind === "integer" || field.kind === "number") {
      const whole = field.kind === "integer";
      if (!number(value) || (whole && /[.eE]/.test(value))) return { what: `${shown(value)} is ${number(value) ? "a number" : "text"}, and this takes ${whole ? "a whole number" : "a number"}`, mend: such("Write a number", field) };
      const size = value < field.low ? "small" : value > field.high ? "large" : "";
      return size ? { what: `${shown(value)} is too ${size}`, mend: `Write a number from ${field.low} to ${field.high}` } : null;
    }
    if (field.pattern && !new RegExp(field.pattern, "u").test(value)) return { what: `${shown(value)} has not the form wanted`, mend: field.mend || such("Write it", field) };
    const long = [...value].length;
    return long > field.most ? { what: `the text has ${long} characters`, mend: `Write it in ${field.most} at most` } : null;
  }

  function several(field, value, path, units, found, beside) {
    if (value.length > field.most) found.push({ path, what: `${value.length} parts stand here`, mend: `Write ${field.most} at most` });
    if (field.kind === "map") return eachPair(field, value, path, units, found);
    if (field.kind === "rows") return value.forEach((each, at) => walk(field.of, each, [...path, at], units, found, value));
    const wrong = value.map((each) => single(field.of, each, units, beside)).find(Boolean);
    if (wrong) found.push({ path, ...wrong });
    else if (field.once && new Set(value).size < value.length) found.push({ path, what: "a value stands here twice", mend: "Write each value once" });
  }

  function eachPair(field, value, path, units, found) {
    const keys = value.map((pair) => pair[0]);
    value.forEach(([key, inner], at) => {
      if (blank(key) && empty(inner)) return;
      if (blank(key)) found.push({ path: [...path, at, 0], what: "there is no name here", mend: "Write a short name of your own" });
      else if (keys.indexOf(key) < at) found.push({ path: [...path, at, 0], what: `${shown(key)} stands here twice`, mend: "Write each name once" });
      walk({ ...field.of, needed: true }, inner, [...path, at, 1], units, found, value[at]);
    });
  }

  // Needed once the group says something other than that for which it may be left out.
  const wanted = (field, beside) => field.unless && Object.keys(field.unless).some((key) => !empty(beside[key]) && beside[key] !== field.unless[key]);

  function walk(field, value, path, units, found, beside) {
    if (empty(value)) {
      if (!field.needed || field.later) return;
      if (field.kind !== "group") found.push({ path, what: "this is missing", mend: such(field.options ? "Choose it" : "Write it", field) });
      else for (const each of field.of.filter((one) => one.needed)) walk(each, undefined, [...path, each.key], units, found, {});
    } else if (field.kind === "group") {
      for (const each of field.of) walk(wanted(each, value) ? { ...each, needed: true } : each, value[each.key], [...path, each.key], units, found, value);
    } else if (Array.isArray(value)) {
      several(field, value, path, units, found, beside);
    } else {
      const wrong = single(field, value, units, beside);
      if (wrong) found.push({ path, ...wrong });
    }
  }

  guide.check = function (field, value, units) {
    const found = [];
    walk(field, value, [], units, found, value);
    return found;
  };
  // For one field alone, such as in tests.
  guide.check.one = single;
})();
