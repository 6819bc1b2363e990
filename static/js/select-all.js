// A box marked data-select-all="name" ticks every box of that name in its form; a shift-click ticks the stretch between.
let last = null;

function boxes(head) {
  return [...(head.form ?? document).querySelectorAll(`input[type=checkbox][name="${CSS.escape(head.dataset.selectAll)}"]`)];
}

function show(form) {
  for (const head of form.querySelectorAll("[data-select-all]")) {
    const all = boxes(head);
    const ticked = all.filter((box) => box.checked).length;
    head.checked = ticked > 0 && ticked === all.length;
    head.indeterminate = ticked > 0 && ticked < all.length;
    for (const count of form.querySelectorAll("[data-selected-count]")) count.textContent = ticked;
  }
}

document.addEventListener("change", (event) => {
  const box = event.target;
  if (!box.matches("input[type=checkbox]") || !box.form) return;
  if (box.dataset.selectAll) for (const each of boxes(box)) each.checked = box.checked;
  show(box.form);
});

document.addEventListener("click", (event) => {
  const box = event.target;
  if (!box.matches?.("input[type=checkbox]") || !box.form) return;
  if (event.shiftKey && last && last.form === box.form && last.name === box.name) {
    const all = [...box.form.querySelectorAll(`input[name="${CSS.escape(box.name)}"]`)];
    const [from, to] = [all.indexOf(last), all.indexOf(box)].sort((a, b) => a - b);
    for (const each of all.slice(from, to + 1)) each.checked = box.checked;
    show(box.form);
  }
  last = box;
});

for (const head of document.querySelectorAll("[data-select-all]")) {
  head.hidden = false;
  if (head.form) show(head.form);
}
