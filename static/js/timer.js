// Runs the steps of a session by the clock, from the page alone: large figures, changes told in words, and by tone and
// shaking where somebody asked for them. Whatever pauses the work on this phone stops the clock.
const TICK_MS = 200;
const TONE_S = 0.25;
const SHAKE_MS = [220, 90, 220];
const SHOWN_AGAIN_MS = 6 * 60 * 60 * 1000;
const ASKED_AGAIN_MS = 60 * 1000;
const PATIENCE_MS = 15 * 1000;
let sound = null;

function figures(seconds) {
  const whole = Math.max(0, Math.ceil(seconds));
  const [hours, minutes, rest] = [Math.floor(whole / 3600), Math.floor((whole % 3600) / 60), whole % 60];
  const two = (n) => String(n).padStart(2, "0");
  return hours ? `${hours}:${two(minutes)}:${two(rest)}` : `${minutes}:${two(rest)}`;
}

function tone(pitch) {
  if (!sound) return;
  const [note, volume] = [sound.createOscillator(), sound.createGain()];
  note.frequency.value = pitch;
  volume.gain.setValueAtTime(0.2, sound.currentTime);
  volume.gain.exponentialRampToValueAtTime(0.001, sound.currentTime + TONE_S);
  note.connect(volume).connect(sound.destination);
  note.start();
  note.stop(sound.currentTime + TONE_S);
}

// Where a run stands, so that a page opened again goes on; only figures, no words of the plan.
function place(key) {
  const name = `foothill.clock.${key}`;
  return {
    read() {
      try {
        const kept = JSON.parse(sessionStorage.getItem(name) ?? "null");
        return kept && Date.now() - kept.at < SHOWN_AGAIN_MS ? kept : null;
      } catch {
        return null;
      }
    },
    write(kept) {
      try {
        sessionStorage.setItem(name, JSON.stringify(kept));
      } catch {
        // A private window: the run lasts as long as the page.
      }
    },
  };
}

// Whether the desk lets a clock run now; null where it cannot be asked.
async function mayRun(key) {
  try {
    const signal = AbortSignal.timeout?.(PATIENCE_MS);
    const answer = await fetch("/me/timer/now", { cache: "no-store", redirect: "error", signal });
    if (!answer.ok) return null;
    return (await answer.json()).may_run.includes(key);
  } catch {
    return null;
  }
}

function timer(section) {
  const find = (name) => section.querySelector(`[data-${name}]`);
  const items = [...section.querySelectorAll("[data-starts]")];
  const steps = items.map((item) => ({
    starts: Number(item.dataset.starts),
    lasts: Number(item.dataset.lasts),
    name: item.querySelector("[data-name]").textContent,
    say: item.querySelector("[data-words]").textContent,
    item,
  }));
  const whole = steps.at(-1).starts + steps.at(-1).lasts;
  const kept = place(section.dataset.key);
  let gone = 0; // seconds run before the present stretch
  let since = null; // when the present stretch began; null while it stands
  let shown = -1;
  let awake = null;

  const now = () => Math.min(whole, gone + (since === null ? 0 : (Date.now() - since) / 1000));
  const at = (seconds) => steps.findIndex((one) => seconds < one.starts + one.lasts);

  function keep() {
    kept.write({ gone: now(), running: since !== null, at: Date.now() });
  }

  function say(words) {
    find("aloud").textContent = words;
  }

  function tell(number) {
    const step = steps[number];
    for (const one of steps) one.item.removeAttribute("aria-current");
    step.item.setAttribute("aria-current", "step");
    find("what").textContent = step.name;
    find("say").textContent = step.say;
    find("next").textContent = steps[number + 1]?.name ?? "the end";
    if (since === null) return;
    say(`${step.name}. ${step.say}`);
    if (find("sound").checked) tone(880);
    if (find("buzz").checked) navigator.vibrate?.(SHAKE_MS);
  }

  function end() {
    stop();
    for (const one of steps) one.item.removeAttribute("aria-current");
    find("what").textContent = "Done";
    find("say").textContent = "Say how it went under Done.";
    find("next").textContent = "nothing";
    find("run").textContent = "Start again";
    say("Done. That was the last step.");
    if (find("sound").checked) tone(660);
    shown = -1;
  }

  function draw() {
    const seconds = now();
    const number = at(seconds);
    find("gone").textContent = figures(Math.floor(seconds));
    if (number === -1) {
      find("left").textContent = figures(0);
      if (since !== null) end();
      return;
    }
    find("left").textContent = figures(steps[number].starts + steps[number].lasts - seconds);
    if (number !== shown) {
      shown = number;
      tell(number);
    }
  }

  async function start() {
    if (now() >= whole) gone = 0;
    since = Date.now();
    shown = -1;
    find("run").textContent = "Pause";
    if (find("sound").checked) sound ??= new AudioContext();
    keep();
    draw();
    ask();
    try {
      awake = await navigator.wakeLock?.request("screen");
    } catch {
      awake = null; // the phone decides; the clock goes on by itself
    }
  }

  function stop() {
    gone = now();
    since = null;
    find("run").textContent = "Go on";
    awake?.release();
    awake = null;
    keep();
  }

  // Paused or changed elsewhere since this page was made.
  function halt() {
    if (section.dataset.pausedBy) return;
    for (const part of section.children) part.hidden = !part.matches("h2");
    section.append(document.querySelector("template[data-halted]").content.cloneNode(true));
    section.dataset.pausedBy = "desk";
  }

  async function ask() {
    const may = await mayRun(section.dataset.key);
    find("unasked").hidden = may !== null;
    if (may === false) halt();
  }

  function askWhenSeen() {
    if (!document.hidden) ask();
  }

  function stopWith(words) {
    if (since === null) return;
    stop();
    say(words);
  }

  function jump(by) {
    const number = at(now());
    const step = number === -1 ? steps.length : number;
    // Back goes to the beginning of a step that has run for a while, else to the one before.
    const isInside = by < 0 && number !== -1 && now() - steps[number].starts > 3;
    const wanted = Math.max(0, isInside ? step : step + by);
    gone = wanted < steps.length ? steps[wanted].starts : whole;
    if (since !== null) since = Date.now();
    shown = -1;
    keep();
    draw();
  }

  find("run").addEventListener("click", () => {
    if (since === null) {
      start();
      find("face").scrollIntoView({ block: "start" });
    } else {
      stop();
      say("Paused.");
    }
  });
  find("back").addEventListener("click", () => jump(-1));
  find("on").addEventListener("click", () => jump(1));
  find("sound").addEventListener("change", ({ target }) => {
    if (target.checked) sound ??= new AudioContext();
    if (target.checked) tone(880);
  });
  find("buzz").addEventListener("change", ({ target }) => target.checked && navigator.vibrate?.(SHAKE_MS));

  // Work paused on this phone, or somebody about to say that something felt wrong: the clock stands.
  new MutationObserver(() => stopWith("Stopped: this is paused.")).observe(section, {
    attributes: true,
    attributeFilter: ["data-paused-by"],
  });
  for (const one of document.querySelectorAll(".felt-wrong")) {
    one.addEventListener("click", () => stopWith("Stopped."));
  }

  const before = kept.read();
  if (before) {
    gone = Math.min(whole, before.gone + (before.running ? (Date.now() - before.at) / 1000 : 0));
    if (gone > 0 && gone < whole) find("run").textContent = "Go on";
    if (before.running && gone < whole && !section.dataset.pausedBy) start();
  }
  find("face").hidden = Boolean(section.dataset.pausedBy);
  draw();
  setInterval(draw, TICK_MS);
  setInterval(() => since !== null && ask(), ASKED_AGAIN_MS);
  document.addEventListener("visibilitychange", askWhenSeen);
  addEventListener("focus", askWhenSeen);
  addEventListener("pageshow", askWhenSeen);
}

for (const section of document.querySelectorAll("[data-timer]")) timer(section);
