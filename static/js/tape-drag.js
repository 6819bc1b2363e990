// A promised date as tape on a row of Sundays: dragging it picks the radio button underneath.
// The radio buttons alone do the work; arrow keys move along them without this file.
function nearest(choices, x) {
  let best = null;
  let least = Infinity;
  for (const choice of choices) {
    const box = choice.closest("label, li, .delay-day")?.getBoundingClientRect() ?? choice.getBoundingClientRect();
    const away = Math.abs(box.left + box.width / 2 - x);
    if (away < least) [least, best] = [away, choice];
  }
  return best;
}

for (const row of document.querySelectorAll("[data-tape-row]")) {
  const tape = row.querySelector("[data-tape]");
  const choices = [...row.querySelectorAll("input[type=radio]")];
  if (!tape || !choices.length) continue;
  tape.classList.add("is-loose");
  tape.addEventListener("pointerdown", (event) => {
    event.preventDefault();
    tape.setPointerCapture(event.pointerId);
    tape.classList.add("is-held");
  });
  tape.addEventListener("pointermove", (event) => {
    if (!tape.hasPointerCapture(event.pointerId)) return;
    const under = nearest(choices, event.clientX);
    for (const choice of choices) choice.closest("label")?.classList.toggle("is-under", choice === under);
  });
  tape.addEventListener("pointerup", (event) => {
    tape.classList.remove("is-held");
    const under = nearest(choices, event.clientX);
    for (const choice of choices) choice.closest("label")?.classList.remove("is-under");
    if (!under || under.checked) return;
    under.checked = true;
    under.dispatchEvent(new Event("change", { bubbles: true }));
  });
  row.addEventListener("change", () => {
    const form = row.closest("form");
    if (form && !form.hasAttribute("hx-get") && !form.hasAttribute("hx-post")) form.requestSubmit();
  });
}
