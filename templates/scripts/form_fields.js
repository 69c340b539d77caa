// Draws the fields of a bike's form: guide.fields(field, value, changed) gives the sections. Each control writes into
// `value` when somebody uses it, and only then, so that what was read stays as it was.
(function () {
  "use strict";
  const { make } = guide;
  const { blank, empty } = guide.yaml;
  const INNER = ["group", "rows", "map"];
  const NUMBERS = ["integer", "number"];
  let changed = () => {};

  const id = (path) => "f-" + path.join("-");
  const inner = (field) => INNER.includes(field.kind);

  function put(holder, key, value) {
    if (empty(value)) delete holder[key];
    else holder[key] = value;
    changed();
  }

  // Hint and place for a message; every control is described by both.
  function notes(field, path) {
    const like = field.like && !field.options && field.kind !== "boolean" ? ` Such as ${field.like.replace(/\.$/, "")}.` : "";
    const each = field.kind === "list" && !field.of.options ? (NUMBERS.includes(field.of.kind) ? " With commas between them." : " One on each line.") : "";
    return [
      make("p", { class: "hint", id: `${id(path)}-h` }, field.hint + like + each),
      make("p", { class: "hint", id: `${id(path)}-e`, "data-error": "" }),
    ];
  }

  const described = (path) => `${id(path)}-h ${id(path)}-e`;
  const title = (field, label) => (label || field.title) + (field.needed ? " (needed)" : "");

  function control(field, holder, key, path, label) {
    const text = holder[key];
    const common = { id: id(path), "aria-describedby": described(path), autocomplete: "off" };
    let box;
    if (field.options || field.kind === "boolean") {
      const words = field.options || ["yes", "no"];
      const now = typeof text === "boolean" ? words[text ? 0 : 1] : blank(text) ? "" : text;
      const options = [...new Set([...words, now])].filter(Boolean).map((word) => make("option", {}, word));
      box = make("select", common, make("option", { value: "" }, "not stated"), ...options);
      box.value = now;
      box.addEventListener("input", () => put(holder, key, field.kind === "boolean" && box.value ? box.value === "yes" : box.value));
    } else {
      const lines = field.kind === "long" || (field.kind === "list" && !NUMBERS.includes(field.of.kind)) || /\n/.test(text);
      box = make(lines ? "textarea" : "input", { ...common, ...(lines ? { rows: 3, cols: 60 } : { type: "text", spellcheck: "false", size: field.most > 100 ? 28 : null }) });
      box.value = field.kind === "list" ? (text || []).join(lines ? "\n" : ", ") : blank(text) ? "" : String(text);
      const split = lines ? /\n/ : /[\s,;]+/;
      box.addEventListener("input", () => {
        const words = field.kind === "list" ? box.value.split(split).map((word) => word.trim()).filter(Boolean) : box.value.trim();
        put(holder, key, words);
      });
    }
    return make("div", { class: "field" }, make("label", { for: id(path) }, title(field, label)), ...notes(field, path), box);
  }

  // A list of known words: the one ticked first comes first.
  function choices(field, holder, key, path) {
    const boxes = field.of.options.map((word) => {
      const box = make("input", { type: "checkbox", value: word });
      box.checked = (holder[key] || []).includes(word);
      box.addEventListener("input", () => {
        const now = holder[key] || [];
        if (box.checked !== now.includes(word)) put(holder, key, box.checked ? [...now, word] : now.filter((each) => each !== word));
      });
      return make("label", {}, box, word);
    });
    return make("fieldset", { id: id(path), "aria-describedby": described(path) }, make("legend", {}, title(field)), ...notes(field, path), make("div", { class: "choices" }, ...boxes));
  }

  // A list whose parts have fields of their own; each can be taken away, and one more added.
  // `bare`: the heading above says already what it is.
  function rows(field, holder, key, path, bare) {
    if (!Array.isArray(holder[key])) holder[key] = [];
    const list = holder[key];
    const one = field.of.title.toLowerCase();
    const place = make("div", {});
    const more = make("button", { type: "button", class: "button button--plain" }, `Add a ${one}`);
    const draw = () => place.replaceChildren(...list.map((each, at) => row(each, at)));
    function row(each, at) {
      const away = make("button", { type: "button", class: "button button--plain" }, `Remove ${one} ${at + 1}`);
      away.addEventListener("click", () => {
        list.splice(at, 1);
        draw();
        changed(true);
        more.focus();
      });
      const body = field.kind === "map" ? pair(field, each, [...path, at]) : parts(field.of, each, [...path, at]);
      return make("div", { class: "answer" }, make("fieldset", {}, make("legend", {}, `${field.of.title} ${at + 1}`), ...body), away);
    }
    more.addEventListener("click", () => {
      list.push(field.kind === "map" ? ["", field.of.kind === "group" ? {} : ""] : {});
      draw();
      changed();
      place.lastElementChild.querySelector("input, select, textarea").focus();
    });
    draw();
    const attributes = { id: id(path), "aria-describedby": described(path) };
    if (bare) return make("div", { ...attributes, role: "group", "aria-labelledby": `g-${key}` }, ...notes(field, path), place, make("div", { class: "buttons" }, more));
    return make("fieldset", attributes, make("legend", {}, title(field)), ...notes(field, path), place, make("div", { class: "buttons" }, more));
  }

  function pair(field, each, path) {
    const name = { kind: "string", title: "Name", hint: "Short name or key by which the file calls it.", needed: true };
    const value = field.of.kind === "group" ? parts(field.of, each[1], [...path, 1]) : [control({ ...field.of, needed: true }, each, 1, [...path, 1])];
    return [control(name, each, 0, [...path, 0]), ...value];
  }

  // The hint of a group; one that may be left out says so.
  function whole(field) {
    const rule = !field.needed && field.of.some((each) => each.needed) ? " Leave it out, or fill in what is marked as needed." : "";
    return make("p", { class: "hint" }, field.hint + rule);
  }

  function one(field, holder, key, path) {
    if (field.kind === "list" && field.of.options) return choices(field, holder, key, path);
    if (field.kind === "rows" || field.kind === "map") return rows(field, holder, key, path);
    if (field.kind !== "group") return control(field, holder, key, path);
    holder[key] = holder[key] || {};
    return make("fieldset", { id: id(path) }, make("legend", {}, title(field)), whole(field), ...parts(field, holder[key], path));
  }

  // All fields of a group: short ones side by side, then those with parts.
  function parts(field, value, path) {
    return drawn(field.of, value, path);
  }

  function drawn(fields, value, path) {
    const made = (some) => some.map((each) => one(each, value, each.key, [...path, each.key]));
    const short = made(fields.filter((each) => !inner(each)));
    return [...(short.length ? [make("div", { class: "fields" }, ...short)] : []), ...made(fields.filter(inner))];
  }

  function folded(fields, value, path, words) {
    if (!fields.length) return [];
    return [make("details", {}, make("summary", {}, words || `More: ${fields.map((each) => each.title.toLowerCase()).join(", ")}`), ...drawn(fields, value, path))];
  }

  function section(heading, name, ...body) {
    const mark = `g-${name}`;
    return make("section", { class: "side", "aria-labelledby": mark }, make("h2", { id: mark }, heading), make("div", { class: "side__body" }, ...body));
  }

  const split = (fields) => [fields.filter((each) => each.first), fields.filter((each) => !each.first)];

  function topic(field, value) {
    const path = [field.key];
    if (field.kind !== "group") {
      const box = rows(field, value, field.key, path, true);
      return section(title(field), field.key, field.first ? box : make("details", {}, make("summary", {}, `${field.title}: open to fill in`), box));
    }
    value[field.key] = value[field.key] || {};
    const [first, rest] = split(field.of);
    const words = first.length ? "" : `${field.title}: ${rest.map((each) => each.title.toLowerCase()).join(", ")}`;
    return section(field.title, field.key, whole(field), ...drawn(first, value[field.key], path), ...folded(rest, value[field.key], path, words));
  }

  guide.fields = function (field, value, hear) {
    changed = hear;
    const [first, rest] = split(field.of.filter((each) => !inner(each)));
    return [section("The bike", "bike", ...drawn(first, value, []), ...folded(rest, value, [])), ...field.of.filter(inner).map((each) => topic(each, value))];
  };
  guide.fields.id = id;
})();
