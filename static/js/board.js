// The week board by keys: arrows move between days, Enter writes, Escape leaves a day as it was.
// Without this script the fields are reached by Tab like any others.
const board = document.querySelector("[data-board]");
const rows = board
  ? [...board.querySelectorAll("tbody tr")].map((row) => [...row.querySelectorAll("[data-cell]")]).filter((row) => row.length)
  : [];
let before = "";

function placeOf(cell) {
  for (const [down, row] of rows.entries()) {
    const along = row.indexOf(cell);
    if (along >= 0) return [down, along];
  }
  return null;
}

function stand(cell) {
  board.querySelector('[data-cell][tabindex="0"]')?.setAttribute("tabindex", "-1");
  cell.setAttribute("tabindex", "0");
  cell.focus();
  cell.scrollIntoView({ block: "nearest", inline: "nearest" });
}

function move(cell, down, along) {
  const place = placeOf(cell);
  const next = place && rows[place[0] + down]?.[place[1] + along];
  if (next) stand(next);
}

const STEPS = { ArrowUp: [-1, 0], ArrowDown: [1, 0], ArrowLeft: [0, -1], ArrowRight: [0, 1] };

function onCell(event, cell) {
  const step = STEPS[event.key];
  const field = cell.querySelector("textarea");
  if (step) {
    event.preventDefault();
    move(cell, ...step);
  } else if (event.key === "Enter" && field) {
    event.preventDefault();
    field.focus();
    field.select();
  }
}

function onField(event, field) {
  const cell = field.closest("[data-cell]");
  if (event.key === "Escape") {
    event.preventDefault();
    field.value = before;
    stand(cell);
  } else if (event.key === "Enter" && !event.shiftKey && !event.isComposing) {
    event.preventDefault();
    stand(cell);
    move(cell, 1, 0);
  }
}

if (rows.length) {
  board.setAttribute("role", "grid");
  for (const cell of rows.flat()) cell.setAttribute("tabindex", "-1");
  for (const field of board.querySelectorAll("textarea")) field.tabIndex = -1;
  rows[0][0].setAttribute("tabindex", "0");
  board.addEventListener("focusin", (event) => {
    if (event.target.matches("textarea")) before = event.target.value;
  });
  board.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    if (event.target.matches("textarea")) onField(event, event.target);
    else if (event.target.matches("[data-cell]")) onCell(event, event.target);
  });
}
