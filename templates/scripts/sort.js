// Sort buttons in the heads of figure tables. Without this script a table stays as it was built.
(function () {
  "use strict";

  function key(row, column) {
    var cell = row.cells[column];
    var number = cell.querySelector("data");
    if (number) return Number(number.value);
    return cell.querySelector(".not-known") ? null : cell.textContent.trim();
  }

  function compare(a, b) {
    if (a === null || b === null) return (a === null) - (b === null);
    return typeof a === "number" && typeof b === "number" ? a - b : String(a).localeCompare(String(b));
  }

  function sort(table, column, head) {
    var down = head.getAttribute("aria-sort") === "ascending";
    var body = table.tBodies[0];
    var rows = Array.from(body.rows).map(function (row) { return { row: row, key: key(row, column) }; });
    rows.sort(function (a, b) {
      var unknown = a.key === null || b.key === null; // not known stays last either way
      return down && !unknown ? compare(b.key, a.key) : compare(a.key, b.key);
    });
    table.querySelectorAll("[aria-sort]").forEach(function (other) { other.removeAttribute("aria-sort"); });
    head.setAttribute("aria-sort", down ? "descending" : "ascending");
    rows.forEach(function (one) { body.append(one.row); });
  }

  document.querySelectorAll("table.figures").forEach(function (table) {
    if (!table.tHead || table.tBodies.length !== 1 || table.tBodies[0].rows.length < 3) return;
    Array.from(table.tHead.rows[0].cells).forEach(function (head, column) {
      var button = document.createElement("button");
      button.type = "button";
      button.append.apply(button, Array.from(head.childNodes));
      button.addEventListener("click", function () { sort(table, column, head); });
      head.append(button);
    });
  });
})();
