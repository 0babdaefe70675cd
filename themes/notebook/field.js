// Which kite now: the wind by number or by eye, the flyer, and the kites that suit it, best first.
// A plain script, so that it also runs where the page was opened as a file; the session is a module of its own.
// It runs before the plain table under it is read, which is then never laid out.
(() => {
  "use strict";
  const source = document.getElementById("field-data");
  if (!source) return;
  const data = JSON.parse(source.textContent);
  const find = (id) => document.getElementById(id);
  const own = document.currentScript.src;
  const kites = new Map(data.kites.map((kite) => [kite.key, kite]));
  const watching = [];
  const tidy = (wind) => Math.round(wind * 10) / 10;
  const middle = tidy(Math.round(Math.sqrt(data.low * data.top) / data.step) * data.step);
  const field = {
    data, kites, find, wind: middle, flyer: data.first || data.flyers[0] || "",
    watch: (listener) => watching.push(listener),
    row: (id) => find(id).content.firstElementChild.cloneNode(true),
  };

  const span = Math.log(data.top / data.low);
  field.share = (wind) => `${(100 * Math.log(Math.min(Math.max(wind, data.low), data.top) / data.low)) / span}%`;
  field.draw = (svg, kite, known) => {
    svg.replaceChildren();
    svg.classList.toggle("f-unflown", !known);
    const ns = "http://www.w3.org/2000/svg";
    if (kite && find(kite.picture)) {
      svg.setAttribute("viewBox", kite.box);
      svg.append(document.createElementNS(ns, "use"));
      svg.firstChild.setAttribute("href", `#${kite.picture}`);
    } else {
      svg.setAttribute("viewBox", "-24 -2 48 64");
      svg.append(document.createElementNS(ns, "path"));
      svg.firstChild.setAttribute("d", "M0 0L22 20L0 60L-22 20Z");
      if (kite) svg.firstChild.setAttribute("fill", kite.colour);
    }
  };
  field.strip = (svg, range) => {
    const [track, likes, here] = svg.children;
    likes.toggleAttribute("hidden", !range);
    if (range) {
      likes.setAttribute("x1", field.share(range.low));
      likes.setAttribute("x2", field.share(range.high));
    }
    svg.classList.toggle("f-predicted", Boolean(range) && !range.flown);
    here.setAttribute("x1", field.share(field.wind));
    here.setAttribute("x2", field.share(field.wind));
    return track;
  };
  const times = (count) => `flown ${["", "once", "twice"][count] || `${count} times`}`;
  field.behind = (range) => (range.flown ? times(range.flown) : "not flown yet");
  field.liking = (range) => `${range.flown ? "liked" : "predicted"} ${range.says}`;

  // Whose winds count: this flyer's, or the book's first where nothing is known of this one.
  const knows = (flyer) => data.kites.some((kite) => kite.likes[flyer]);
  const whose = () => (knows(field.flyer) ? field.flyer : [data.first, ...data.flyers].find((name) => name && knows(name)));
  field.rangeOf = (kite) => kite.likes[whose()];

  const COUNTS = ["No kite", "One kite", "Two kites", "Three kites", "Four kites", "Five kites", "Six kites", "Seven kites",
    "Eight kites", "Nine kites", "Ten kites", "Eleven kites", "Twelve kites"];
  const EDGE = 8; // within an eighth of either end of its range a kite is at its top or at its bottom
  const NEAR = 1.2; // a fifth more or less wind still counts as almost
  const MOST = 12; // a hand in the cold wants no longer list

  const fitting = () => {
    const suits = [], almost = [];
    for (const kite of data.kites) {
      if (kite.rests) continue; // it may be picked and flown, but no wind offers it
      const range = field.rangeOf(kite);
      if (!range) continue;
      const { low, high } = range;
      if (field.wind >= low && field.wind <= high) {
        const half = Math.log(high / low) / 2 || 1;
        suits.push({ kite, range, far: Math.abs(Math.log(field.wind / Math.sqrt(low * high))) / half });
      } else if (field.wind <= high * NEAR && field.wind * NEAR >= low) {
        almost.push({ kite, range, far: field.wind < low ? low / field.wind : field.wind / high });
      }
    }
    const order = (a, b) => Number(!a.range.flown) - Number(!b.range.flown) || a.far - b.far;
    return { suits: suits.sort(order), almost: almost.sort((a, b) => a.far - b.far) };
  };
  field.suiting = () => fitting().suits.map(({ kite }) => kite.key);
  const where = ({ low, high }) => {
    const slack = (high - low) / EDGE;
    if (field.wind > high - slack) return ", its top";
    return field.wind < low + slack ? ", only just" : "";
  };
  const lacking = ({ low, high }) =>
    field.wind < low ? `${tidy(Math.max(low - field.wind, 0.1))} more would do` : `${tidy(Math.max(field.wind - high, 0.1))} less would do`;

  const item = ({ kite, range }, large) => {
    const row = field.row("row-suit");
    const svg = row.querySelector(".f-kite");
    svg.setAttribute("width", large ? 100 : 60);
    svg.setAttribute("height", large ? 84 : 54);
    field.draw(svg, kite, range.flown);
    row.classList.toggle("f-predicted", !range.flown);
    row.querySelector("a").href = kite.href;
    row.querySelector("a").textContent = kite.name;
    const [says, quiet] = row.querySelectorAll("p > *");
    says.textContent = field.liking(range) + (large ? where(range) : "");
    quiet.textContent = large ? field.behind(range) : lacking(range);
    const strip = row.querySelector(".f-strip");
    if (large) field.strip(strip, range);
    else strip.remove();
    const fly = row.querySelector(".f-fly");
    fly.hidden = !field.fly;
    fly.lastChild.textContent = ` ${kite.name} now`;
    fly.addEventListener("click", () => field.fly(kite.key));
    return row;
  };

  const show = () => {
    const { suits, almost } = fitting();
    const heading = `${COUNTS[suits.length] || `${suits.length} kites`} for ${tidy(field.wind)} ${data.unit}`;
    if (find("now-h").textContent !== heading) find("now-h").textContent = heading;
    find("suits").replaceChildren(...suits.slice(0, MOST).map((one) => item(one, true)));
    find("almost").replaceChildren(...almost.slice(0, MOST).map((one) => item(one, false)));
    find("almost-part").hidden = !almost.length;
    const other = whose();
    find("goes-by").hidden = !other || other === field.flyer || !field.flyer;
    find("goes-by").textContent = `Nothing is known of ${field.flyer} yet: these are the winds of ${other}.`;
    const unknown = data.kites.filter((kite) => !kite.rests && !field.rangeOf(kite)).length;
    find("unknown").hidden = !unknown;
    find("unknown").textContent = `${unknown === 1 ? "One kite has" : `${unknown} kites have`} no wind known yet: fly ${unknown === 1 ? "it" : "them"} and tap.`;
    const at = data.signs.findIndex((sign) => field.wind < sign.high);
    const sign = at < 0 ? data.signs.length - 1 : at;
    document.querySelectorAll('[name="sign"]').forEach((radio, n) => { radio.checked = n === sign; });
    find("by-eye").textContent = at < 0 ? "more than big boughs moving" : data.signs[sign].short;
    document.querySelectorAll('[name="flyer"]').forEach((radio) => { radio.checked = radio.value === field.flyer; });
    if (document.activeElement !== find("wind")) find("wind").value = tidy(field.wind);
    watching.forEach((listener) => listener());
  };
  field.show = show;
  field.blow = (wind) => {
    field.wind = Math.min(Math.max(tidy(wind), 0), 200);
    show();
  };

  const stepped = (way) => field.blow(Math.max(Math.round(field.wind / data.step + way), 0) * data.step);
  find("less-wind").addEventListener("click", () => stepped(-1));
  find("more-wind").addEventListener("click", () => stepped(1));
  find("wind").addEventListener("input", (event) => {
    const wind = Number(event.target.value.trim().replace(",", "."));
    if (event.target.value.trim() && wind >= 0) field.blow(wind);
  });
  find("wind").addEventListener("blur", show);
  document.querySelectorAll('[name="sign"]').forEach((radio, n) => radio.addEventListener("change", () => {
    const { low, high } = data.signs[n];
    field.blow(Math.max(Math.round((low + high) / 2 / data.step), n ? 1 : 0) * data.step);
  }));
  document.querySelectorAll('[name="flyer"]').forEach((radio) => radio.addEventListener("change", () => {
    field.flyer = radio.value;
    show();
  }));
  document.querySelectorAll("#field-app form, #dock form").forEach((form) => form.addEventListener("submit", (event) => event.preventDefault()));

  document.addEventListener("DOMContentLoaded", () => {
    for (const id of ["not-offered", "demonstration"]) if (find(id)) find("gone").append(find(id));
  });
  find("field-app").hidden = false;
  find("dock").hidden = false;
  show();

  const stop = (sentence) => {
    find("stop").hidden = false;
    find("stop").textContent = sentence;
  };
  if (location.protocol === "file:") {
    find("signal").textContent = "opened as a file";
    stop("This page was opened as a file. A browser gives such a page nowhere of its own to keep a session, so nothing can be tapped here. Which now works. Open the page where your book is published and sessions are kept on the phone.");
  } else {
    const kept = () => { find("signal").textContent = navigator.serviceWorker && navigator.serviceWorker.controller ? "no signal needed" : "needs signal"; };
    kept();
    if (navigator.serviceWorker) navigator.serviceWorker.addEventListener("controllerchange", kept);
    import(new URL("field-session.js", own)).then((session) => session.begin(field)).catch(() => {
      stop("This browser cannot keep a session: it is too old, or a part of this page did not load. Which now works.");
    });
  }
})();
