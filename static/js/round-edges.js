// The edges of rounds are dragged in the drawing, or moved by keys: the same fields are filled that can be typed, and
// nothing is kept before the form is sent.
const SVG = "http://www.w3.org/2000/svg";
const SHORTEST_S = 5;
const STEPS = { ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1 };
const form = document.getElementById("edges");
const said = document.getElementById("edge-said");

function seconds(typed) {
  const found = /^\s*(\d{1,4}):([0-5]\d)\s*$/.exec(typed);
  return found ? 60 * Number(found[1]) + Number(found[2]) : null;
}

function clock(second) {
  return `${Math.floor(second / 60)}:${String(second % 60).padStart(2, "0")}`;
}

function make(name, attributes) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  return made;
}

// Every edge in the order of its time in the recording: 1 from, 1 to, 2 from, ...
const fields = form ? [...form.querySelectorAll("[name^=start_], [name^=end_]")] : [];

function limits(place, lastS) {
  const isStart = place % 2 === 0;
  const at = (other) => (fields[other] ? seconds(fields[other].value) : null);
  let low = 0;
  for (let one = place - 1; one >= 0 && low === 0; one -= 1) low = at(one) ?? 0;
  let high = lastS;
  for (let one = place + 1; one < fields.length && high === lastS; one += 1) high = at(one) ?? lastS;
  return isStart ? [low, high - SHORTEST_S] : [low + SHORTEST_S, high];
}

function handles(drawing) {
  const ground = drawing.querySelector("[data-duration-s]");
  const box = Object.fromEntries(["x", "y", "width", "height"].map((key) => [key, Number(ground.getAttribute(key))]));
  const shownS = Number(ground.dataset.durationS);
  const lastS = Number(drawing.closest("[data-edges]").dataset.edges);
  const layer = make("svg", {
    viewBox: drawing.getAttribute("viewBox"), class: "edge-layer", role: "group", "aria-label": "Edges of the rounds",
  });
  drawing.parentElement.classList.add("edges");
  drawing.after(layer);
  const xOf = (second) => box.x + (second / shownS) * box.width;

  function put(place, second) {
    const [low, high] = limits(place, lastS);
    fields[place].value = clock(Math.min(high, Math.max(low, Math.round(second))));
    fields[place].dispatchEvent(new Event("input", { bubbles: true }));
    if (said) said.textContent = `${names(place)}: ${fields[place].value}. Not kept yet.`;
  }

  function edge(place, second) {
    const [low, high] = limits(place, lastS);
    const made = make("g", {
      role: "slider", tabindex: "0", class: "edge", "aria-label": names(place), "aria-valuemin": low,
      "aria-valuemax": high, "aria-valuenow": second, "aria-valuetext": clock(second), "data-place": place,
    });
    const x = xOf(second);
    const away = place % 2 === 0 ? -9 : 9;
    made.append(
      make("rect", { class: "edge-reach", x: x - 12, y: box.y, width: 24, height: box.height }),
      make("line", { class: "edge-line", x1: x, x2: x, y1: box.y, y2: box.y + box.height }),
      make("path", { class: "edge-grip", d: `M${x} ${box.y}l${away} 5l${-away} 5Z` }),
    );
    return made;
  }

  function draw() {
    const focused = layer.contains(document.activeElement) ? document.activeElement.dataset.place : null;
    const drawn = fields.map((field, place) => [place, seconds(field.value)]).filter(([, second]) => second !== null);
    const spans = drawn
      .filter(([place]) => place % 2 === 0 && seconds(fields[place + 1].value) > seconds(fields[place].value))
      .map(([place, second]) =>
        make("rect", {
          class: "edge-span", x: xOf(second), y: box.y, height: box.height,
          width: xOf(seconds(fields[place + 1].value)) - xOf(second),
        }),
      );
    layer.replaceChildren(...spans, ...drawn.map(([place, second]) => edge(place, second)));
    if (focused !== null) layer.querySelector(`[data-place="${focused}"]`)?.focus();
  }

  layer.addEventListener("pointerdown", (event) => {
    const place = event.target.closest("[data-place]")?.dataset.place;
    if (place === undefined) return;
    event.preventDefault();
    layer.querySelector(`[data-place="${place}"]`).focus();
    layer.setPointerCapture(event.pointerId);
    layer.dataset.dragged = place;
  });
  layer.addEventListener("pointermove", (event) => {
    if (layer.dataset.dragged === undefined) return;
    const from = layer.getBoundingClientRect();
    const x = ((event.clientX - from.left) / from.width) * layer.viewBox.baseVal.width;
    put(Number(layer.dataset.dragged), ((x - box.x) / box.width) * shownS);
  });
  for (const end of ["pointerup", "pointercancel"]) layer.addEventListener(end, () => delete layer.dataset.dragged);
  layer.addEventListener("keydown", (event) => {
    const place = event.target.closest("[data-place]")?.dataset.place;
    if (place === undefined || !(event.key in STEPS)) return;
    event.preventDefault();
    put(Number(place), seconds(fields[place].value) + STEPS[event.key] * (event.shiftKey ? 10 : 1));
  });
  form.addEventListener("input", draw);
  draw();
}

function names(place) {
  const legend = fields[place].closest("fieldset").querySelector("legend").textContent.trim();
  return `${legend}, ${place % 2 === 0 ? "from" : "to"}`;
}

if (form) {
  for (const one of document.querySelectorAll("[data-edges] svg")) handles(one);
  for (const one of document.querySelectorAll("[data-needs-script]")) one.hidden = false;
}
