// Sort buttons in the heads of figure tables. Without this script a table stays as it was built. Lists of bikes, which
// may run over several pages, are sorted by filter.js with the same buttons and the same order.
(function () {
  "use strict";

  // Order of two keys, numbers or words; null, which is not known, stays last either way.
  guide.order = function (a, b, down) {
    if (a === null || b === null) return (a === null) - (b === null);
    const found = typeof a === "number" && typeof b === "number" ? a - b : String(a).localeCompare(String(b));
    return down ? -found : found;
  };

  // Make the words of a head a button; `act` is called when it is pressed.
  guide.sortButton = function (head, act) {
    const button = guide.make("button", { type: "button" }, ...head.childNodes);
    button.addEventListener("click", act);
    head.append(button);
  };

  // Say in the heads of a table by which one it is sorted; by none where `head` is not given.
  guide.sorted = function (table, head, down) {
    table.querySelectorAll("[aria-sort]").forEach((other) => other.removeAttribute("aria-sort"));
    if (head) head.setAttribute("aria-sort", down ? "descending" : "ascending");
  };

  function key(row, column) {
    const cell = row.cells[column];
    const number = cell.querySelector("data");
    if (number) return Number(number.value);
    return cell.querySelector(".not-known") ? null : cell.textContent.trim();
  }

  function sort(table, column, head) {
    const down = head.getAttribute("aria-sort") === "ascending";
    const body = table.tBodies[0];
    const rows = Array.from(body.rows, (row) => ({ row, key: key(row, column) }));
    rows.sort((one, other) => guide.order(one.key, other.key, down));
    guide.sorted(table, head, down);
    body.append(...rows.map((one) => one.row));
  }

  document.querySelectorAll("table.figures:not(#catalogue)").forEach((table) => {
    if (!table.tHead || table.tBodies.length !== 1 || table.tBodies[0].rows.length < 3) return;
    Array.from(table.tHead.rows[0].cells).forEach((head, column) => guide.sortButton(head, () => sort(table, column, head)));
  });
})();
