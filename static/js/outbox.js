// Reports on their way: kept on this phone under the login's own name, sent exactly once, tried again until they are.
import { drawer, drawersNamed, newId, post } from "./kept.js";

const FIRST_WAIT_MS = 4000;
const LONGEST_WAIT_MS = 5 * 60 * 1000;
// A sent report still pauses pages that were loaded before; after a day none of those is open.
const SENT_KEPT_MS = 24 * 3600 * 1000;
const NAME = "foothill.reports.";
const LOGS_NAME = "foothill.logs.";
// Only a page loaded anew can help these.
const NEEDS_A_PAGE = ["ended", "old"];

// Sessions written down: what has to be looked at is not sent again as it is.
export function logBox(who, changed) {
  return outbox(who, changed, LOGS_NAME, ["look"]);
}

export function logsWait(who) {
  return Object.values(drawer(LOGS_NAME + who).read()).some((one) => !one.sentAt);
}

export function forgetLogs(who) {
  drawer(LOGS_NAME + who).write({});
}

export function othersWait(who) {
  const names = drawersNamed(NAME).filter((name) => name !== NAME + who);
  return names.some((name) => Object.values(drawer(name).read()).some((one) => !one.sentAt));
}

export function outbox(who, changed, kind = NAME, settled = []) {
  const box = drawer(kind + who);
  // What this phone's storage does not take lives as long as the page.
  const loose = {};
  let wait = FIRST_WAIT_MS;
  let timer = null;
  let isSending = false;

  function all() {
    return Object.values({ ...box.read(), ...loose }).sort((one, other) => one.at - other.at);
  }

  function waiting() {
    return all().filter((one) => !one.sentAt);
  }

  function put(report) {
    if (box.write({ ...box.read(), [report.id]: report })) delete loose[report.id];
    else loose[report.id] = report;
    changed();
  }

  async function send(report) {
    const { state, next } = await post(report.address, report.fields, report.id);
    const { id, what, stops, mode, at } = report;
    // Thrown away meanwhile, or sent by another page.
    if (!waiting().some((one) => one.id === id)) return;
    if (state === "kept") put({ id, what, stops, mode, at, next, sentAt: Date.now() });
    else put({ ...report, why: state });
  }

  async function attempt() {
    if (isSending) return;
    isSending = true;
    clearTimeout(timer);
    for (const report of waiting().filter((one) => !settled.includes(one.why))) await send(report);
    isSending = false;
    const left = waiting().filter((one) => ![...NEEDS_A_PAGE, ...settled].includes(one.why));
    if (left.length === 0) return;
    timer = setTimeout(attempt, left.some((one) => !one.why) ? 0 : wait);
    wait = Math.min(2 * wait, LONGEST_WAIT_MS);
  }

  function atOnce() {
    wait = FIRST_WAIT_MS;
    attempt();
  }

  function forgetLongSent() {
    const kept = Object.entries(box.read());
    box.write(Object.fromEntries(kept.filter(([, one]) => !(one.sentAt < Date.now() - SENT_KEPT_MS))));
  }

  forgetLongSent();
  addEventListener("online", atOnce);
  // Only what another page did with this very box: pages that answer each other's every note would never rest.
  addEventListener("storage", ({ key }) => {
    if (key === null || key === kind + who) changed();
  });
  document.addEventListener("visibilitychange", () => {
    if (!document.hidden) atOnce();
  });

  return {
    all,
    waiting,
    attempt: atOnce,
    add(report) {
      // What may have reached the desk already keeps its id, so that it counts once.
      const id = report.id ?? newId();
      put({ ...report, id, at: Date.now() });
      atOnce();
      return id;
    },
    remove(id) {
      const { [id]: gone, ...rest } = box.read();
      box.write(rest);
      delete loose[id];
      changed();
    },
    isLoose: (id) => id in loose,
    empty() {
      box.write({});
      for (const id of Object.keys(loose)) delete loose[id];
      changed();
    },
  };
}
