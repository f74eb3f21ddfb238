/* Filter: shows the entries of a list that have every word that is typed. Without scripts the whole list stands there. */
"use strict";
(function () {
  const field = document.getElementById("filter");
  const told = document.getElementById("filtered");
  const plain = (text) => text.normalize("NFKD").replace(/[\u0300-\u036f]/g, "").toLowerCase();
  const entries = Array.from(document.querySelectorAll("[data-words]"), (element) =>
    ({ element, words: plain(element.dataset.words) }));
  const groups = Array.from(document.querySelectorAll("[data-group]"));

  function show() {
    const wanted = plain(field.value).split(/\s+/).filter((word) => word);
    let count = 0;
    for (const { element, words } of entries) {
      element.hidden = !wanted.every((word) => words.includes(word));
      if (!element.hidden) count += 1;
    }
    for (const group of groups) group.hidden = !group.querySelector("[data-words]:not([hidden])");
    told.textContent = wanted.length ? (count ? `${count} shown.` : "None has that. Ask for it on the first page.") : "";
  }

  document.getElementById("filter-field").hidden = false;
  field.addEventListener("input", show);
  show();
})();
