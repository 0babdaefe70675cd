// The wind of a session as it was noted, a step for every change, drawn over the hours.

const NS = "http://www.w3.org/2000/svg";
const minutes = (at) => Number(at.slice(0, 2)) * 60 + Number(at.slice(3));
const stamp = (at) => `${String(Math.floor(at / 60) % 24).padStart(2, "0")}:${String(at % 60).padStart(2, "0")}`;

function put(svg, name, attributes, text) {
  const node = document.createElementNS(NS, name);
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, value);
  if (text !== undefined) node.textContent = text;
  svg.append(node);
}

export function traceWind(svg, session, field) {
  const taps = [...session.taps].sort((a, b) => minutes(a.at) - minutes(b.at));
  svg.parentElement.hidden = taps.length < 2;
  svg.replaceChildren();
  if (taps.length < 2) return;
  const first = minutes(taps[0].at), last = Math.max(minutes(taps.at(-1).at), first + 10);
  const winds = taps.map((tap) => tap.wind);
  const low = Math.min(...winds, field.wind), high = Math.max(...winds, field.wind, low + 1);
  const x = (at) => 14 + (276 * (at - first)) / (last - first);
  const y = (wind) => 42 - (26 * (wind - low)) / (high - low);
  put(svg, "path", { class: "f-ground", d: "M0 52H358" });
  const every = [5, 10, 15, 30, 60, 120, 240].find((step) => (last - first) / step <= 5) || 480;
  for (let at = Math.ceil(first / every) * every; at <= last; at += every) {
    put(svg, "path", { class: "f-tick", d: `M${x(at).toFixed(1)} 52v4` });
    put(svg, "text", { class: "f-t", x: Math.max(x(at), 18).toFixed(1), y: 67 }, stamp(at));
  }
  let path = "", words = "", before = null, named = -99;
  for (const tap of taps) {
    const at = minutes(tap.at);
    if (tap.wind === before) continue;
    path += path ? `H${x(at).toFixed(1)}V${y(tap.wind).toFixed(1)}` : `M${x(at).toFixed(1)} ${y(tap.wind).toFixed(1)}`;
    if (x(at) - named > 22 && x(at) < 268) { // beyond stands the wind now
      put(svg, "text", { x: (x(at) + 8).toFixed(1), y: (y(tap.wind) - 5).toFixed(1) }, tap.wind);
      named = x(at);
    }
    words += `${words ? ", " : ""}${tap.wind} from ${tap.at}`;
    before = tap.wind;
  }
  path += `H290V${y(field.wind).toFixed(1)}H297`;
  put(svg, "path", { class: "f-wind", d: path });
  put(svg, "circle", { class: "f-dot", cx: 297, cy: y(field.wind).toFixed(1), r: 5 });
  put(svg, "text", { class: "f-now", x: 306, y: (y(field.wind) + 5).toFixed(1) }, `${field.wind} now`);
  svg.setAttribute("aria-label", `Wind today in ${session.unit}: ${words}, ${field.wind} now`);
}
