// A bike's values as the text of its file: keys in the schema's order, one value a line, quotes where YAML would read
// something else. A map with free keys is a list of pairs.
(function () {
  "use strict";
  const HEAD = "# yaml-language-server: $schema=bike.schema.json\n";
  const NUMBER = /^[-+]?(?:(?:0|[1-9][0-9]*)(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][-+]?[0-9]+)?$/;
  const DAY = /^[0-9]{4}-[0-9]{2}-[0-9]{2}$/;
  const WORD = /^(?:true|false|null|yes|no|on|off)$/i;
  const PLAIN = /^[\p{L}\p{N}](?:[\p{L}\p{N} ·°%+./,;()&'’–_×-]|:(?=[^\s:]))*$/u;
  const IN_BRACKETS = /^[A-Za-z0-9.][A-Za-z0-9. -]*$/;
  // Line ends and marks that nobody sees, which a file may not hold.
  const UNSEEN = /[\u061c\u180e\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb]/g;
  const ODD = /[\u007f-\u00a0\u2028\u2029\ufeff\ufffe\uffff]/g;

  const isDay = (text) => {
    if (!DAY.test(text) || text < "0001") return false;
    const day = new Date(`${text}T00:00:00Z`);
    return !Number.isNaN(day.getTime()) && day.toISOString().slice(0, 10) === text;
  };
  const number = (text) => NUMBER.test(text) && text.length <= 40;
  const blank = (value) => value === undefined || value === null || value === "";
  const isGroup = (value) => typeof value === "object" && value !== null && !Array.isArray(value);

  // Has a field no value at all?
  function empty(value) {
    if (Array.isArray(value)) return value.every(empty);
    return isGroup(value) ? Object.values(value).every(empty) : blank(value);
  }

  function quoted(given) {
    const text = given.replace(UNSEEN, " ");
    const other = NUMBER.test(text) || DAY.test(text) || WORD.test(text);
    if (PLAIN.test(text) && text === text.trim() && !other) return text;
    return JSON.stringify(text).replace(ODD, (sign) => "\\u" + sign.charCodeAt(0).toString(16).padStart(4, "0"));
  }

  function scalar(field, value) {
    if (typeof value !== "string") return String(value);
    const counts = ["integer", "number"].includes(field.kind) || field.bare;
    if ((counts && number(value)) || (field.kind === "date" && isDay(value))) return value;
    return quoted(value);
  }

  // The lines of one key with its value; none when there is nothing to say.
  function entry(key, field, value, pad) {
    const name = pad + quoted(String(key)) + ":";
    if (empty(value)) return field.later && field.needed ? [name] : [];
    if (field.kind === "map") return [name, ...pairs(field, value, pad + "  ")];
    if (Array.isArray(value)) return list(name, field.of || {}, value.filter((each) => !empty(each)), pad + "  ");
    if (isGroup(value)) return [name, ...group(field, value, pad + "  ")];
    return [`${name} ${scalar(field, value)}`];
  }

  function group(field, value, pad) {
    const known = Array.isArray(field.of) ? field.of : [];
    const names = new Set(known.map((each) => each.key));
    return [
      ...known.flatMap((each) => entry(each.key, each, value[each.key], pad)),
      ...Object.keys(value).filter((key) => !names.has(key)).flatMap((key) => entry(key, {}, value[key], pad)),
    ];
  }

  function pairs(field, value, pad) {
    return value.flatMap(([key, inner]) => {
      if (blank(key) && empty(inner)) return [];
      const lines = entry(blank(key) ? "" : key, field.of, inner, pad);
      return lines.length ? lines : [`${pad}${quoted(key)}: ""`];
    });
  }

  function list(name, field, items, pad) {
    const words = items.map((each) => (isGroup(each) || Array.isArray(each) ? "{" : scalar(field, each)));
    const line = `${name} [${words.join(", ")}]`;
    if (words.every((word) => IN_BRACKETS.test(word)) && line.length <= 100) return [line];
    return [name, ...items.flatMap((each, at) => {
      if (!isGroup(each)) return [`${pad}- ${Array.isArray(each) ? JSON.stringify(each) : words[at]}`];
      const lines = group(field, each, pad + "  ");
      return [`${pad}- ${lines[0].trimStart()}`, ...lines.slice(1)];
    })];
  }

  guide.yaml = {
    empty,
    blank,
    isDay,
    number,
    // The whole file.
    write: (field, value) => HEAD + group(field, value, "").join("\n") + "\n",
  };
})();
