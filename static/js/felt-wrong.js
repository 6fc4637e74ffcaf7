// "Something felt wrong" on the phone: the sheet answers without a connection, the report is kept until the desk has
// it, and what it stops shows as paused on this phone at once.
import { drawer, fieldsOf, newId, post } from "./kept.js";
import { forgetLogs, logsWait, othersWait, outbox } from "./outbox.js";

const NOT_YET = "Kept on this phone, not yet sent";
const STATES = {
  sending: `${NOT_YET}. It is being sent now.`,
  waiting: `${NOT_YET}: there is no connection. It goes by itself as soon as there is one. Tell your coach by phone.`,
  failed: `${NOT_YET}: the desk could not take it. It is tried again by itself. Tell your coach by phone.`,
  old: `${NOT_YET}: this page is too old. Open it again, and it is sent. Tell your coach by phone.`,
  ended:
    "Kept on this phone, not sent: this phone is not signed in any more. Sign in again with a new link from your " +
    "coach; then it is sent. Tell your coach by phone.",
};
STATES.look = STATES.failed;
const LOOSE = " This phone cannot keep it: leave this page open until it is sent.";
const LEAVING = {
  own: "What you entered is kept on this phone and not sent yet. Signing out throws it away. Tell your coach by phone first.",
  others: "Something another person entered on this phone is not sent yet. Signing out throws it away.",
  failed: "Not signed out: there is no connection. What was entered stays on this phone.",
};
const CHOOSE = "Choose what it was.";
const DAYS_BACK = 30;

const sheet = document.getElementById("felt-wrong");
const MODE_NAMES = JSON.parse(sheet.dataset.modeNames);
const kept = document.getElementById("felt-wrong-kept");
const leaving = document.getElementById("felt-wrong-leaving");
const reports = outbox(sheet.dataset.who, show);
const here = drawer("foothill.here");
let isLeaving = false;
let shownId = null;
// What a page made later than this one knows to be paused.
let heard = { stops: "", modes: [] };

function clock(at) {
  return new Date(at).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
}

function localDay(daysBack) {
  const day = new Date();
  day.setDate(day.getDate() - daysBack);
  return [day.getFullYear(), day.getMonth() + 1, day.getDate()].map((one) => String(one).padStart(2, "0")).join("-");
}

function stateOf(report) {
  if (report.sentAt) return `Sent at ${clock(report.sentAt)}. Your coach may not see it before their next morning.`;
  return STATES[report.why ?? "sending"] + (reports.isLoose(report.id) ? LOOSE : "");
}

// A status is read aloud when it changes, so it is only written then.
function say(place, words) {
  if (place.textContent !== words) place.textContent = words;
}

// From the moment it is confirmed until a page comes that the desk made knowing it.
const stood = new Set();

function inForce() {
  const standing = reports.all().filter(
    ({ id, sentAt }) => !sentAt || sentAt > performance.timeOrigin || stood.has(id),
  );
  for (const { id } of standing) stood.add(id);
  return standing;
}

// Pausing

// Everything in force taken as one: what the desk knew when it made this page, what was reported here since, and what
// a page made later has noted.
function together() {
  const { stands, standsIn } = sheet.dataset;
  const reported = inForce();
  const inModes = reported.filter(({ stops }) => stops === "mode_and_hard").map(({ mode }) => mode);
  const every = [stands, heard.stops, ...reported.map((one) => one.stops)];
  return {
    stops: ["all", "mode_and_hard", "hard"].find((one) => every.includes(one)),
    modes: [...new Set([...standsIn.split(" ").filter(Boolean), ...heard.modes, ...inModes])],
  };
}

function isStopped(work, { stops, modes }) {
  return stops === "all" || work.dataset.work === "hard" || modes.includes(work.dataset.mode);
}

// Fills in which ways of moving are paused, and offers no walk where walking is one of them.
function named(part, { modes }) {
  const names = modes.map((mode, place) => (place ? MODE_NAMES[mode].toLowerCase() : MODE_NAMES[mode]));
  for (const one of part.querySelectorAll("[data-modes]")) if (names.length > 0) one.textContent = names.join(", ");
  for (const one of part.querySelectorAll("[data-walking]")) {
    one.hidden = (one.dataset.walking === "paused") !== modes.includes("walk");
  }
  return part;
}

function pausedWords(all) {
  return named(sheet, all).querySelector(`[data-paused="${all.stops}"]`).textContent;
}

function pause(work, all) {
  const { stops } = all;
  if (work.dataset.pausedBy === stops) return;
  const isLine = work.matches("li");
  work.querySelector(":scope > [data-paused-here]")?.remove();
  if (!isLine) for (const part of work.children) part.hidden = !part.matches("h2");
  work.dataset.pausedBy = stops;
  if (isLine) {
    const tag = document.createElement("span");
    tag.className = "tag";
    tag.dataset.pausedHere = "";
    tag.textContent = "paused";
    work.append(" ", tag);
  } else {
    const said = named(document.querySelector(`template[data-pause="${stops}"]`).content.cloneNode(true), all);
    for (const one of said.querySelectorAll("[data-because]")) {
      one.hidden = (one.dataset.because === "reported") !== inForce().length > 0;
    }
    work.append(said);
  }
}

function pauseWork() {
  if (inForce().length === 0 && !heard.stops) return;
  const all = together();
  for (const work of document.querySelectorAll("[data-work]")) if (isStopped(work, all)) pause(work, all);
}

// What is said about it

function line(report) {
  const item = document.createElement("li");
  const strong = document.createElement("strong");
  strong.textContent = `You reported at ${clock(report.at)}: ${report.what}.`;
  item.append(strong, ` ${pausedWords(together())} ${stateOf(report)}`);
  if (report.next) {
    const link = document.createElement("a");
    link.className = "row-link";
    link.href = report.next;
    link.textContent = "What to do";
    item.append(link);
  }
  return item;
}

// Any answer may raise a pause, on any page: the next page made for the same person notes it, and this one hears.
function hear() {
  const { who, madeAt, stops, modes } = here.read();
  if (who === sheet.dataset.who && madeAt > performance.timeOrigin) heard = { stops: stops ?? "", modes: modes ?? [] };
}

// For pages made earlier, and for the page of a lost connection: whose reports it shows, and what is paused altogether.
function remember() {
  // The desk clears this phone's storage, and pages hear of it.
  if (isLeaving) return;
  const all = together();
  const { who } = sheet.dataset;
  const paused = all.stops ? pausedWords(all) : "";
  const known = here.read();
  // A page made later knows better than one that pauses nothing.
  if (!paused && known.who === who && known.madeAt >= performance.timeOrigin) return;
  here.write({ who, paused, madeAt: performance.timeOrigin, stops: all.stops ?? "", modes: all.modes });
}

function show() {
  pauseWork();
  const standing = inForce();
  kept.hidden = standing.length === 0;
  const list = kept.querySelector("ul");
  const lines = standing.map(line);
  const words = lines.map((one) => one.textContent).join();
  if (list.textContent !== words) list.replaceChildren(...lines);
  remember();
  const shown = standing.find((one) => one.id === shownId);
  if (shown) say(sheet.querySelector("[data-report-state]"), stateOf(shown));
}

// The sheet

function turnTo(step) {
  for (const one of sheet.querySelectorAll("[data-step]")) one.hidden = one.dataset.step !== step;
  sheet.setAttribute("aria-labelledby", `felt-wrong-${step}`);
  if (!sheet.open) sheet.showModal();
  sheet.scrollTop = 0;
  document.getElementById(`felt-wrong-${step}`).focus();
}

function ask() {
  const day = sheet.querySelector("[name=felt_on]");
  // The page may have lain open since yesterday.
  if (day.value === day.defaultValue) day.value = localDay(0);
  day.max = localDay(0);
  day.min = localDay(DAYS_BACK);
  turnTo("ask");
}

function tell(group, mode) {
  const all = together();
  [...sheet.querySelectorAll("[data-advice]")].forEach((one, index) => {
    one.hidden = index !== group;
  });
  for (const one of sheet.querySelectorAll("[data-way-open]")) one.hidden = mode !== "";
  for (const one of sheet.querySelectorAll("[data-paused]")) one.hidden = one.dataset.paused !== all.stops;
  named(sheet, all);
  turnTo("told");
}

function confirm(form, sign) {
  const group = [...form.querySelectorAll(".sign-group")].indexOf(sign.closest(".sign-group"));
  const { stops, stopsInAMode } = sheet.querySelectorAll("[data-advice]")[group].dataset;
  const mode = form.elements.mode.value;
  const report = {
    address: sheet.dataset.address,
    fields: [...fieldsOf(form), ["entered_at", new Date().toISOString()]],
    what: sign.closest("label").innerText.trim(),
    stops: mode ? stopsInAMode : stops,
    mode,
  };
  shownId = reports.add(report);
  tell(group, mode);
  show();
  form.reset();
  askAgain(false);
}

// On the page of the same name the list closes once it is answered, and opens afresh for something more.
function askAgain(isAsked) {
  const list = document.getElementById("wrong-form");
  const more = document.querySelector("[data-more]");
  if (!list || !more) return;
  for (const one of [list, document.querySelector(".dock [form=the-report]")]) one.hidden = !isAsked;
  more.hidden = isAsked;
  if (isAsked) list.querySelector("[name=sign]").focus();
}

// What was reported stands in its box on the page; whoever closes the sheet finds it there.
function closed() {
  if (!shownId || sheet.querySelector("[data-step=told]").hidden) return;
  kept.scrollIntoView({ block: "start" });
  kept.focus();
}

function submitted(event) {
  const form = event.target;
  if (form.getAttribute("action") !== sheet.dataset.address) return;
  const sign = form.querySelector("[name=sign]:checked");
  const complaint = form.querySelector("[data-choose-first]");
  // On the page of the same name the desk itself says what is missing.
  if (!sign && !complaint) return;
  take(event);
  if (complaint) say(complaint, sign ? "" : CHOOSE);
  if (sign) confirm(form, sign);
  else form.querySelector("[name=sign]").focus();
}

// From here on the form is this page's own business.
function take(event) {
  event.preventDefault();
  event.stopPropagation();
}

// Signing out

function forgetHere() {
  isLeaving = true;
  here.write({});
}

function startLeaving(event) {
  if (event.target.getAttribute("action") !== "/sign-out") return;
  const ownWait = reports.waiting().length > 0 || logsWait(sheet.dataset.who);
  const words = ownWait ? LEAVING.own : othersWait(sheet.dataset.who) && LEAVING.others;
  if (!words) {
    forgetHere();
    return;
  }
  take(event);
  leaving.hidden = false;
  leaving.querySelector("[data-words]").textContent = words;
  leaving.focus();
}

async function leave() {
  const { state, next } = await post("/sign-out", [], newId());
  if (state !== "ended") {
    leaving.querySelector("[data-words]").textContent = LEAVING.failed;
    return;
  }
  reports.empty();
  forgetHere();
  forgetLogs(sheet.dataset.who);
  location.assign(next);
}

document.querySelector("a.felt-wrong")?.addEventListener("click", (event) => {
  if (!sheet.querySelector("[data-step=ask]")) return;
  event.preventDefault();
  ask();
});
sheet.addEventListener("close", closed);
document.querySelector("[data-more] button")?.addEventListener("click", () => askAgain(true));
sheet.addEventListener("click", (event) => {
  if (event.target.closest("[data-close]")) sheet.close();
});
addEventListener("submit", submitted, { capture: true });
addEventListener("submit", startLeaving, { capture: true });
leaving.querySelector("[data-go]").addEventListener("click", leave);
leaving.querySelector("[data-stay]").addEventListener("click", () => {
  leaving.hidden = true;
});
// Heard, but never answered with a note of its own.
addEventListener("storage", ({ key }) => {
  if (key !== "foothill.here") return;
  hear();
  pauseWork();
});
addEventListener("pageshow", () => {
  isLeaving = false;
  hear();
  show();
});

show();
reports.attempt();
