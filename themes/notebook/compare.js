// The table of every kite sorts by any column; what is not known stands last either way.
(() => {
  "use strict";
  const table = document.querySelector(".beside-source");
  if (!table || table.tBodies[0].rows.length < 2) return;
  const body = table.tBodies[0], heads = [...table.tHead.rows[0].cells];
  const order = new Intl.Collator(document.documentElement.lang, { numeric: true });
  const number = (text) => {
    const found = /[-\u2212]?\d+(?:[\u202f ]\d{3})*(?:\.\d+)?/.exec(text);
    return found ? +found[0].replace(/[\u202f ]/g, "").replace("\u2212", "-") : NaN;
  };
  const value = (text, column) => {
    if (text === "" || text === "\u2013") return null;
    if (column === 0) return text;
    const read = number(text);
    return Number.isNaN(read) ? text : read;
  };
  const compare = (a, b) =>
    typeof a === typeof b ? (typeof a === "number" ? a - b : order.compare(a, b)) : typeof a === "string" ? -1 : 1;
  heads.forEach((head, column) => {
    const button = document.createElement("button");
    button.type = "button";
    button.append(...head.childNodes);
    head.append(button);
    button.addEventListener("click", () => {
      const turn = head.getAttribute("aria-sort") === "ascending" ? -1 : 1;
      const rows = [...body.rows].map((row, n) => [value(row.cells[column].textContent.trim(), column), n, row]);
      rows.sort(([a, n], [b, m]) =>
        a === null || b === null ? (a === null) - (b === null) || n - m : turn * compare(a, b) || n - m);
      body.append(...rows.map(([, , row]) => row));
      heads.forEach((other) => other.removeAttribute("aria-sort"));
      head.setAttribute("aria-sort", turn === 1 ? "ascending" : "descending");
    });
  });
  document.querySelector(".sorting").hidden = false;
})();

// Two to four kites side by side, taken from the page's own table. Pairs the book names have pages of their own.
(() => {
  "use strict";
  const choose = document.querySelector(".choose"), source = document.querySelector(".beside-source");
  if (!choose || !source) return;
  const slots = [...choose.querySelectorAll("[data-slot]")];
  const table = choose.querySelector("table"), body = choose.querySelector("tbody");
  const head = table.createTHead().insertRow();
  const labels = [...source.querySelectorAll("thead th")].map((cell) => cell.textContent.trim());
  const keyOf = (row) => decodeURIComponent(row.querySelector("a").getAttribute("href").split("/").at(-2));
  let kites = new Map();

  const cell = (kind, from, scope) => {
    const made = document.createElement(kind);
    if (scope) made.scope = scope;
    if (typeof from === "string") made.textContent = from;
    else made.append(...[...from.childNodes].map((node) => node.cloneNode(true)));
    return made;
  };
  const show = () => {
    const rows = slots.map((slot) => kites.get(slot.value)).filter(Boolean);
    head.replaceChildren();
    body.replaceChildren();
    choose.querySelector(".scroll").hidden = rows.length === 0;
    if (!rows.length) return;
    head.append(cell("td", ""), ...rows.map((row) => cell("th", row.cells[0], "col")));
    labels.slice(1).forEach((label, i) => {
      const line = document.createElement("tr");
      line.append(cell("th", label, "row"), ...rows.map((row) => cell("td", row.cells[i + 1])));
      body.append(line);
    });
  };
  const fromHash = () => {
    const match = /(?:^#|&)kites=([^&]*)/.exec(location.hash);
    if (!match) return;
    fill();
    const keys = match[1].split(",").map(decodeURIComponent);
    slots.forEach((slot, i) => { slot.value = kites.has(keys[i]) ? keys[i] : ""; });
    show();
  };
  // The names are filled in when a hand or an address asks for them: thousands of choices would hold up the page.
  const fill = () => {
    if (kites.size) return;
    kites = new Map([...source.tBodies[0].rows].map((row) => [keyOf(row), row]));
    const order = new Intl.Collator(document.documentElement.lang, { numeric: true });
    const byName = [...kites].map(([key, row]) => [row.cells[0].textContent, key]).sort((a, b) => order.compare(a[0], b[0]));
    slots.forEach((slot) => slot.append(...byName.map(([name, key]) => new Option(name, key))));
  };
  ["pointerover", "pointerdown", "focusin"].forEach((touch) => choose.addEventListener(touch, fill));
  choose.hidden = false;
  choose.querySelector("form").addEventListener("submit", (event) => event.preventDefault());
  slots.forEach((slot) => {
    slot.value = "";
    slot.addEventListener("change", () => {
      show();
      const keys = slots.map((s) => s.value).filter(Boolean).map(encodeURIComponent);
      try { history.replaceState(null, "", `#kites=${keys.join(",")}`); } catch { /* opened as a file: no address to share */ }
    });
  });
  addEventListener("hashchange", fromHash);
  show();
  fromHash();
})();
