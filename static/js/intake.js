// Keeps every answer of the intake on this phone until the desk has it. A lost connection loses nothing: what was
// pressed is tried again while the page is open, and offered when the intake is opened the next time.
import { drawer, fieldsOf, newId, post } from "./kept.js";

const RETRY_MS = 4000;
const KEPT_DAYS = 14;
const WORDS = {
  waiting: "No connection. Your answer is kept on this phone and sent by itself as soon as the connection is back.",
  failed: "Not saved yet. Your answer is kept on this phone and tried again.",
  reopen: "Your answer is kept on this phone. Please open this page again and send it then.",
  refilled: "What you had begun here is filled in again. It is not saved yet.",
  still: "Not sent: no connection yet. It stays on this phone.",
  sending: "Saving…",
};

const page = document.querySelector("[data-intake]");
const form = document.querySelector("[data-intake-form]");
const offers = document.querySelector("[data-intake-offer]");
const place = form?.querySelector("[data-saving]");
const box = drawer(`foothill.intake.${page?.dataset.who}`);

function readAll() {
  const oldest = Date.now() - KEPT_DAYS * 24 * 3600 * 1000;
  return Object.fromEntries(Object.entries(box.read()).filter(([, one]) => one.at >= oldest));
}

// A newer answer to the same question, typed while the older one was on its way, stays.
function forget({ address, id }) {
  const kept = readAll();
  if (kept[address]?.id === id) delete kept[address];
  box.write(kept);
}

function wordsOf(source) {
  const chosen = [...source.querySelectorAll("input:checked")].map((one) => one.closest("label").innerText);
  const typed = [...source.querySelectorAll("input:not([type=radio], [type=checkbox], [type=hidden])")].map(
    (one) => one.value,
  );
  return [...chosen, ...typed].map((one) => one.trim()).filter(Boolean).join(", ");
}

function remember(state) {
  const address = form.getAttribute("action");
  const kept = readAll();
  const fields = fieldsOf(form);
  const before = kept[address];
  // The same answer sent again keeps its id, so that it counts once; another answer is another form.
  const isSame = before && JSON.stringify(before.fields) === JSON.stringify(fields);
  const id = isSame ? before.id : newId();
  const entry = { address, title: form.dataset.title, words: wordsOf(form), fields, id, state, at: Date.now() };
  // Where this phone keeps nothing (a private window) the form is sent the plain way.
  return box.write({ ...kept, [address]: entry }) ? entry : null;
}

async function send(entry) {
  const { state, next } = await post(entry.address, entry.fields, entry.id);
  if (state === "kept") forget(entry);
  return { state: state === "ended" || state === "old" ? "reopen" : state, next };
}

function say(words) {
  if (!place) return;
  place.textContent = words;
  // What to do about a sign stays in sight beneath it.
  const block = place.nextElementSibling?.matches("[data-when-named]") ? "start" : "nearest";
  if (words) place.scrollIntoView({ block });
}

let current = null;
let isSending = false;

// One try at a time; a press meanwhile is taken up by the next one.
async function attempt() {
  if (current === null || isSending) return;
  isSending = true;
  const entry = current;
  const { state, next } = await send(entry);
  isSending = false;
  if (entry !== current) {
    attempt();
    return;
  }
  if (state === "kept") {
    current = null;
    location.assign(next);
  } else if (state === "look") {
    current = null;
    forget(entry);
    form.submit();
  } else if (state === "reopen") {
    current = null;
    say(WORDS.reopen);
  } else {
    say(WORDS[state]);
    setTimeout(attempt, RETRY_MS);
  }
}

function fill(fields) {
  for (const box of form.querySelectorAll("input[type=checkbox]")) box.checked = false;
  for (const [name, value] of fields) {
    for (const one of form.elements) {
      if (one.name !== name || one.type === "hidden") continue;
      if (one.type === "radio" || one.type === "checkbox") one.checked = one.value === value;
      else one.value = value;
    }
  }
}

function button(words, kind, act) {
  const made = document.createElement("button");
  made.type = "button";
  made.className = kind;
  made.textContent = words;
  made.addEventListener("click", act);
  return made;
}

function offer(entry) {
  const box = document.createElement("div");
  box.className = "caution";
  box.setAttribute("role", "status");
  const said = document.createElement("p");
  const strong = document.createElement("strong");
  strong.textContent = "Kept on this phone and not sent yet: ";
  said.append(strong, `${entry.title} ${entry.words}`);
  const result = document.createElement("p");
  const acts = document.createElement("div");
  acts.className = "acts";
  const again = button("Send it now", "button", async () => {
    again.disabled = true;
    result.textContent = WORDS.sending;
    const { state, next } = await send(entry);
    again.disabled = false;
    const own = form !== null && form.getAttribute("action") === entry.address;
    if (state === "kept" && (own || next === "/me/intake-sent")) location.assign(next);
    else if (state === "kept") location.reload();
    else if (state === "look") location.assign(entry.address);
    else result.textContent = WORDS[state === "waiting" ? "still" : state];
    if (state === "look") box.write({ ...readAll(), [entry.address]: { ...entry, state: "typed" } });
  });
  const away = button("Throw it away", "quiet", () => {
    forget(entry);
    box.remove();
  });
  acts.append(again, away);
  box.append(said, acts, result);
  offers.append(box);
}

// Its answer may have been lost on the way back only: then nothing waits, and the desk's own page shows it.
async function isAtTheDesk({ address, fields }) {
  try {
    const answer = await fetch(address);
    const shown = new DOMParser().parseFromString(await answer.text(), "text/html").querySelector("[data-intake-form]");
    const said = (all) => JSON.stringify(all.filter(([name]) => name !== "from"));
    return shown !== null && said(fieldsOf(shown)) === said(fields);
  } catch {
    return false;
  }
}

async function offerUnlessThere(entry) {
  if (await isAtTheDesk(entry)) forget(entry);
  else if (readAll()[entry.address]?.id === entry.id) offer(entry);
}

function sayWhatIsNamed() {
  const advice = form.querySelector("[data-when-named]");
  const heard = form.querySelector("[data-named-said]");
  const said = form.querySelector("[name=reply]:checked")?.value;
  if (!advice || !heard) return;
  const isNamed = said === "yes" || said === "not_sure";
  heard.textContent = isNamed ? advice.innerText : "";
  if (isNamed) advice.scrollIntoView({ block: "nearest" });
}

if (page) {
  const kept = Object.values(readAll());
  for (const entry of kept) if (entry.state === "waiting") offerUnlessThere(entry);
  const mine = form && kept.find((one) => one.address === form.getAttribute("action"));
  if (mine && !document.querySelector("[data-error-summary]")) {
    fill(mine.fields);
    say(mine.state === "typed" && mine.words ? WORDS.refilled : "");
  }
}

form?.addEventListener("input", () => {
  remember("typed");
  current = null;
  say("");
  sayWhatIsNamed();
});

form?.addEventListener("submit", (event) => {
  const entry = remember("waiting");
  if (entry === null) return;
  event.preventDefault();
  current = entry;
  offers.replaceChildren();
  say(WORDS.sending);
  attempt();
});

addEventListener("online", attempt);
