// The page for a lost connection: what the last login on this phone reported, and what that pauses.
import { drawer } from "./kept.js";

const { who, paused } = drawer("foothill.here").read();
const reports = who ? Object.values(drawer(`foothill.reports.${who}`).read()).sort((one, other) => one.at - other.at) : [];

function clock(at) {
  return new Date(at).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
}

function line({ at, what, sentAt }) {
  const item = document.createElement("li");
  const said = document.createElement("strong");
  said.textContent = `You reported at ${clock(at)}: ${what}.`;
  item.append(said, sentAt ? ` Sent at ${clock(sentAt)}.` : " Kept on this phone, not yet sent.");
  return item;
}

if (reports.length > 0 || paused) {
  document.querySelector("[data-kept] ul").replaceChildren(...reports.map(line));
  document.querySelector("[data-paused]").textContent = paused;
  document.querySelector("[data-kept]").hidden = false;
}
