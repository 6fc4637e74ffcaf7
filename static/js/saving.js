// Says "saving", "saved" or "not saved" beside the form that was sent, or at the foot of the page.
const WORDS = {
  busy: "Saving…",
  saved: "Saved",
  checked: "Not saved yet: please look at the marked fields",
  refused: "Not saved. The page says why.",
  failed: "Not saved. What you typed is still here; try again.",
  offline: "Not saved: no connection. What you typed is still here; try again.",
};
const SAVED_STAYS_MS = 4000;
const SLOW_MS = 1000;
const waiting = new WeakMap();

function changes(context) {
  return Boolean(context?.request) && context.request.method.toUpperCase() !== "GET";
}

function placeFor(source) {
  const near = source?.closest?.("form")?.querySelector("[data-saving]");
  return near?.isConnected ? near : document.getElementById("saving");
}

function say(place, state, words = WORDS[state]) {
  if (!place) return;
  place.dataset.state = state;
  place.textContent = words;
  if (state === "saved") {
    setTimeout(() => {
      if (place.dataset.state === "saved") place.textContent = "";
    }, SAVED_STAYS_MS);
  }
}

function stateOf(status) {
  if (status >= 500) return "failed";
  if (status === 422) return "checked";
  return status >= 400 ? "refused" : "saved";
}

document.addEventListener("htmx:before:request", (event) => {
  const context = event.detail?.ctx;
  if (!changes(context)) return;
  const place = placeFor(context.sourceElement);
  // What was said about the form before this one is over.
  document.getElementById("flash")?.replaceChildren();
  say(document.getElementById("saving"), "idle", "");
  say(place, "busy");
  const words = context.sourceElement?.querySelector?.("[data-busy]")?.dataset.busy;
  if (words) waiting.set(context, setTimeout(() => say(place, "busy", words), SLOW_MS));
});

document.addEventListener("htmx:after:request", (event) => {
  const context = event.detail?.ctx;
  if (!changes(context)) return;
  clearTimeout(waiting.get(context));
  const place = placeFor(context.sourceElement);
  const state = stateOf(context.response.status);
  say(place, state);
  // The answer may replace the form, so the lasting word stands at the foot of the page.
  if (state !== "failed" && place?.id !== "saving") say(document.getElementById("saving"), state);
});

document.addEventListener("htmx:error", (event) => {
  const context = event.detail?.ctx;
  if (!changes(context)) return;
  clearTimeout(waiting.get(context));
  say(placeFor(context.sourceElement), navigator.onLine ? "failed" : "offline");
});
