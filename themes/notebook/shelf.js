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
    get traits() { return (this.traitsRead ??= this.row.dataset.s.split("|")); }
    get lit() { return this.traits[0] === "" || this.traits[0] === "flying"; }
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
  const now = document.querySelector(".now"), rail = shelf.querySelector(".rail");
  const answer = document.querySelector(".answer output");
  const rest = answer ? answer.textContent : "";
  const sift = document.querySelector(".sift"), tally = document.querySelector(".tally");
  const unit = shelf.dataset.unit, low = +shelf.dataset.low, top = +shelf.dataset.top;
  // Shares of the axis at evenly spaced logarithms of the wind: it is stretched where many kites like the wind.
  const shares = shelf.dataset.along.split(" ").map(Number), span = Math.log(top / low), STEPS = 400;
  const share = (wind) => {
    const at = (Math.log(Math.min(Math.max(wind, low), top) / low) / span) * (shares.length - 1);
    const n = Math.min(Math.floor(at), shares.length - 2);
    return shares[n] + (at - n) * (shares[n + 1] - shares[n]);
  };
  const along = (steps) => {
    const at = steps / STEPS;
    let n = 0;
    while (n < shares.length - 2 && shares[n + 1] < at) n += 1;
    const part = (n + (at - shares[n]) / (shares[n + 1] - shares[n])) / (shares.length - 1);
    const wind = low * Math.exp(span * part);
    return wind < 10 ? Math.round(wind * 10) / 10 : Math.round(wind * 2) / 2;
  };
  const LEFT = 0.045313; // share of the sky's width left free at either end of the axis
  const by = {};
  const first = find("by-flyer") ? find("by-flyer").value : "";
  const state = { wind: null, text: "", flyer: first };
  const PAGE = 60;
  const more = new Map();

  // Where nothing is known of what this flyer likes, the row shows another's wind and says whose.
  const rangeOf = (kite) => (state.flyer && kite.ranges.get(state.flyer)) || kite.first;
  const own = (kite) => !state.flyer || kite.ranges.has(state.flyer);
  const likes = (kite, wind) => {
    const range = kite.lit ? rangeOf(kite) : null;
    return range && wind >= range.low && wind <= range.high ? range : null;
  };
  const tests = {
    stage: (kite, value) => kite.traits[0] === value,
    skin: (kite, value) => kite.traits[1] === value,
    bow: (kite, value) => kite.traits[2] === value,
    size: (kite, value) => {
      const [from, to] = value.split(" ").map(Number);
      return kite.traits[3] !== "" && +kite.traits[3] >= from && +kite.traits[3] < to;
    },
    tag: (kite, value) => kite.traits.indexOf(value, 4) >= 4,
    flown: (kite, value) => Boolean(kite.ranges.get(value)?.flown),
  };
  const sifted = (kite) =>
    (!state.text || kite.words.includes(state.text)) &&
    Object.entries(by).every(([what, value]) => !value || tests[what](kite, value));

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
  const small = matchMedia("(max-width: 71.99rem)");
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
      if (!range.flown || !own(kite)) guessed.push(kite);
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
    const sifting = state.text || Object.values(by).some(Boolean) || (folded && chosen);
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
      const part = share(state.wind), x = `${(100 * (LEFT + (1 - 2 * LEFT) * part)).toFixed(3)}%`;
      const through = drawing.querySelector(".nowline"), flag = drawing.querySelector(".flag");
      if (through) {
        through.setAttribute("x1", x);
        through.setAttribute("x2", x);
        flag.setAttribute("x", x);
        flag.classList.toggle("left", part > 0.9);
        flag.firstElementChild.textContent = `${state.wind} ${unit}`;
      }
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
      answer.parentElement.classList.toggle("long", answer.textContent.length > 120);
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
    if (rail) rail.hidden = false;
    slider.addEventListener("input", () => blow(along(+slider.value)));
    slider.addEventListener("change", note);
    field.addEventListener("input", () => { if (field.value !== "" && field.validity.valid) { blow(+field.value); note(); } });
    off.addEventListener("click", () => { field.value = ""; state.wind = null; show(); note(); field.focus(); });
    now.addEventListener("submit", (event) => event.preventDefault());
    addEventListener("hashchange", fromHash);
  }
  if (sift && kites.length > 1) {
    const folding = sift.querySelector("details");
    if (folding && matchMedia("(max-width: 56rem)").matches) folding.open = false;
    sift.hidden = false;
    sift.addEventListener("submit", (event) => event.preventDefault());
    find("seek").addEventListener("input", (event) => { state.text = plain(event.target.value.trim()); more.clear(); show(); });
    sift.querySelectorAll("[data-by]").forEach((select) => {
      select.value = "";
      select.addEventListener("change", () => { by[select.dataset.by] = select.value; more.clear(); show(); });
    });
  }
  const flyer = find("by-flyer");
  if (flyer) {
    flyer.value = first;
    flyer.hidden = false;
    flyer.previousElementSibling.hidden = true;
    flyer.addEventListener("change", () => { state.flyer = flyer.value; more.clear(); rehang(); reword(); show(); });
  }
  for (const fold of folds) {
    const button = document.createElement("button");
    button.type = "button";
    button.addEventListener("click", () => { more.set(fold, (more.get(fold) || PAGE) + PAGE); show(); });
    fold.append(button);
  }

  // Another flyer's winds: every kite hangs where it was laid out for that flyer.
  const rehang = () => {
    for (const kite of kites) {
      if (!kite.sky || !kite.sky.dataset.views) continue;
      kite.views ??= JSON.parse(kite.sky.dataset.views);
      const [left, right, x, y, anchor, textX, nameY, winds, windsY, guess, said] = kite.views[+state.flyer];
      const [from, to] = kite.sky.querySelectorAll(".stop"), line = kite.sky.querySelector(".range");
      const spot = kite.sky.querySelector(".spot"), name = spot.querySelector(".name"), wind = spot.querySelector(".wind");
      const set = (el, values) => Object.entries(values).forEach(([key, value]) => el.setAttribute(key, value));
      set(line, { x1: `${left}%`, x2: `${right}%`, y1: `${y}%`, y2: `${y}%` });
      set(from, { x: `${left}%`, y: `${y}%` });
      set(to, { x: `${right}%`, y: `${y}%` });
      set(spot, { x: `${x}%`, y: `${y}%` });
      set(name, { x: textX, y: nameY });
      name.parentElement.setAttribute("class", anchor);
      if (wind) { set(wind, { x: textX, y: windsY }); wind.textContent = winds; }
      kite.sky.classList.toggle("predicted", guess);
      kite.sky.setAttribute("aria-label", said);
    }
  };
  // With a flyer chosen, each line says what that flyer likes, or whose wind it is.
  const reword = () => {
    const names = [...flyer.options].map((option) => option.textContent);
    document.querySelectorAll(".by-name").forEach((el) => { el.textContent = names[+state.flyer]; });
    for (const kite of kites) {
      const range = rangeOf(kite), words = kite.likes.querySelector(".likes");
      if (!range || !words) continue;
      words.textContent = range.text;
      kite.likes.querySelector(".guess").textContent = range.flown ? "" : "predicted";
      let other = kite.likes.querySelector(".other");
      if (!own(kite) && !other) {
        other = document.createElement("span");
        other.className = "other";
        other.dir = "auto";
        kite.likes.querySelector(".guess").after(" ", other);
      }
      if (other) other.textContent = own(kite) ? "" : names[+kite.row.dataset.w];
      const bar = kite.strip && kite.strip.querySelector(":scope > line:not(.nowline)");
      if (!bar) continue;
      bar.setAttribute("x1", `${100 * share(range.low)}%`);
      bar.setAttribute("x2", `${100 * share(range.high)}%`);
      kite.strip.classList.toggle("predicted", !range.flown);
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
  // Where the whole sky is on the screen it opens at a wind, which shows what a wind does.
  if (state.wind === null && shelf.dataset.start && !small.matches) blow(+shelf.dataset.start);
  ahead(0);
})();
