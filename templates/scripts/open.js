// A link to a working opens it, with what it is folded into; printing opens them all.
(function () {
  "use strict";

  function open() {
    var target = location.hash.length > 1 && document.getElementById(location.hash.slice(1));
    if (!target) return;
    for (var fold = target.closest("details"); fold; fold = fold.parentElement.closest("details")) {
      fold.open = true;
    }
    target.scrollIntoView();
  }

  var opened = [];
  addEventListener("hashchange", open);
  addEventListener("beforeprint", function () {
    opened = Array.from(document.querySelectorAll("main details:not([open])"));
    opened.forEach(function (one) { one.open = true; });
  });
  addEventListener("afterprint", function () {
    opened.forEach(function (one) { one.open = false; });
  });
  open();
})();
