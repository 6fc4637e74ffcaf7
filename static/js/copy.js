// A button that copies what stands beside it; without a clipboard the text is marked, ready to be copied by hand.
const SAID_FOR_MS = 4000;

async function copy(button) {
  const source = document.getElementById(button.dataset.copy);
  const place = document.getElementById(button.dataset.said);
  let said = "Copied";
  try {
    await navigator.clipboard.writeText(source.textContent.trim());
  } catch {
    getSelection().selectAllChildren(source);
    said = "Marked: copy it with the keyboard or the menu";
  }
  place.textContent = said;
  setTimeout(() => {
    place.textContent = "";
  }, SAID_FOR_MS);
}

function offer() {
  for (const button of document.querySelectorAll("[data-copy][hidden]")) {
    button.hidden = false;
    button.addEventListener("click", () => copy(button));
  }
}

offer();
// What opens in place later has its buttons too.
document.addEventListener("htmx:after:swap", offer);
