// Keys of the desk: ? lists them, arrows walk the lines of a list or the days of a plan, letters act on where one stands.
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

// In a calendar left and right go by days, up and down by weeks.
const STEPS = { ArrowDown: 1, ArrowUp: -1 };
const DAY_STEPS = { ArrowRight: 1, ArrowLeft: -1, ArrowDown: 7, ArrowUp: -7 };

function isOfDays(line) {
  return line?.closest("[data-walk]")?.dataset.walk === "days";
}

function stepOf(event, current) {
  return (isOfDays(current ?? lines()[0]) ? DAY_STEPS : STEPS)[event.key];
}

function walk(event, current) {
  const all = lines();
  const today = all.findIndex((one) => one.matches(".today"));
  const place = current === null && isOfDays(all[0]) ? Math.max(0, today) : all.indexOf(current) + stepOf(event, current);
  const next = place < 0 && isOfDays(current) ? current : all[Math.max(0, place)];
  if (!next) return;
  event.preventDefault();
  next.focus();
  next.scrollIntoView({ block: "nearest" });
}

function act(event, current) {
  const key = event.key.toLowerCase();
  const own = [...current.querySelectorAll("[data-key]")].filter((one) => one.closest("[data-walk-line]") === current);
  const action = own.find((one) => one.dataset.key.toLowerCase() === key);
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
  if (isFree && stepOf(event, current)) walk(event, current);
  else if (current) onLine(event, current);
});
