// Taking a session home: share it, save it as a file or copy it as text; earlier sessions; clearing the phone.
import { asJson, asText, counted, countsOf, fileName, longDay, said } from "./field-words.js";

let chosen = null; // the id of an earlier session that is looked at in place of today's

const winds = (session) => {
  const all = session.taps.map((tap) => tap.wind);
  const low = Math.min(...all), high = Math.max(...all);
  return `${low === high ? low : `${low} to ${high}`} ${session.unit}`;
};

function summary(session) {
  const times = session.taps.map((tap) => tap.at).sort();
  const flyers = [...new Set(session.taps.map((tap) => tap.flyer).filter(Boolean))];
  const who = flyers.length ? `${flyers.join(", ")}, ` : "";
  const handed = session.handed ? "Handed over." : "Not handed over yet.";
  return `${longDay(session.on)}, ${times[0]} to ${times.at(-1)}. ${who}${winds(session)}. ${session.unkept ? "On this page only." : "Kept on this phone."} ${handed}`;
}

function countIn(part, session) {
  part.replaceChildren();
  countsOf(session).split(", ").forEach((words, n) => {
    const [number, what] = words.split(" ");
    const b = document.createElement("b");
    b.textContent = number;
    part.append(n ? " on " : "", b, ` ${what}`);
  });
}

function learnt(session, data) {
  const keys = [...new Set(session.taps.map((tap) => tap.kite))];
  return keys.map((key) => {
    const taps = session.taps.filter((tap) => tap.kite === key);
    const row = document.createElement("li"), name = document.createElement("i");
    name.dir = "auto";
    name.textContent = taps[0].name;
    row.append(name, ` ${said(taps, data.answers)}.`);
    return row;
  });
}

export function showHome(field, state, note, forget) {
  const { data, find } = field;
  const kept = state.sessions.filter((session) => session.taps.length);
  const session = kept.find((one) => one.id === chosen) || (state.current.taps.length ? state.current : kept.at(-1));
  const waiting = kept.filter((one) => !one.handed);
  const total = waiting.reduce((sum, one) => sum + one.taps.length, 0);
  find("badge").hidden = !total;
  find("badge").textContent = total;
  find("hand").hidden = !session;
  find("before-part").hidden = !kept.length;
  if (!session) {
    find("count").textContent = "Nothing is tapped yet.";
    find("sum").textContent = "";
    return;
  }
  const json = asJson(session), text = asText(session, data.answers), name = fileName(session);
  const file = () => new File([json], name, { type: "application/json" });
  // Some phones share only files of kinds they know; the same session as text goes everywhere.
  const parcel = () => {
    const files = { files: [file()], title: name };
    return navigator.canShare && navigator.canShare(files) ? files : { text, title: name };
  };
  countIn(find("count"), session);
  find("sum").textContent = summary(session);
  find("file-name").textContent = name;
  find("should-read").textContent = countsOf(session);
  find("text").value = text;
  find("save").lastElementChild.textContent = `${name}, ${Math.max(1, Math.round(json.length / 1000))} kB`;
  find("share").hidden = !navigator.share;
  find("learn").replaceChildren(...learnt(session, data));
  const handed = (words) => {
    find("handed").textContent = words;
    if (!session.handed) note(session);
  };
  find("share").onclick = () => navigator.share(parcel()).then(() => handed("Shared."), () => { find("handed").textContent = "Not shared. It is still kept here."; });
  find("save").onclick = () => {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(file());
    link.download = name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
    handed(`Saved as ${name}.`);
  };
  find("copy").onclick = async () => {
    try {
      await navigator.clipboard.writeText(text);
      handed("Copied. Paste it into a message.");
    } catch {
      find("text").closest("details").open = true;
      find("text").focus();
      find("text").select();
      find("handed").textContent = "This browser does not let the page copy: the text stands below, copy it by hand.";
    }
  };
  find("before").replaceChildren(...[...kept].reverse().map((one) => {
    const row = field.row("row-past"), button = row.firstElementChild;
    button.setAttribute("aria-pressed", String(one.id === session.id));
    button.firstElementChild.textContent = `${longDay(one.on)} ${one.on.slice(0, 4)}`;
    button.lastElementChild.textContent = `${counted(one.taps.length, "tap")}, ${one.handed ? "handed over" : "not handed over"}`;
    button.addEventListener("click", () => { chosen = one.id; find("handed").textContent = ""; showHome(field, state, note, forget); find("home-h").scrollIntoView(); });
    return row;
  }));
  find("clear").disabled = waiting.length > 0;
  find("clear").lastElementChild.textContent = waiting.length ? "only after all is handed over" : "takes every session off this phone";
  find("clear").onclick = () => { chosen = null; forget(kept.map((one) => one.id)); find("handed").textContent = ""; };
}
