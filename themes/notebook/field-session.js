// A session: the kite on the line, a tap for how it flies in the wind of the moment, taking back, marks and a word.
import { openKeeping } from "./field-keeping.js";
import { clock, dayOf, longDay, said } from "./field-words.js";
import { showLog, marksFor } from "./field-log.js";
import { showHome } from "./field-home.js";
import { traceWind } from "./field-trace.js";

const SETTINGS = "settings";

export async function begin(field) {
  const { data, find } = field;
  const keeping = await openKeeping();
  const records = await keeping.all();
  let settings = records.find((record) => record.id === SETTINGS) || { id: SETTINGS };
  const state = {
    sessions: records.filter((record) => record.id !== SETTINGS),
    current: null, kite: "", bow: "", last: null,
  };
  const today = () => dayOf(new Date());
  const fresh = () => ({
    id: [...crypto.getRandomValues(new Uint8Array(8))].map((byte) => byte.toString(16).padStart(2, "0")).join(""),
    began: Date.now(), on: today(), book: data.book, unit: data.unit, height_m: data.height_m, place: settings.place || "", taps: [],
  });
  // Today's session goes on, whatever day was written over its own; a new day begins a new one with its first tap.
  const ofToday = state.sessions.filter((session) => dayOf(new Date(session.began)) === today());
  state.current = ofToday.sort((a, b) => a.began - b.began).at(-1) || fresh();

  const warn = (sentence) => {
    find("stop").hidden = !sentence;
    find("stop").textContent = sentence;
  };
  const remember = async (edit) => { [settings] = await keeping.change(settings, edit); };
  // Whatever is changed on the phone is counted, so that the book knows which of two files is the newer one, and has
  // to be handed over again.
  const change = (session, edit) => write(session, (latest) => {
    edit(latest);
    latest.edits = (latest.edits || 0) + 1;
    delete latest.handed;
  });
  const write = async (session, edit) => {
    const [latest, sentence] = await keeping.change(session, edit);
    state.sessions = [...state.sessions.filter((one) => one.id !== latest.id), latest].sort((a, b) => a.began - b.began);
    if (state.current.id === latest.id) state.current = latest;
    warn(sentence || clockSaid());
    show();
  };
  const clockSaid = () => (data.newest && state.current.on < data.newest
    ? `This phone's clock says ${longDay(state.current.on)} ${state.current.on.slice(0, 4)}, but the book already holds ${longDay(data.newest)} ${data.newest.slice(0, 4)}. If the clock is wrong, touch “change” and set the day.`
    : "");

  const tapsOf = (key) => state.current.taps.filter((tap) => tap.kite === key);
  const nameOf = (key) => field.kites.get(key)?.name || state.current.taps.find((tap) => tap.kite === key)?.name || key;
  // The kites that were tapped, newest first, then those that suit the wind: a hand finds the next one there.
  const onLine = () => {
    const keys = [...state.current.taps].reverse().map((tap) => tap.kite);
    if (state.kite && !keys.includes(state.kite)) keys.unshift(state.kite);
    return [...new Set([...keys, ...field.suiting()])].slice(0, 5);
  };
  const choose = (key) => {
    if (key !== state.kite) { state.last = null; state.bow = ""; }
    state.kite = key;
    show();
  };
  field.fly = (key) => {
    choose(key);
    location.hash = "#session";
  };

  const tap = (say) => {
    const session = dayOf(new Date(state.current.began)) === today() ? state.current : (state.current = fresh());
    const one = { n: crypto.getRandomValues(new Uint32Array(1))[0], at: clock(new Date()), kite: state.kite, name: nameOf(state.kite), flyer: field.flyer, wind: field.wind, said: say };
    if (state.bow) one.bow = state.bow;
    state.last = one.n;
    return change(session, (latest) => latest.taps.push(one));
  };
  const edit = (n, work) => change(state.current, (latest) => {
    const one = latest.taps.find((each) => each.n === n);
    if (one) work(one);
  });
  const remove = (n) => {
    if (state.last === n) state.last = null;
    return change(state.current, (latest) => { latest.taps = latest.taps.filter((one) => one.n !== n); });
  };

  const showPicker = () => {
    find("on-line").replaceChildren(find("on-line").firstElementChild, ...onLine().map((key) => {
      const row = field.row("row-line");
      const kite = field.kites.get(key);
      const radio = row.querySelector("input");
      radio.checked = key === state.kite;
      radio.addEventListener("change", () => choose(key));
      const range = kite && field.rangeOf(kite);
      field.draw(row.querySelector("svg"), kite, !range || range.flown);
      row.lastElementChild.textContent = nameOf(key);
      return row;
    }));
  };
  const showBows = (kite) => {
    const bows = (kite && kite.bows) || [];
    find("bows").hidden = bows.length < 2;
    if (bows.length > 1 && !bows.includes(state.bow)) state.bow = bows[0];
    find("bows").replaceChildren(find("bows").firstElementChild, ...bows.map((bow) => {
      const label = document.createElement("label"), radio = document.createElement("input"), text = document.createElement("span");
      Object.assign(radio, { type: "radio", name: "bow", value: bow, checked: bow === state.bow });
      radio.addEventListener("change", () => { state.bow = bow; });
      text.textContent = bow;
      label.append(radio, text);
      return label;
    }));
  };
  const pins = (svg, taps) => {
    svg.querySelectorAll("svg").forEach((one) => one.remove());
    for (const one of taps) {
      const pin = document.createElementNS("http://www.w3.org/2000/svg", "svg"), use = document.createElementNS("http://www.w3.org/2000/svg", "use");
      pin.setAttribute("x", field.share(one.wind));
      pin.setAttribute("y", "50%");
      pin.setAttribute("overflow", "visible");
      use.setAttribute("href", `#say-${one.said}`);
      use.setAttribute("class", `f-tap f-${one.said}`);
      pin.append(use);
      svg.append(pin);
    }
  };
  const showFlying = () => {
    const kite = field.kites.get(state.kite), range = kite && field.rangeOf(kite);
    find("flying").hidden = !state.kite;
    find("pick").hidden = Boolean(state.kite);
    find("pick").textContent = onLine().length ? `Touch the kite on your line. These suit ${field.wind} ${data.unit}; “another” has them all.` : `No kite is known to suit ${field.wind} ${data.unit}: “another” has them all.`;
    if (!state.kite) return;
    const taps = tapsOf(state.kite);
    find("kite-name").textContent = nameOf(state.kite);
    find("kite-likes").textContent = range ? `${field.liking(range)}, ${field.behind(range)}` : "no wind known yet";
    field.draw(find("big-kite"), kite, !range || range.flown);
    field.strip(find("kite-strip"), range);
    pins(find("kite-strip"), taps);
    find("kite-today").textContent = taps.length ? `today: ${said(taps, data.answers)}` : "";
    showBows(kite);
    find("ask").textContent = `${nameOf(state.kite)} in ${field.wind} ${data.unit}?`;
    const last = taps.find((one) => one.n === state.last);
    find("noted").textContent = last ? `Noted ${last.at}: ${last.name} ${data.answers[last.said]} at ${last.wind} ${data.unit}.` : "";
    find("take-back").hidden = !last;
    find("of-tap").hidden = !last;
    if (!last) return;
    const { name, value } = document.activeElement;
    if (document.activeElement !== find("word")) find("word").value = last.word || "";
    find("marks").replaceChildren(...marksFor(field, last, "now", (mark, set) => edit(last.n, (one) => { one[mark] = set; })));
    if (name?.startsWith("now-")) find("marks").querySelector(`[name="${name}"][value="${value}"]`)?.focus();
  };
  const show = () => {
    const { current } = state;
    find("session-h").textContent = longDay(current.on);
    find("who-where").textContent = [field.flyer, current.place].filter(Boolean).join(" · ");
    if (document.activeElement !== find("day")) find("day").value = current.on;
    showPicker();
    showFlying();
    traceWind(find("trace"), current, field);
    showLog(field, current, { edit, remove });
    showHome(field, state, (session) => write(session, (latest) => { latest.handed = Date.now(); }), forget);
  };
  const forget = async (ids) => {
    await keeping.forget(ids);
    state.sessions = state.sessions.filter((session) => !ids.includes(session.id));
    if (ids.includes(state.current.id)) { state.current = fresh(); state.last = null; }
    show();
  };

  document.querySelectorAll("#flying [data-say]").forEach((button) => button.addEventListener("click", () => tap(button.dataset.say)));
  find("take-back").addEventListener("click", () => remove(state.last));
  find("word").addEventListener("change", (event) => edit(state.last, (one) => { one.word = event.target.value.trim(); }));
  find("flyer-name").value = field.flyer;
  find("flyer-name").addEventListener("change", (event) => { field.flyer = event.target.value.trim(); field.show(); });
  find("place").value = state.current.place;
  find("place").addEventListener("change", async (event) => {
    const place = event.target.value.trim();
    await remember((one) => { one.place = place; });
    if (state.current.taps.length) await change(state.current, (latest) => { latest.place = place; });
    else { state.current.place = place; show(); }
  });
  find("day").addEventListener("change", async (event) => {
    const on = event.target.value;
    if (!/^\d{4}-\d\d-\d\d$/.test(on)) return;
    if (state.current.taps.length) await change(state.current, (latest) => { latest.on = on; });
    else { state.current.on = on; warn(keeping.refusal || clockSaid()); show(); }
  });
  const another = find("another");
  another.append(new Option("", ""), ...[...data.kites].sort((a, b) => a.name.localeCompare(b.name)).map((kite) => new Option(kite.name, kite.key)));
  another.addEventListener("change", () => { if (another.value) choose(another.value); another.value = ""; });

  if (settings.flyer) field.flyer = settings.flyer;
  if (settings.wind !== undefined) field.wind = settings.wind;
  state.kite = state.current.taps.at(-1)?.kite || "";
  state.last = state.current.taps.at(-1)?.n ?? null;
  field.watch(() => {
    if (field.flyer !== settings.flyer || field.wind !== settings.wind) {
      remember((one) => { one.flyer = field.flyer; one.wind = field.wind; });
      settings.flyer = field.flyer;
      settings.wind = field.wind;
    }
    find("flyer-name").value = field.flyer;
    show();
  });
  warn(keeping.refusal || clockSaid());
  find("logging").hidden = false;
  field.show();
}
