// A link to a derivation opens it, and printing opens them all.
(function () {
  "use strict";

  function open() {
    var target = location.hash.length > 1 && document.getElementById(location.hash.slice(1));
    if (target && target.tagName === "DETAILS") target.open = true;
  }

  var opened = [];
  addEventListener("hashchange", open);
  addEventListener("beforeprint", function () {
    opened = Array.from(document.querySelectorAll(".trace:not([open])"));
    opened.forEach(function (one) { one.open = true; });
  });
  addEventListener("afterprint", function () {
    opened.forEach(function (one) { one.open = false; });
  });
  open();
})();
