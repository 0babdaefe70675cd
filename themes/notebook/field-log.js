// The running list of a session, newest first; each tap opens in place to be corrected or deleted.

// Five marks from 1 to 5; touching the mark that is set takes it away again.
export function marksFor(field, tap, prefix, save) {
  return Object.entries(field.data.marks).map(([mark, means]) => {
    const row = field.row("row-mark");
    const [name, ends] = row.querySelectorAll("legend > *");
    name.textContent = mark;
    ends.textContent = means;
    row.querySelectorAll("input").forEach((radio) => {
      radio.name = `${prefix}-${mark}`;
      radio.checked = tap[mark] === Number(radio.value);
      radio.addEventListener("click", () => {
        const set = tap[mark] === Number(radio.value) ? undefined : Number(radio.value);
        if (set === undefined) radio.checked = false;
        tap[mark] = set;
        save(mark, set);
      });
    });
    return row;
  });
}

function mend(field, tap, { edit, remove }, fold) {
  const { data } = field;
  const body = document.createElement("div");
  body.append(field.find("row-mend").content.cloneNode(true));
  const set = (work) => edit(tap.n, work);
  body.querySelectorAll("[data-say]").forEach((button) => {
    button.setAttribute("aria-pressed", String(button.dataset.say === tap.said));
    button.addEventListener("click", () => set((one) => { one.said = button.dataset.say; }));
  });
  body.querySelector(".f-big").textContent = `${tap.wind} ${data.unit}`;
  body.querySelector("small").textContent = `at ${tap.at}`;
  const stepped = (way) => Math.round(Math.max(Math.round(tap.wind / data.step + way), 0) * data.step * 10) / 10;
  body.querySelector(".f-less").addEventListener("click", () => set((one) => { one.wind = stepped(-1); }));
  body.querySelector(".f-plus").addEventListener("click", () => set((one) => { one.wind = stepped(1); }));
  body.querySelector(".f-marks").append(...marksFor(field, { ...tap }, `t${tap.n}`, (mark, value) => set((one) => { one[mark] = value; })));
  const word = body.querySelector("input[type=text]");
  word.value = tap.word || "";
  word.addEventListener("change", () => set((one) => { one.word = word.value.trim(); }));
  body.querySelector(".f-del").addEventListener("click", () => remove(tap.n));
  body.querySelector(".f-done").addEventListener("click", () => { fold.open = false; fold.querySelector("summary").focus(); });
  return body;
}

export function showLog(field, session, work) {
  const { data, find } = field;
  const open = new Set([...find("log").querySelectorAll("details[open]")].map((fold) => fold.dataset.n));
  const held = document.activeElement?.closest?.("#log li")?.dataset.n;
  const place = held && [...find("log").querySelectorAll("button, input, summary")].filter((one) => one.closest("li").dataset.n === held).indexOf(document.activeElement);
  find("tally").hidden = !session.taps.length;
  find("tally").lastElementChild.textContent = session.taps.length;
  find("log").replaceChildren(...[...session.taps].reverse().map((tap) => {
    const row = field.row("row-tap"), fold = row.firstElementChild;
    row.dataset.n = fold.dataset.n = tap.n;
    row.querySelector(".f-at").textContent = tap.at;
    row.querySelector(".f-mark").classList.add(`f-${tap.said}`);
    row.querySelector("use").setAttribute("href", `#say-${tap.said}`);
    const [name, words] = row.querySelectorAll(".f-what > *");
    name.textContent = tap.name;
    words.textContent = data.answers[tap.said];
    row.querySelector(".f-w").textContent = `${tap.wind} ${session.unit}`;
    const fill = () => {
      row.querySelector(".f-more").textContent = fold.open ? "close" : "correct";
      row.querySelector(".f-mend").replaceChildren(...(fold.open ? [mend(field, tap, work, fold)] : []));
    };
    fold.open = open.has(String(tap.n));
    fill();
    fold.addEventListener("toggle", () => { if (Boolean(row.querySelector(".f-mend").firstChild) !== fold.open) fill(); });
    return row;
  }));
  // The list is made anew at every change: whoever was correcting stays on the same control.
  if (held && place >= 0) {
    [...find("log").querySelectorAll("button, input, summary")].filter((one) => one.closest("li").dataset.n === held)[place]?.focus();
  }
}
