"use strict";
/* Small helps; every page works without them. */

/* What fits is renewed at each tap of an examination. */
for (const form of document.querySelectorAll("form[data-ahead]")) {
  const place = document.getElementById("ahead");
  let asked = 0;
  form.addEventListener("change", async () => {
    const mine = ++asked;
    const body = new URLSearchParams(new FormData(form));
    const answer = await fetch(form.dataset.ahead, { method: "POST", body }).catch(() => null);
    if (answer && answer.ok && mine === asked) place.innerHTML = await answer.text();
  });
}

/* A question that hangs on another shows once that is answered so. */
for (const form of document.querySelectorAll("form[data-by-screen]")) {
  const gated = [...form.querySelectorAll("[data-gate]")];
  const open = () => {
    const said = new FormData(form);
    for (const question of gated) {
      const gate = form.querySelector(`[name="${CSS.escape(question.dataset.gate)}"]`);
      question.hidden = gate !== null && said.get(question.dataset.gate) !== question.dataset.answer;
    }
  };
  form.addEventListener("change", open);
  open();
}

/* On a phone one question a screen: back, on, and where in the row one is. */
const narrow = matchMedia("(max-width: 47.99rem)");
for (const form of document.querySelectorAll("form[data-by-screen]")) {
  const bar = document.createElement("p");
  bar.className = "screens";
  const button = (words, step) => {
    const made = document.createElement("button");
    made.type = "button";
    made.className = "more";
    made.textContent = words;
    made.addEventListener("click", () => go(step));
    return made;
  };
  const where = document.createElement("span");
  where.setAttribute("role", "status");
  bar.append(button("Back", -1), where, button("On", 1));
  form.append(bar);
  let here = 0;
  const screens = () => [...form.querySelectorAll(".sign")].filter(
    (sign) => !sign.hidden && (sign.closest("details") === null || sign.closest("details").open),
  );
  const show = () => {
    const all = screens();
    here = Math.min(Math.max(here, 0), all.length - 1);
    form.classList.toggle("by-screen", narrow.matches);
    all.forEach((sign, place) => sign.classList.toggle("here", place === here));
    where.textContent = `${here + 1} of ${all.length}`;
    bar.firstChild.disabled = here === 0;
    bar.lastChild.disabled = here === all.length - 1;
  };
  const go = (step) => { here += step; show(); form.scrollIntoView({ block: "start" }); };
  form.addEventListener("change", (event) => {
    const answered = event.target.name.startsWith("f.") && event.target.value !== "";
    if (narrow.matches && answered) setTimeout(() => go(1), 250);
    else show();
  });
  for (const fold of form.querySelectorAll("details")) fold.addEventListener("toggle", show);
  narrow.addEventListener("change", show);
  show();
}

/* A count is tapped with a wet finger: one more, or the last one back. */
for (const rows of document.querySelectorAll("[data-counter]")) {
  const [name, number] = rows.querySelectorAll(".pair input");
  const bar = document.createElement("div");
  bar.className = "counter";
  const status = document.createElement("p");
  status.setAttribute("role", "status");
  const button = (words, look, step) => {
    const made = document.createElement("button");
    made.type = "button";
    made.className = look;
    made.textContent = words;
    made.addEventListener("click", () => {
      const before = /^[0-9]+$/.test(number.value) ? Number(number.value) : 0;
      number.value = Math.max(0, before + step);
      if (!name.value) name.value = "spots";
      status.textContent = `${number.value} counted`;
      number.dispatchEvent(new Event("input", { bubbles: true }));
    });
    return made;
  };
  bar.append(button("Tap here: one more", "tap", 1), status, button("Take the last one back", "more", -1));
  rows.querySelector(".pair").after(bar);
}

/* Long work tells how far it has come; the page is loaded anew when there is more to show. */
for (const section of document.querySelectorAll("[data-work]")) {
  const events = new EventSource(section.dataset.work);
  let early = null;
  events.onmessage = (event) => {
    const told = JSON.parse(event.data);
    early = early ?? told.early;
    if (told.state !== "waiting" || told.early !== early) {
      events.close();
      location.reload();
      return;
    }
    section.querySelector("[data-what]").textContent = told.what;
    section.querySelector("[data-count]").textContent = told.total ? `${told.done} of ${told.total}` : "";
    const bar = section.querySelector("progress");
    bar.max = told.total || 1;
    bar.value = told.done;
  };
}

/* What is typed is kept while it is typed; the time shows once it is kept. */
for (const form of document.querySelectorAll("form[data-kept]")) {
  const status = form.querySelector("[data-kept-at]");
  let waits = 0;
  const keep = async () => {
    waits = 0;
    const body = new URLSearchParams(new FormData(form));
    body.set("draft-of", new URL(form.action).pathname);
    const answer = await fetch("/draft", { method: "POST", body, keepalive: true }).catch(() => null);
    const told = answer && answer.ok ? await answer.json() : null;
    if (status && told && told.kept) status.textContent = `Kept at ${new Date(told.kept).toTimeString().slice(0, 5)}, not saved yet`;
  };
  const soon = () => { if (!waits) waits = setTimeout(keep, 900); };
  form.addEventListener("input", soon);
  form.addEventListener("change", soon);
  form.addEventListener("submit", () => { clearTimeout(waits); waits = 1; });
  addEventListener("pagehide", () => { if (waits > 1) { clearTimeout(waits); keep(); } });
}
