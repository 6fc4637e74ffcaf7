// When an answer brings a summary of errors, the reader is taken to it.
function goToSummary() {
  document.querySelector("[data-error-summary]")?.focus();
}

goToSummary();
document.addEventListener("htmx:after:swap", goToSummary);
