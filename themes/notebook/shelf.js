// The wind shelf: the wind now, and sifting the list. Without this script the shelf and the list stand as they are.
(() => {
  "use strict";
  const shelf = document.querySelector("[data-shelf]");
  if (!shelf) return;
  const find = (id) => document.getElementById(id);
  const drawing = shelf.querySelector("svg.sky");
  const folded = shelf.classList.contains("folded");
  const inSky = new Map();
  shelf.querySelectorAll("svg.sky [data-n]").forEach((el) => inSky.set(el.dataset.n, el));
  // A flock is drawn in the order of the list, so its marks need no numbers.
  shelf.querySelectorAll("svg.flock .dots path").forEach((el, n) => inSky.set(String(n), el));

  const plain = (text) => text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase();
  // What a line says is read from it only when a wind, a flyer or a word asks: a page of a thousand opens at once.
  class Kite {
    constructor(row) {
      this.row = row;
      this.sky = inSky.get(row.dataset.n);
      this.fold = row.closest("details");
    }
    get link() { return (this.linkRead ??= this.row.querySelector("a")); }
    get name() { return this.link.textContent.trim(); }
    get href() { return this.link.getAttribute("href"); }
    get likes() { return (this.likesRead ??= this.row.querySelector(".at")); }
    get strip() { return this.row.querySelector(".strip"); }
    get words() { return (this.wordsRead ??= plain(this.row.textContent)); }
    get stage() { return this.row.dataset.s; }
    get skin() { return this.row.dataset.k; }
    get first() { return this.row.dataset.w ? this.ranges.get(this.row.dataset.w) : undefined; }
    get ranges() {
      if (this.rangesRead) return this.rangesRead;
      const ranges = new Map();
      for (const part of this.row.dataset.r ? this.row.dataset.r.split(";") : []) {
        const [flyer, low, high, how, text] = part.split("|");
        // The range that the line itself shows is not written twice.
        const shown = text || this.row.querySelector(".likes").textContent;
        ranges.set(flyer, { low: +low, high: +high, flown: how === "f", text: shown });
      }
      return (this.rangesRead = ranges);
    }
  }
  const kites = [...document.querySelectorAll("tr[data-n]")].map((row) => new Kite(row));
  const folds = [...new Set(kites.map((kite) => kite.fold).filter(Boolean))];

  const slider = find("wind"), field = find("wind-number"), off = find("all-winds");
  const now = shelf.querySelector(".now"), answer = shelf.querySelector(".answer");
  const rest = answer ? answer.textContent : "";
  const sift = document.querySelector(".sift"), tally = document.querySelector(".tally");
  const unit = shelf.dataset.unit, low = +shelf.dataset.low, top = +shelf.dataset.top;
  // The axis is logarithmic: from 3 to 6 is as far as from 6 to 12. The slider's 200 steps lie along it.
  const span = Math.log(top / low), STEPS = 200;
  const share = (wind) => Math.log(Math.min(Math.max(wind, low), top) / low) / span;
  const along = (steps) => {
    const wind = low * Math.exp((span * steps) / STEPS);
    return wind < 10 ? Math.round(wind * 10) / 10 : Math.round(wind * 2) / 2;
  };
  const state = { wind: null, text: "", flyer: "", stage: "", skin: "" };
  const PAGE = 60;
  const more = new Map();

  const rangeOf = (kite) => (state.flyer ? kite.ranges.get(state.flyer) : kite.first);
  const likes = (kite, wind) => {
    const range = rangeOf(kite);
    return range && wind >= range.low && wind <= range.high ? range : null;
  };
  const sifted = (kite) =>
    (!state.text || kite.words.includes(state.text)) &&
    (!state.flyer || kite.ranges.has(state.flyer)) &&
    (!state.stage || kite.stage === state.stage) &&
    (!state.skin || kite.skin === state.skin);

  const linked = (kite) => {
    const a = document.createElement("a");
    a.href = kite.href;
    a.dir = "auto";
    a.textContent = kite.name;
    return a;
  };
  const listed = (parts, most) => {
    const out = document.createDocumentFragment();
    const shown = parts.slice(0, parts.length > most + 1 ? most : parts.length);
    const left = parts.length - shown.length;
    shown.forEach((kite, i) => {
      if (i) out.append(i === shown.length - 1 && !left ? " and " : ", ");
      out.append(linked(kite));
    });
    if (left) out.append(` and ${left} more`);
    return out;
  };
  // On a phone the list itself shows which they are: a few names leave it room.
  const small = matchMedia("(max-width: 56rem)");
  const sentence = (parts, one, many, usual) => {
    const most = small.matches ? Math.min(usual, 2) : usual;
    const out = document.createDocumentFragment();
    if (parts.length) out.append(listed(parts, most), ` ${parts.length === 1 ? one : many}. `);
    return out;
  };

  // A kite within an eighth of either end of its range is said to be at its top or at its bottom.
  const said = (shown) => {
    const inside = [], topmost = [], lowest = [], guessed = [];
    for (const kite of shown) {
      const range = likes(kite, state.wind);
      if (!range) continue;
      const slack = (range.high - range.low) / 8;
      if (!range.flown) guessed.push(kite);
      else if (state.wind > range.high - slack) topmost.push(kite);
      else if (state.wind < range.low + slack) lowest.push(kite);
      else inside.push(kite);
    }
    const out = document.createDocumentFragment();
    if (!inside.length && !topmost.length && !lowest.length && !guessed.length) {
      out.append(`No kite${sift && tally && shown.length < kites.length ? " among these" : ""} likes this wind.`);
      return out;
    }
    out.append(sentence(inside, "is in its zone", "are in their zone", 6));
    const quiet = document.createElement("span");
    quiet.className = "edge-of";
    quiet.append(
      sentence(topmost, "is at its top", "are at their top", 4),
      sentence(lowest, "has only just enough", "have only just enough", 4),
      sentence(guessed, "should like it, going by others", "should like it, going by others", 4),
    );
    out.append(quiet);
    return out;
  };

  const line = (kite, x) => {
    if (!kite.strip) return;
    let mark = kite.strip.querySelector(".nowline");
    if (!mark) {
      mark = document.createElementNS("http://www.w3.org/2000/svg", "line");
      mark.setAttribute("class", "nowline");
      mark.setAttribute("y2", "100%");
      kite.strip.append(mark);
    }
    mark.setAttribute("x1", x);
    mark.setAttribute("x2", x);
  };

  const show = () => {
    const chosen = state.wind !== null;
    const shown = kites.filter(sifted);
    const visible = new Set(shown);
    const counts = new Map(folds.map((fold) => [fold, 0]));
    const sifting = state.text || state.flyer || state.stage || state.skin || (folded && chosen);
    let listedNow = 0;
    for (const kite of kites) {
      const inside = chosen && likes(kite, state.wind);
      const keep = visible.has(kite) && (!folded || !chosen || inside);
      let hide = !keep;
      if (keep) listedNow += 1;
      if (keep && kite.fold) {
        const n = counts.get(kite.fold) + 1;
        counts.set(kite.fold, n);
        if (n > (more.get(kite.fold) || PAGE)) hide = true;
      }
      if (kite.row.hidden !== hide) kite.row.hidden = hide;
      const step = !visible.has(kite) || (chosen && !inside) ? "out" : chosen ? "in" : "";
      if (step !== (kite.step || "")) {
        kite.step = step;
        for (const el of [kite.row, kite.sky]) {
          if (!el) continue;
          el.classList.toggle("in", step === "in");
          el.classList.toggle("out", step === "out");
        }
      }
      if (chosen) line(kite, `${100 * share(state.wind)}%`);
    }
    shelf.classList.toggle("chosen", chosen);
    document.body.classList.toggle("wind-chosen", chosen);
    if (drawing && chosen) {
      const left = +drawing.dataset.left, right = +drawing.dataset.right;
      const x = left + (right - left) * share(state.wind);
      drawing.querySelector(".nowline").setAttribute("transform", `translate(${x.toFixed(1)} 0)`);
    }
    for (const fold of folds) {
      const n = counts.get(fold);
      fold.hidden = Boolean(sifting) && n === 0;
      fold.querySelector(".howmany").textContent = n;
      const button = fold.querySelector("button");
      const limit = more.get(fold) || PAGE;
      button.hidden = n <= limit;
      button.textContent = `Show ${Math.min(PAGE, n - limit)} more of ${n}`;
      if (sifting && n && listedNow <= PAGE) fold.open = true;
    }
    if (answer) {
      answer.replaceChildren(chosen ? said(shown) : rest);
      off.hidden = !chosen;
    }
    if (tally) {
      tally.textContent = shown.length === kites.length && !sifting ? "" : `${listedNow} of ${kites.length}`;
    }
  };

  // Winds come in as numbers in the book's unit, or with a unit in the address: #wind=6mph
  const units = JSON.parse(shelf.dataset.units);
  const fromHash = () => {
    let hash = "";
    try { hash = decodeURIComponent(location.hash); } catch { /* a mangled link picks no wind */ }
    const match = /(?:^#|&)wind=([0-9]+(?:[.,][0-9]+)?)\s*([a-z/]*)/i.exec(hash);
    if (!match) return;
    const named = Object.keys(units).find((name) => name.toLowerCase() === match[2].toLowerCase());
    if (match[2] && !named) return;
    const value = (+match[1].replace(",", ".") * units[named || unit]) / units[unit];
    blow(Math.round(value * 100) / 100);
  };
  const blow = (wind) => {
    state.wind = wind;
    slider.setAttribute("aria-valuetext", `${wind} ${unit}`);
    if (document.activeElement !== slider) slider.value = STEPS * share(wind);
    if (document.activeElement !== field) field.value = Math.round(wind * 10) / 10;
    show();
  };
  const note = () => {
    const hash = state.wind === null ? location.pathname + location.search : `#wind=${+state.wind.toFixed(2)}${unit}`;
    try { history.replaceState(null, "", hash); } catch { /* a page opened as a file may refuse: the wind still counts */ }
  };

  if (slider) {
    now.hidden = false;
    slider.addEventListener("input", () => blow(along(+slider.value)));
    slider.addEventListener("change", note);
    field.addEventListener("input", () => { if (field.value !== "" && field.validity.valid) { blow(+field.value); note(); } });
    off.addEventListener("click", () => { field.value = ""; state.wind = null; show(); note(); field.focus(); });
    now.addEventListener("submit", (event) => event.preventDefault());
    addEventListener("hashchange", fromHash);
  }
  if (sift && kites.length > 1) {
    sift.hidden = false;
    sift.addEventListener("submit", (event) => event.preventDefault());
    find("seek").addEventListener("input", (event) => { state.text = plain(event.target.value.trim()); more.clear(); show(); });
    for (const [id, key] of [["by-flyer", "flyer"], ["by-stage", "stage"], ["by-skin", "skin"]]) {
      const select = find(id);
      if (!select) continue;
      select.value = "";
      select.addEventListener("change", () => { state[key] = select.value; more.clear(); if (key === "flyer") reword(); show(); });
    }
  }
  for (const fold of folds) {
    const button = document.createElement("button");
    button.type = "button";
    button.addEventListener("click", () => { more.set(fold, (more.get(fold) || PAGE) + PAGE); show(); });
    fold.append(button);
  }

  // With a flyer chosen, each line says what that flyer likes.
  const reword = () => {
    for (const kite of kites) {
      const range = rangeOf(kite);
      const words = kite.likes.querySelector(".likes"), guess = kite.likes.querySelector(".guess");
      const bar = kite.strip && kite.strip.querySelector(":scope > line:not(.nowline)");
      if (!range || !words) continue;
      words.textContent = range.text;
      if (guess) guess.textContent = range.flown ? "" : "predicted";
      if (bar) {
        bar.setAttribute("x1", `${100 * share(range.low)}%`);
        bar.setAttribute("x2", `${100 * share(range.high)}%`);
        kite.strip.classList.toggle("predicted", !range.flown);
      }
    }
  };

  // Once the page is there, a few lines at a time are read ahead, so that the first wind is answered at once too.
  const later = window.requestIdleCallback || ((work) => setTimeout(work, 30));
  const ahead = (from) => later(() => {
    kites.slice(from, from + 40).forEach((kite) => kite.ranges);
    if (from + 40 < kites.length) ahead(from + 40);
  });

  show();
  if (slider) fromHash();
  ahead(0);
})();
