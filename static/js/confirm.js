// Asks once before a form marked data-confirm="words" is sent; without scripts the server asks on a page of its own.
document.addEventListener("submit", (event) => {
  const words = event.submitter?.dataset.confirm ?? event.target.dataset.confirm;
  if (words && !window.confirm(words)) event.preventDefault();
}, true);

// A form that was sent cannot be sent twice by an impatient finger.
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (event.defaultPrevented || form.method !== "post" || form.hasAttribute("hx-post")) return;
  if (form.dataset.sent) event.preventDefault();
  form.dataset.sent = "yes";
});
window.addEventListener("pageshow", () => {
  for (const form of document.querySelectorAll("form[data-sent]")) delete form.dataset.sent;
});
