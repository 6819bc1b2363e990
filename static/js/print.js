// Buttons marked data-print open the print dialog; folded figures are unfolded on paper.
for (const button of document.querySelectorAll("[data-print]")) button.hidden = false;
document.addEventListener("click", (event) => {
  if (event.target.closest("[data-print]")) window.print();
});

let folded = [];
window.addEventListener("beforeprint", () => {
  folded = [...document.querySelectorAll("main details.print-open:not([open])")];
  for (const part of folded) part.open = true;
});
window.addEventListener("afterprint", () => {
  for (const part of folded) part.open = false;
});
