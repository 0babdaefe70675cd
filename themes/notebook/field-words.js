// A session in words and as a file: what was said of each kite, the JSON file, and the same as text for a message.

export const clock = (date) => `${String(date.getHours()).padStart(2, "0")}:${String(date.getMinutes()).padStart(2, "0")}`;
export const dayOf = (date) => `${date.getFullYear()}-${String(date.getMonth() + 1).padStart(2, "0")}-${String(date.getDate()).padStart(2, "0")}`;
export const longDay = (day) => {
  const date = new Date(`${day}T12:00`);
  return Number.isNaN(+date) ? day : date.toLocaleDateString("en-GB", { weekday: "long", day: "numeric", month: "long" });
};
export const counted = (count, one) => `${count} ${one}${count === 1 ? "" : "s"}`;
export const listed = (parts) => (parts.length < 2 ? parts.join("") : `${parts.slice(0, -1).join(", ")} and ${parts.at(-1)}`);

const kitesIn = (session) => new Set(session.taps.map((tap) => tap.kite)).size;
export const countsOf = (session) => `${counted(session.taps.length, "tap")}, ${counted(kitesIn(session), "kite")}`;

// "liked at 6 and 7, too much at 9": only what was tapped, weakest wind first; what it teaches is worked out at home.
export function said(taps, answers) {
  const parts = [];
  for (const say of ["liked", "little", "much"]) {
    const winds = [...new Set(taps.filter((tap) => tap.said === say).map((tap) => tap.wind))].sort((a, b) => a - b);
    if (winds.length) parts.push(`${answers[say]} at ${listed(winds.map(String))}`);
  }
  return parts.join(", ");
}

const MARKS = ["pull", "turn", "track", "control", "speed"];
const handedOver = (tap) => Object.fromEntries(
  ["at", "kite", "name", "bow", "flyer", "wind", "said", ...MARKS, "word"].filter((key) => tap[key] !== undefined && tap[key] !== "")
    .map((key) => [key, tap[key]]));

export const fileName = (session) => `session-${session.on}-${session.id.slice(0, 4)}.json`;
export const asJson = (session) => `${JSON.stringify({
  kind: "bowbook session", format: 1, id: session.id, book: session.book, on: session.on, place: session.place || undefined,
  unit: session.unit, height_m: session.height_m, edits: session.edits || undefined, taps: session.taps.map(handedOver),
}, null, 1)}\n`;

// One line a tap, its parts between strokes; the last line counts, so that a message cut short is noticed.
const cell = (text) => String(text).replace(/\s+/g, " ").replaceAll("|", "¦").trim();
export function asText(session, answers) {
  const head = ["bowbook session 1", session.id, session.on, session.unit, `${session.height_m} m`, session.place || "-",
    ...(session.edits ? [`edit ${session.edits}`] : [])];
  const lines = session.taps.map((tap) => [
    tap.at, tap.kite, tap.flyer || "-", tap.wind, answers[tap.said], ...(tap.bow ? [`bow ${tap.bow}`] : []),
    ...MARKS.filter((mark) => tap[mark]).map((mark) => `${mark} ${tap[mark]}`), ...(tap.word ? [`word ${tap.word}`] : []),
  ]);
  const foot = [counted(session.taps.length, "tap"), counted(kitesIn(session), "kite")];
  return [head, ...lines, foot].map((parts) => parts.map(cell).join(" | ")).join("\n") + "\n";
}
