// A changed word answers at once: without htmx on the form, the form sends itself.
document.addEventListener("change", (event) => {
  const form = event.target.closest("form[data-filter]");
  if (!form || form.hasAttribute("hx-get") || event.target.matches("input[type=search], input[type=text]")) return;
  form.requestSubmit();
});

// Empty words stay out of the address, so that a shared link is short.
document.addEventListener("formdata", (event) => {
  if (!event.target.matches("form[data-filter]")) return;
  for (const [name, value] of [...event.formData.entries()]) {
    if (value === "") event.formData.delete(name);
  }
});
