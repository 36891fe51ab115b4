"use strict";
/* Small helps for the teaching pages; every page works without them. */

/* The marker of a life cycle can be stopped. */
for (const button of document.querySelectorAll("[data-move]")) {
  const drawing = button.closest("figure").querySelector("svg");
  button.hidden = false;
  let moving = true;
  button.addEventListener("click", () => {
    moving = !moving;
    if (moving) drawing.unpauseAnimations(); else drawing.pauseAnimations();
    button.textContent = moving ? "Stop the marker" : "Let the marker go on";
  });
}

/* A tank to try: the number beside a slider follows it; the answer comes rough first, then fine. */
for (const form of document.querySelectorAll("form[data-try]")) {
  const place = document.getElementById("tried");
  let asked = 0;
  const ask = async (mine, fineness) => {
    const query = new URLSearchParams(new FormData(form));
    query.set("fineness", fineness);
    const answer = await fetch(`${form.dataset.try}?${query}`).catch(() => null);
    if (!answer || mine !== asked) return false;
    place.innerHTML = await answer.text();
    return answer.ok;
  };
  const show = () => {
    for (const slider of form.querySelectorAll("input[type=range]")) {
      slider.closest(".slide").querySelector("output").textContent = `${slider.value} ${slider.dataset.unit}`;
    }
  };
  form.addEventListener("input", show);
  form.addEventListener("change", async () => {
    show();
    const mine = ++asked;
    if (await ask(mine, "rough")) await ask(mine, "fine");
  });
}
