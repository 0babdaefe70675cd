// The days of one kite: sifting by flyer is the style sheet's work, a kite of many needs this.
(() => {
  "use strict";
  const select = document.getElementById("kite-days");
  if (!select) return;
  document.getElementById("of-kite").hidden = false;
  select.value = "";
  select.addEventListener("change", () => {
    document.querySelectorAll(".month li").forEach((li) => li.classList.toggle("elsewhere", Boolean(select.value) && li.dataset.k !== select.value));
    if (select.value) document.querySelectorAll(".year, details.month").forEach((part) => { part.open = Boolean(part.querySelector("li:not(.elsewhere)")); });
  });
})();
