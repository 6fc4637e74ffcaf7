// A small form that opens inside a line gets the writing mark, so that a letter and typing are enough.
document.addEventListener("htmx:after:swap", () => {
  const opened = [...document.querySelectorAll(".opened:not([data-was-opened])")];
  for (const one of opened) {
    one.dataset.wasOpened = "yes";
    if (one.querySelector("[data-error-summary]")) continue;
    const choice = one.querySelector("input[type=radio]:checked") ? null : one.querySelector("input[type=radio]");
    (one.querySelector("[data-first]") ?? choice ?? one.querySelector("textarea") ?? one.querySelector("input[type=date]"))?.focus();
  }
});
