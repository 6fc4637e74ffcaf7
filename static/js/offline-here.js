// Keeps the page for a lost connection up to date on this phone; where there is no such thing, all else works without.
async function keep() {
  const kept = await navigator.serviceWorker.register("/offline-worker.js", { scope: "/", updateViaCache: "none" });
  kept.active?.postMessage("reached");
}

if ("serviceWorker" in navigator) keep().catch(() => {});
