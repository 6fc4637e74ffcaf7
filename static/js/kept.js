// What is entered stays on this phone until the desk has it: drawers, ids, and the one way to send.
const PATIENCE_MS = 15000;

// One drawer of this phone's storage. Writing answers false where nothing is kept (a private window, a full phone).
export function drawer(name) {
  return {
    read() {
      try {
        return JSON.parse(localStorage.getItem(name) ?? "{}");
      } catch {
        return {};
      }
    },
    write(kept) {
      try {
        if (Object.keys(kept).length === 0) localStorage.removeItem(name);
        else localStorage.setItem(name, JSON.stringify(kept));
        return true;
      } catch {
        return false;
      }
    },
  };
}

export function drawersNamed(start) {
  try {
    return Object.keys(localStorage).filter((name) => name.startsWith(start));
  } catch {
    return [];
  }
}

// crypto.randomUUID is missing where the desk is reached without TLS in the practice's own network.
export function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 0x0f) | 0x40;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = [...bytes].map((one) => one.toString(16).padStart(2, "0")).join("");
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
}

export function fieldsOf(form) {
  return [...new FormData(form)].filter(([name]) => name !== "csrf_token" && name !== "request_id");
}

// What became of it: "kept" (and where the desk leads on to), "waiting" (no connection), "ended" (not signed in any
// more, and where that is said), "old" (the page is older than the login), "look" (a person has to look at it), "failed".
export async function post(address, fields, id) {
  const body = new URLSearchParams(fields);
  body.set("csrf_token", document.querySelector("input[name=csrf_token]").value);
  body.set("request_id", id);
  let answer;
  try {
    const signal = AbortSignal.timeout?.(PATIENCE_MS);
    answer = await fetch(address, { method: "POST", body, signal, headers: { "HX-Request": "true" } });
  } catch {
    return { state: "waiting" };
  }
  const next = answer.headers.get("HX-Redirect");
  if (next !== null) return next.startsWith("/sign-in") ? { state: "ended", next } : { state: "kept", next };
  if (answer.status === 403) return { state: "old" };
  return { state: answer.status === 422 || answer.status === 409 ? "look" : "failed" };
}
