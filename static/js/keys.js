// Keys of the desk: ? lists them, arrows walk the lines of a list, letters act on the line one stands on.
const help = document.getElementById("keys-help");
const keySwitch = help?.querySelector("[data-keys-switch]");
const KEPT_AS = "foothill-keys";

function areOn() {
  return localStorage.getItem(KEPT_AS) !== "off";
}

if (keySwitch) {
  keySwitch.checked = areOn();
  keySwitch.addEventListener("change", () => localStorage.setItem(KEPT_AS, keySwitch.checked ? "on" : "off"));
}

const opener = document.querySelector("[data-keys-open]");
if (opener && help) {
  opener.hidden = false;
  opener.addEventListener("click", () => help.showModal());
}

function isTyping(element) {
  return Boolean(element?.closest?.("input, textarea, select, [contenteditable]"));
}

function lines() {
  const all = [...document.querySelectorAll("[data-walk] [data-walk-line]")];
  return all.filter((one) => !one.closest("details:not([open])"));
}

function walk(event, current) {
  const all = lines();
  const place = all.indexOf(current) + (event.key === "ArrowDown" ? 1 : -1);
  const next = all[Math.max(0, place)];
  if (!next) return;
  event.preventDefault();
  next.focus();
  next.scrollIntoView({ block: "nearest" });
}

function act(event, current) {
  const key = event.key.toLowerCase();
  const action = [...current.querySelectorAll("[data-key]")].find((one) => one.dataset.key.toLowerCase() === key);
  if (!action) return;
  event.preventDefault();
  action.click();
}

function onLine(event, current) {
  if (event.key === "Enter" && document.activeElement === current) {
    current.querySelector("[data-walk-open]")?.click();
  } else if (event.key.length === 1) {
    act(event, current);
  }
}

document.addEventListener("keydown", (event) => {
  const modified = event.ctrlKey || event.altKey || event.metaKey;
  if (modified || isTyping(event.target) || help?.open) return;
  if (!areOn()) return;
  if (event.key === "?" && help) {
    event.preventDefault();
    help.showModal();
    return;
  }
  const current = document.activeElement?.closest("[data-walk-line]") ?? null;
  const isFree = current !== null || document.activeElement === document.body || document.activeElement?.id === "main";
  if (isFree && (event.key === "ArrowDown" || event.key === "ArrowUp")) walk(event, current);
  else if (current) onLine(event, current);
});
