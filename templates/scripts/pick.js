// A box in each row of a list of bikes, and a bar with the link that sets those that are ticked side by side.
(function () {
  "use strict";
  const table = document.getElementById("catalogue");
  const most = Number(table.dataset.most);
  const { make } = guide;
  const picked = new Set();
  const link = make("a", { class: "button" });
  const count = make("p", { role: "status" });
  const clear = make("button", { type: "button", class: "button button--plain" }, "Untick all");
  const bar = make("div", { class: "catalogue__bar", hidden: true }, count, link, clear);

  function show() {
    const full = picked.size >= most;
    table.querySelectorAll(".catalogue__pick input").forEach((box) => {
      box.checked = picked.has(box.value);
      box.disabled = full && !box.checked;
    });
    bar.hidden = picked.size === 0;
    count.textContent = picked.size === 1 ? "1 bike ticked" : `${picked.size} bikes ticked${full ? ", the most there can be" : ""}`;
    link.textContent = picked.size === 1 ? "Compare this bike" : `Compare ${picked.size} bikes`;
    link.href = `${guide.root}compare/index.html?bikes=${[...picked].join(",")}`;
  }

  guide.repick = show;

  // Give every row its box.
  guide.pickable = function (rows) {
    for (const row of rows) {
      const box = make("input", { type: "checkbox", value: row.dataset.slug, "aria-label": `Compare ${row.querySelector("th a").textContent}` });
      row.cells[0].prepend(make("label", { class: "catalogue__pick" }, box));
    }
    show();
  };

  table.addEventListener("change", (event) => {
    const { checked, value } = event.target;
    if (checked) picked.add(value);
    else picked.delete(value);
    show();
  });
  clear.addEventListener("click", () => {
    picked.clear();
    show();
    table.parentElement.focus();
  });
  table.parentElement.after(bar);
})();
