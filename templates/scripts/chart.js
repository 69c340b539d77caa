// A button beside each chart that can be explored. The chart library and the rows are loaded when somebody presses it, and
// not before.
(function () {
  "use strict";
  document.querySelectorAll("figure[data-chart]").forEach((figure) => {
    const words = figure.querySelector(".chart__words");
    const button = guide.make("button", { type: "button", class: "button button--plain" }, "Explore this chart");
    const told = guide.make("span", { role: "status" });
    const line = guide.make("span", { class: "chart__explore" }, button, told);

    async function explore() {
      button.setAttribute("aria-disabled", "true");
      told.textContent = "Loading…";
      try {
        await guide.script("assets/explore.js");
        await guide.explore(figure, () => {
          line.hidden = false;
          button.focus();
        });
        line.hidden = true;
        told.textContent = "";
      } catch (error) {
        told.textContent = "It could not be loaded. The still picture shows the same.";
      }
      button.removeAttribute("aria-disabled");
    }

    button.addEventListener("click", () => { if (!button.hasAttribute("aria-disabled")) explore(); });
    words.append(line);
  });
})();
