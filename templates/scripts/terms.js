// A link to the glossary says its definition in place, while pointer or keyboard focus is on the link or on the words.
// Escape closes it. On a touch screen, and without this script, it is a plain link.
(function () {
  "use strict";
  const GAP = 6; // clear of the focus ring [px]
  const PATIENCE = 300; // to move the pointer from the link to the words [ms]
  const tip = guide.make("div", { role: "tooltip", id: "term-tip", class: "tip", hidden: true });
  let wanted = null; // the link whose definition is shown, or on its way
  let timer = 0;

  const linkOf = (event) => (event.target instanceof Element ? event.target.closest("a.term") : null);

  function close() {
    clearTimeout(timer);
    if (wanted) wanted.removeAttribute("aria-describedby");
    wanted = null;
    tip.hidden = true;
  }

  // Under the link, or above it where there is more room; never over it, never beyond the screen's sides.
  function place(link) {
    tip.style.left = tip.style.top = "0";
    const box = link.getBoundingClientRect();
    const tall = tip.offsetHeight + GAP;
    const left = Math.max(GAP, Math.min(box.left, document.documentElement.clientWidth - tip.offsetWidth - GAP));
    const under = box.bottom + tall <= innerHeight || box.top < tall;
    tip.style.left = `${left + scrollX}px`;
    tip.style.top = `${scrollY + (under ? box.bottom + GAP : box.top - tall)}px`;
  }

  function open(link) {
    clearTimeout(timer);
    if (link === wanted) return;
    close();
    wanted = link;
    const slug = (/glossary\/([^/]+)\//.exec(link.href) || [])[1];
    guide.load("data/terms.js").then((terms) => {
      if (link !== wanted || !Object.hasOwn(terms, slug)) return;
      tip.textContent = terms[slug];
      if (!tip.isConnected) document.body.append(tip);
      tip.hidden = false;
      place(link);
      link.setAttribute("aria-describedby", tip.id);
    }, close);
  }

  const held = () => wanted.matches(":hover, :focus-visible") || tip.matches(":hover");

  function leave() {
    clearTimeout(timer);
    timer = setTimeout(() => { if (wanted && !held()) close(); }, PATIENCE);
  }

  document.addEventListener("pointerover", (event) => {
    const link = linkOf(event);
    if (link && event.pointerType !== "touch") open(link);
  });
  document.addEventListener("pointerout", (event) => {
    if (wanted && (event.target === tip || linkOf(event) === wanted)) leave();
  });
  document.addEventListener("focusin", (event) => {
    const link = linkOf(event);
    if (link && link.matches(":focus-visible")) open(link);
  });
  document.addEventListener("focusout", (event) => {
    if (wanted && linkOf(event) === wanted) leave();
  });
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape") close();
  });
  addEventListener("resize", close);
})();
