// Lets files be dropped on a .dropzone; they land in its file input, which works alone without scripts.
function name(zone, input) {
  const list = zone.querySelector(".dropzone-files");
  if (!list) return;
  list.replaceChildren(...[...input.files].map((file) => {
    const item = document.createElement("li");
    item.textContent = `${file.name} · ${Math.max(1, Math.round(file.size / 1024))} kB`;
    return item;
  }));
}

for (const zone of document.querySelectorAll(".dropzone")) {
  const input = zone.querySelector("input[type=file]");
  if (!input) continue;
  const over = (event) => {
    event.preventDefault();
    zone.classList.add("is-over");
  };
  const away = () => zone.classList.remove("is-over");
  zone.addEventListener("dragover", over);
  zone.addEventListener("dragenter", over);
  zone.addEventListener("dragleave", (event) => {
    if (!zone.contains(event.relatedTarget)) away();
  });
  zone.addEventListener("drop", (event) => {
    event.preventDefault();
    away();
    const taken = new DataTransfer();
    const files = [...event.dataTransfer.files];
    for (const file of input.multiple ? files : files.slice(0, 1)) taken.items.add(file);
    input.files = taken.files;
    input.dispatchEvent(new Event("change", { bubbles: true }));
  });
  input.addEventListener("change", () => name(zone, input));
}
