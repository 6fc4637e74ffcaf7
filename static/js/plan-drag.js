// A session is dragged to another day. The same is done by "Move" and a tap on the day, and by keys; a reason that is
// asked for is asked on the page that answers.
const drop = document.getElementById("drop");
let dragged = null;

function dayOf(event) {
  return event.target.closest?.("[data-drop]") ?? null;
}

function mark(day) {
  for (const one of document.querySelectorAll(".is-over")) one.classList.remove("is-over");
  day?.classList.add("is-over");
}

function put(day) {
  if (day.contains(dragged)) return;
  drop.action = `/plan/sessions/${dragged.dataset.drag}/move`;
  drop.elements.version.value = dragged.dataset.version;
  drop.elements.to_on.value = day.dataset.drop;
  drop.requestSubmit();
}

if (drop) {
  for (const one of document.querySelectorAll("[data-drag]")) {
    one.draggable = true;
    for (const link of one.querySelectorAll("a")) link.draggable = false;
    one.addEventListener("dragstart", (event) => {
      dragged = one;
      event.dataTransfer.effectAllowed = "move";
      event.dataTransfer.setData("text/plain", one.dataset.drag);
    });
    one.addEventListener("dragend", () => {
      mark(null);
      dragged = null;
    });
  }
  document.addEventListener("dragover", (event) => {
    const day = dragged && dayOf(event);
    mark(day);
    if (day) event.preventDefault();
  });
  document.addEventListener("drop", (event) => {
    const day = dragged && dayOf(event);
    if (!day) return;
    event.preventDefault();
    put(day);
  });
}
