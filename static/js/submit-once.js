// A form without in-place saving is sent once: a second press waits for the first answer.
const SLOW_MS = 1000;
const sent = new Set();

function stateOf(form) {
  return form.querySelector("[data-saving]") ?? document.getElementById("saving");
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (event.defaultPrevented || form.method !== "post") return;
  if (sent.has(form)) {
    event.preventDefault();
    return;
  }
  sent.add(form);
  form.setAttribute("aria-busy", "true");
  const words = event.submitter?.dataset.busy ?? "Working…";
  setTimeout(() => {
    const place = stateOf(form);
    if (place && sent.has(form)) place.textContent = words;
  }, SLOW_MS);
});

// Coming back with the browser's own button shows the page as it was left; it must be usable again.
window.addEventListener("pageshow", () => {
  for (const form of sent) {
    form.removeAttribute("aria-busy");
    const place = stateOf(form);
    if (place) place.textContent = "";
  }
  sent.clear();
});
