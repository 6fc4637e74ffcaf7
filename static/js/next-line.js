// After an act on a line the page loads again: the focus goes on to the line that stood after it, not to the top.
const KEPT_AS = "foothill-next-line";

function lines() {
  const all = [...document.querySelectorAll("[data-walk] [data-walk-line][id]")];
  return all.filter((one) => !one.closest("details:not([open])"));
}

// The lines after the one acted on, then those before it from near to far, then itself.
function inTurn(current) {
  const ids = lines().map((one) => one.id);
  const at = ids.indexOf(current.id);
  return [...ids.slice(at + 1), ...ids.slice(0, Math.max(at, 0)).reverse(), current.id];
}

document.addEventListener("submit", (event) => {
  const current = event.target.closest("[data-walk-line][id]");
  if (current) sessionStorage.setItem(KEPT_AS, JSON.stringify(inTurn(current)));
});

const kept = JSON.parse(sessionStorage.getItem(KEPT_AS) ?? "[]");
sessionStorage.removeItem(KEPT_AS);
const standing = lines().map((one) => one.id);
const next = document.getElementById(kept.find((id) => standing.includes(id)) ?? "");
next?.focus();
