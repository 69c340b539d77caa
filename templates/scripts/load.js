// window.guide: what all scripts of the site share. It loads the site's own data files as scripts, which works from a
// disk too, where a page may fetch nothing.
(function () {
  "use strict";
  const root = new URL("../", document.currentScript.src).href;
  const waiting = new Map(); // path to {promise, give}

  function entry(path) {
    if (!waiting.has(path)) {
      const one = {};
      one.promise = new Promise((give, fail) => { one.give = give; one.fail = fail; });
      waiting.set(path, one);
    }
    return waiting.get(path);
  }

  // Run a script of the site once; resolves when it has run.
  function script(path) {
    const one = entry(path);
    if (!one.asked) {
      one.asked = true;
      const element = document.createElement("script");
      element.src = root + path;
      element.addEventListener("load", () => one.give());
      element.addEventListener("error", () => { waiting.delete(path); element.remove(); one.fail(new Error(path)); });
      document.head.append(element);
    }
    return one.promise;
  }

  window.guide = {
    root,
    script,
    // The value that a data file holds.
    load: (path) => script(path),
    // Called by data files.
    take: (path, value) => { entry(path).asked = true; entry(path).give(value); },
    // An element: make("p", {class: "x"}, "words", child, …)
    make: function (name, attributes, ...children) {
      const element = document.createElement(name);
      for (const [key, value] of Object.entries(attributes || {})) {
        if (value !== null && value !== undefined && value !== false) element.setAttribute(key, value === true ? "" : value);
      }
      element.append(...children);
      return element;
    },
  };
})();
