// "Add or correct a bike": fields, the file they make, and what is still wrong with it. Nothing leaves the browser.
(function () {
  "use strict";
  const { make } = guide;
  const at = (name) => document.getElementById(name);
  const form = at("bike");
  const [file, status, faults, about, open] = ["file", "status", "faults", "about", "open"].map(at);
  const seen = new Set(); // ids of the fields that somebody has left
  let schema, data = {}, slug = "", all = false;

  const text = () => guide.yaml.write(schema.bike, data);
  const problems = () => guide.check(schema.bike, data, schema).map((each) => ({ ...each, id: guide.fields.id(each.path) }));

  // The name of the file: that of the bike that was loaded, else made of maker and name.
  function name() {
    const words = [data.maker, data.name].filter(Boolean).join(" ").normalize("NFKD").replace(/\p{M}/gu, "");
    return `${slug || words.toLowerCase().replace(/[^a-z0-9]+/g, "-").slice(0, 60).replace(/^-+|-+$/g, "") || "maker-name"}.yaml`;
  }

  // Where a problem is, in the words of the form: Sources, 1, Kind. A map's pair is its number, then 0 (name) or 1 (value).
  function label(each) {
    let field = schema.bike;
    let pair = false;
    const words = [];
    for (const step of each.path) {
      if (typeof step === "string") {
        field = field.of.find((one) => one.key === step);
        words.push(field.title);
      } else if (pair) {
        field = field.of;
        if (step === 0) words.push("Name");
      } else {
        words.push(String(step + 1));
        pair = field.kind === "map";
        if (!pair) field = field.of;
        continue;
      }
      pair = false;
    }
    return words.join(", ");
  }

  function write() {
    file.value = text();
    at("name").textContent = name();
    if (!open) return;
    const filled = (words) => form.dataset.newFile.replace(/\{(path|text)\}/g, (_, which) => encodeURIComponent(which === "path" ? `bikes/${name()}` : words));
    open.href = filled(file.value);
    if (open.href.length > 7000) open.href = filled("");
  }

  function reveal(target) {
    for (let box = target.closest("details"); box; box = box.parentElement.closest("details")) box.open = true;
    const control = target.matches("input, select, textarea") ? target : target.querySelector("input, select, textarea, button");
    (control || target).focus();
  }

  function link(each) {
    const anchor = make("a", { href: `#${each.id}` }, label(each));
    anchor.addEventListener("click", (event) => {
      event.preventDefault();
      reveal(at(each.id));
    });
    return make("li", {}, anchor, `: ${each.what}. ${each.mend}.`);
  }

  // Messages beside the fields that were left, or beside all once somebody asked.
  function show() {
    const found = problems().filter((each) => all || seen.has(each.id));
    for (const old of form.querySelectorAll("[aria-invalid]")) old.removeAttribute("aria-invalid");
    for (const old of form.querySelectorAll("[data-error]:not(:empty)")) old.replaceChildren();
    for (const each of found) {
      const note = at(`${each.id}-e`);
      if (note) note.replaceChildren(make("b", {}, "To mend: "), `${each.what}. ${each.mend}.`);
      const control = at(each.id);
      if (control && control.matches("input, select, textarea")) control.setAttribute("aria-invalid", "true");
    }
    const things = found.length === 1 ? "1 thing" : `${found.length} things`;
    const fine = all ? "Nothing to mend that this page can see. The command vet sees more." : "";
    const words = found.length ? `${things} to mend, first: ${label(found[0])}.` : fine;
    if (status.textContent !== words) status.textContent = words;
    faults.replaceChildren(...found.map(link));
  }

  function changed(parts) {
    write();
    if (parts) show();
  }

  // Show these values: a bike's file as data.
  function fill(value) {
    data = value;
    seen.clear();
    all = false;
    at("fields").replaceChildren(...guide.fields(schema.bike, data, changed));
    write();
    show();
  }

  function ask() {
    all = true;
    show();
  }

  async function copy() {
    ask();
    try {
      await navigator.clipboard.writeText(file.value);
    } catch {
      file.select();
      document.execCommand("copy");
    }
    at("done").textContent = "Copied.";
  }

  function download() {
    ask();
    const address = URL.createObjectURL(new Blob([file.value], { type: "text/yaml" }));
    make("a", { href: address, download: name() }).click();
    setTimeout(() => URL.revokeObjectURL(address), 10000);
    at("done").textContent = `Saved as ${name()}.`;
  }

  async function start() {
    schema = await guide.load("data/form.js");
    let value = {};
    const wanted = new URLSearchParams(location.search).get("bike") || "";
    if (wanted) {
      try {
        if (!/^[a-z0-9-]+$/.test(wanted)) throw new Error(wanted);
        value = await guide.load(`bikes/${wanted}/spec.js`);
        slug = wanted;
        about.textContent = `The file ${wanted}.yaml is filled in. Change what is wrong, name the source, and add a record under Corrections. Comments in the file are not kept.`;
      } catch {
        about.textContent = `There is no bike “${wanted}” here, so the form is empty.`;
      }
    }
    form.hidden = false;
    fill(structuredClone(value));
    form.dataset.ready = "";
  }

  form.addEventListener("submit", (event) => event.preventDefault());
  form.addEventListener("change", (event) => {
    const box = event.target.id ? event.target : event.target.closest("fieldset[id]");
    if (box) seen.add(box.id);
    show();
  });
  at("check").addEventListener("click", () => { ask(); status.focus(); });
  at("copy").addEventListener("click", copy);
  at("save").addEventListener("click", download);
  guide.form = { fill, text, problems, name };
  start();
})();
