// Sends the page's token with every request htmx makes.
const token = document.querySelector('meta[name="csrf-token"]')?.content;

document.addEventListener("htmx:configRequest", (event) => {
  if (token && event.detail.verb !== "get") event.detail.headers["X-CSRFToken"] = token;
});
