// A whole page: a frame is drawn around words, with the pointer or the keyboard, and what is in it is read.
import { openForm } from "./editor.js";
import { isTyping, pressed, singleKeys } from "./keys.js";
import { ask, say } from "./net.js";

const whole = document.getElementById("whole");
const sheet = document.getElementById("sheet");
const frame = document.getElementById("frame");
const draft = document.getElementById("draft");
const { document: id, page, back } = whole.dataset;
const width = Number(whole.dataset.width);
const height = Number(whole.dataset.height);
const STEP = 6; // points that an arrow key moves
let box = null;
let from = null;

const about = () => ({ document: id });

function draw(x0, top, x1, bottom) {
  box = {
    x0: Math.max(0, Math.min(x0, x1)), top: Math.max(0, Math.min(top, bottom)),
    x1: Math.min(width, Math.max(x0, x1)), bottom: Math.min(height, Math.max(top, bottom)),
  };
  frame.setAttribute("x", box.x0);
  frame.setAttribute("y", box.top);
  frame.setAttribute("width", box.x1 - box.x0);
  frame.setAttribute("height", box.bottom - box.top);
}

function point(event) {
  const seen = sheet.getBoundingClientRect();
  return { x: ((event.clientX - seen.left) / seen.width) * width, y: ((event.clientY - seen.top) / seen.height) * height };
}

sheet.addEventListener("pointerdown", (event) => {
  if (event.button !== 0) return;
  from = point(event);
  sheet.setPointerCapture(event.pointerId);
  draw(from.x, from.y, from.x, from.y);
  event.preventDefault();
  sheet.focus({ preventScroll: true });
});
sheet.addEventListener("pointermove", (event) => {
  if (!from) return;
  const to = point(event);
  draw(from.x, from.y, to.x, to.y);
});
sheet.addEventListener("pointerup", () => {
  if (!from) return;
  from = null;
  if (box.x1 - box.x0 > 3 && box.bottom - box.top > 3) read();
});

sheet.addEventListener("keydown", (event) => {
  const moves = { ArrowLeft: [-STEP, 0], ArrowRight: [STEP, 0], ArrowUp: [0, -STEP], ArrowDown: [0, STEP] };
  if (event.key in moves) {
    const [x, y] = moves[event.key];
    if (!box) draw(width * 0.1, height * 0.1, width * 0.9, height * 0.1 + 24);
    else if (event.shiftKey) draw(box.x0, box.top, Math.max(box.x0 + STEP, box.x1 + x), Math.max(box.top + STEP, box.bottom + y));
    else draw(box.x0 + x, box.top + y, box.x1 + x, box.bottom + y);
    frame.scrollIntoView({ block: "nearest" });
    event.preventDefault();
  } else if (event.key === "Enter" && box) {
    event.preventDefault();
    read();
  }
});

async function read() {
  say("Reading …");
  const part = [page, box.x0, box.top, box.x1, box.bottom].join(" ");
  fill(await ask("/ask/drawn", { ...about(), part }));
}

function fill(told) {
  if (told.html === undefined) {
    say(told.refused || told.say || "");
    return;
  }
  draft.innerHTML = told.html;
  say(told.found ? `${told.found} found` : "Nothing found");
  const first = draft.querySelector("button, [role=button]");
  if (first) first.focus();
}

document.addEventListener("click", async (event) => {
  const button = event.target.closest("button, [role=button]");
  if (!button) return;
  const card = button.closest(".draft");
  if (button.dataset.act === "blank") fill(await ask("/ask/blank", about()));
  else if (button.dataset.act === "drop") card.remove();
  else if (button.dataset.act === "add") done(card, await ask("/acts/add", { ...about(), draft: card.dataset.draft, where: card.dataset.where }));
  else if (button.dataset.act === "add-clause") {
    const { family, clause, where } = card.dataset;
    done(card, await ask("/acts/add-clause", { ...about(), family, clause, where }));
  } else if (button.dataset.edit !== undefined && card) correct(button, card);
});

function done(card, told) {
  say(told.refused || told.say || "");
  if (told.status !== 200) return;
  const note = document.createElement("p");
  note.className = "decided";
  note.textContent = `✓ ${told.say}`;
  card.replaceWith(note);
  const next = draft.querySelector(".draft button.main");
  (next || document.getElementById("back")).focus();
}

// A value of a draft: the answer is the draft with it.
function correct(button, card) {
  const more = { ...about(), field: button.dataset.field, draft: card.dataset.draft, where: card.dataset.where };
  openForm(card.querySelector(".editor-place"), "/ask/editor", more, async (written) => {
    const told = await ask("/ask/redraft", { ...more, written });
    if (told.html === undefined) return told.refused || told.say;
    const holder = document.createElement("div");
    holder.innerHTML = told.html;
    const made = holder.querySelector(".draft");
    card.replaceWith(made);
    const again = made.querySelector(`[data-edit][data-field="${button.dataset.field}"]`);
    (again || made.querySelector("button")).focus();
    return undefined;
  }, button);
}

draft.addEventListener("submit", async (event) => {
  const form = event.target.closest('[data-form="clause"]');
  if (!form) return;
  event.preventDefault();
  const { kind, words, days } = Object.fromEntries(new FormData(form));
  const told = await ask("/acts/add-clause", { ...about(), kind, words, days, where: form.dataset.where });
  const place = form.querySelector(".understood");
  place.textContent = told.refused || told.say || "";
  place.classList.toggle("refused", told.status !== 200);
});

document.addEventListener("keydown", (event) => {
  if (pressed(event)) return;
  if (event.key === "Escape" && !event.defaultPrevented) location.assign(back);
  else if (singleKeys() && !isTyping(event) && (event.key === "p" || event.key === "q")) location.assign(back);
});
document.documentElement.dataset.ready = ""; // keys act from now on
