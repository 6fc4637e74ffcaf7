// A session written down without a connection is kept on this phone and sent by itself, exactly once. One that the desk
// wants looked at again is offered with what was typed.
import { fieldsOf } from "./kept.js";
import { logBox } from "./outbox.js";

const NOT_YET = "Kept on this phone, not yet sent";
const STATES = {
  sending: `${NOT_YET}. It is being sent now.`,
  waiting: `${NOT_YET}: there is no connection. It goes by itself as soon as there is one.`,
  failed: `${NOT_YET}: the desk could not take it. It is tried again by itself.`,
  old: `${NOT_YET}: this page is too old. Open it again, and it is sent.`,
  ended: "Kept on this phone, not sent: this phone is not signed in any more. Ask your coach for a new link.",
  look: "Kept on this phone, not sent: something in it needs another look.",
};
const LOOSE = " This phone cannot keep it: leave this page open until it is sent.";
const AGAIN = "#typed=";

const kept = document.getElementById("logs-kept");
const logs = logBox(kept.dataset.who, show);
const formNow = () => document.getElementById("the-log");
let isAside = false;

function line(log) {
  const item = document.createElement("li");
  const strong = document.createElement("strong");
  strong.textContent = `${log.what}.`;
  const said = log.sentAt ? "Sent." : STATES[log.why ?? "sending"] + (logs.isLoose(log.id) ? LOOSE : "");
  item.append(strong, ` ${said}`);
  const link = document.createElement("a");
  link.className = "row-link";
  link.href = log.sentAt ? log.next : `${log.page}${AGAIN}${log.id}`;
  link.textContent = log.sentAt ? "What was understood" : "Look at it and send it";
  if (log.sentAt || log.why === "look") item.append(link);
  return item;
}

function show() {
  const shown = logs.all().filter(({ sentAt }) => !sentAt || sentAt > performance.timeOrigin);
  kept.hidden = shown.length === 0;
  const lines = shown.map(line);
  const list = kept.querySelector("ul");
  if (list.textContent !== lines.map((one) => one.textContent).join("")) list.replaceChildren(...lines);
}

function whatIs(form) {
  const day = form.elements.done_on.value;
  return `${document.querySelector("h1").textContent}, ${day.split("-").reverse().join(".")}`;
}

// The form makes room: pressing its button once more would write the session down twice.
function setAside(form) {
  isAside = true;
  form.hidden = true;
  document.querySelector(".dock .main-button").hidden = true;
  document.getElementById("saving").textContent = "";
  kept.setAttribute("role", "alert");
  kept.focus();
}

function fill(form, fields) {
  for (const one of form.querySelectorAll("input[type=checkbox], input[type=radio]")) one.checked = false;
  for (const [name, value] of fields) {
    for (const one of form.elements) {
      if (one.name !== name || one.type === "hidden") continue;
      if (one.type === "radio" || one.type === "checkbox") one.checked = one.checked || one.value === value;
      else one.value = value;
    }
  }
}

function offerAgain() {
  const log = location.hash.startsWith(AGAIN) && logs.waiting().find(({ id }) => location.hash === AGAIN + id);
  const form = formNow();
  if (!log || !form) return;
  fill(form, log.fields);
  form.elements.request_id.value = log.id;
}

document.addEventListener("htmx:error", ({ detail }) => {
  const { ctx } = detail ?? {};
  const form = formNow();
  if (!form || isAside || ctx?.sourceElement !== form || ctx.response) return;
  logs.add({
    id: form.elements.request_id.value,
    address: form.getAttribute("action"),
    page: location.pathname + location.search,
    fields: fieldsOf(form),
    what: whatIs(form),
    why: "waiting",
  });
  setAside(form);
});

// Sent the usual way after all.
document.addEventListener("htmx:after:request", ({ detail }) => {
  const { ctx } = detail ?? {};
  const id = formNow()?.elements.request_id.value;
  if (ctx?.sourceElement === formNow() && ctx.response?.status < 400 && logs.waiting().some((one) => one.id === id)) {
    logs.remove(id);
  }
});

addEventListener("pageshow", show);
show();
offerAgain();
logs.attempt();
