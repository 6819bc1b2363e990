// Keeps the reader's choice of light or dark paper in a cookie, so that the server paints it at once.
const root = document.documentElement;
root.classList.add("js");

function choose(theme) {
  if (theme) root.dataset.theme = theme;
  else delete root.dataset.theme;
  const age = theme ? 60 * 60 * 24 * 365 : 0;
  document.cookie = `theme=${theme}; path=/; max-age=${age}; samesite=lax`;
}

for (const place of document.querySelectorAll("[data-theme-switch]")) {
  place.hidden = false;
  place.addEventListener("click", (event) => {
    const button = event.target.closest("[data-theme-choice]");
    if (button) choose(button.dataset.themeChoice);
  });
}

// A menu closes when something else is clicked or on Escape.
document.addEventListener("click", (event) => {
  for (const menu of document.querySelectorAll(".frame-who > details[open]")) {
    if (!menu.contains(event.target)) menu.open = false;
  }
});
document.addEventListener("keydown", (event) => {
  if (event.key !== "Escape") return;
  for (const menu of document.querySelectorAll(".frame-who > details[open]")) {
    menu.open = false;
    menu.querySelector("summary").focus();
  }
});
