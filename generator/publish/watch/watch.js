// Only while `watch` serves the site: loads the page anew when it changed, and shows problems over it.
"use strict";
(() => {
  const is = new URL(document.currentScript.src).searchParams.get("is");
  const asked = `/_events?is=${is}&path=${encodeURIComponent(decodeURI(location.pathname))}`;
  let stream = null;
  let panel = null;
  let closed = "";

  const make = (tag, className, text) => {
    const element = document.createElement(tag);
    element.className = className;
    element.textContent = text;
    return element;
  };

  const place = problem =>
    problem.line ? `${problem.file}:${problem.line}:${problem.column}` : problem.file;

  const stop = words => (words.endsWith(".") || words.endsWith("?") ? words : `${words}.`);

  const show = problems => {
    const now = JSON.stringify(problems);
    if (panel && panel.dataset.now === now) return;
    panel?.remove();
    panel = null;
    if (!problems.length || now === closed) return;
    closed = "";
    panel = make("div", "watch", "");
    panel.dataset.now = now;
    panel.setAttribute("role", "alert");
    const button = make("button", "watch__close", "Close");
    button.type = "button";
    button.addEventListener("click", () => {
      closed = now;
      panel?.remove();
      panel = null;
    });
    const list = make("ul", "watch__list", "");
    for (const problem of problems) {
      const item = make("li", "", "");
      item.append(make("code", "", place(problem)), make("span", "", stop(problem.what)),
        make("span", "", stop(problem.mend)));
      list.append(item);
    }
    const what = problems.length === 1 ? "One problem" : `${problems.length} problems`;
    panel.append(button,
      make("p", "watch__title", `${what} in what you saved. The page shows the last good state.`), list);
    document.body.append(panel);
  };

  const open = () => {
    if (stream || document.hidden) return;
    stream = new EventSource(asked);
    stream.addEventListener("message", message => {
      const told = JSON.parse(message.data);
      if (told.reload) {
        close();
        location.reload();
      } else {
        show(told.problems);
      }
    });
  };

  const close = () => {
    stream?.close();
    stream = null;
  };

  // A browser keeps few connections to one host: a page out of sight gives its own back.
  document.addEventListener("visibilitychange", () => (document.hidden ? close() : open()));
  addEventListener("pageshow", open);
  addEventListener("pagehide", close);
  open();
})();
