// One card after another: keys and buttons act, the server saves, and the answer is the next card.
import { openForm } from "./editor.js";
import { isTyping, pressed, setSingleKeys, singleKeys } from "./keys.js";
import { ask, say } from "./net.js";

const desk = document.getElementById("desk");
const keys = document.getElementById("keys");
let busy = false;

const card = () => document.getElementById("card");
const editorPlace = () => document.getElementById("editor");
const choice = () => {
  const query = new URLSearchParams(location.search);
  query.delete("at");
  query.delete("after");
  return Object.fromEntries(query);
};
const about = () => ({ key: card().dataset.key, seen: card().dataset.seen, choice: choice() });

function show(told) {
  if (told.html === undefined) {
    say(told.refused || told.say || "");
    return;
  }
  desk.innerHTML = told.html;
  document.title = `${told.title} · firstcap`;
  if (location.pathname + location.search !== told.address) history.pushState(null, "", told.address);
  window.scrollTo(0, 0);
  document.getElementById("card-title").focus({ preventScroll: true });
  say(told.say || "");
  for (const address of told.ahead || []) new Image().src = address;
}

async function act(path, more = {}) {
  if (busy) return undefined;
  busy = true;
  try {
    const told = await ask(path, { ...about(), ...more });
    if (told.refused) return told.refused;
    show(told);
    return undefined;
  } finally {
    busy = false;
  }
}

function correct(button) {
  const more = { field: button.dataset.field, items: button.dataset.items };
  openForm(editorPlace(), "/ask/editor", { ...about(), ...more }, (written) => act("/acts/correct", { ...more, written }), button)
    .then((told) => { if (!told.html) say(told.refused || told.say || ""); });
}

function strike(items, opener) {
  openForm(editorPlace(), "/ask/strike", { ...about(), items }, (written) => {
    const chosen = editorPlace().querySelector("form").dataset.items;
    return act("/acts/strike", { items: chosen, written });
  }, opener).then((told) => { if (!told.html) say(told.refused || told.say || ""); });
}

function go(address) {
  location.assign(address);
}

const acts = {
  confirm: () => card().dataset.key && act("/acts/confirm"),
  undo: () => act("/acts/undo"),
  fix: () => {
    const row = document.querySelector(".row.on");
    const first = (row || card()).querySelector("[data-edit]");
    if (first) first.focus();
  },
  strike: (opener) => {
    const row = document.querySelector(".row.on:not(.struck)");
    strike(row ? row.dataset.item : "", opener);
  },
  next: () => {
    const query = new URLSearchParams({ ...choice(), after: card().dataset.key });
    go(`/confirm?${query}`);
  },
  page: () => {
    const { document: id, page, key } = card().dataset;
    if (id) go(`/documents/${id.slice(0, 20)}/pages/${page}?${new URLSearchParams({ ...choice(), at: key })}`);
  },
  stack: () => go("/"),
  keys: () => {
    document.getElementById("single-keys").checked = singleKeys();
    keys.showModal();
  },
};
const byKey = { y: "confirm", f: "fix", x: "strike", n: "next", p: "page", a: "page", u: "undo", s: "stack", "?": "keys" };

document.addEventListener("click", (event) => {
  const button = event.target.closest("button, [role=button]");
  if (!button) return;
  if (button.dataset.act) acts[button.dataset.act](button);
  else if (button.dataset.edit !== undefined) correct(button);
  else if (button.dataset.strike) strike(button.dataset.strike, button);
});

document.addEventListener("keydown", (event) => {
  if (isTyping(event) || pressed(event)) return;
  if (event.key.startsWith("Arrow")) {
    move(event);
    return;
  }
  if (event.key === "Enter" && !event.target.closest("button, a, summary, input")) {
    event.preventDefault();
    acts.confirm();
    return;
  }
  const name = byKey[event.key];
  if (name && singleKeys() && !event.repeat) {
    event.preventDefault();
    acts[name](document.activeElement);
  }
});

// ← and → go from value to value; ↑ and ↓ from row to row.
function move(event) {
  const values = [...card().querySelectorAll("[data-edit]")].filter((one) => one.offsetParent !== null);
  const here = values.indexOf(document.activeElement);
  const row = document.activeElement.closest(".row");
  if (event.key === "ArrowLeft" || event.key === "ArrowRight") {
    if (here < 0) return;
    const next = values[here + (event.key === "ArrowRight" ? 1 : -1)];
    if (next) next.focus();
  } else {
    const rows = [...card().querySelectorAll(".row")];
    if (!rows.length || (here >= 0 && !row)) return;
    const at = rows.indexOf(row) + (event.key === "ArrowDown" ? 1 : -1);
    const target = rows[Math.max(0, Math.min(rows.length - 1, at))];
    const column = row ? [...row.querySelectorAll("[data-edit]")].indexOf(document.activeElement) : -1;
    (target.querySelectorAll("[data-edit]")[Math.max(0, column)] || target).focus();
  }
  event.preventDefault();
}

// The words of the value or row under the pointer or in focus stand out on the page.
function light(element) {
  if (element && element.closest(".editor")) return; // what is being corrected stays lit
  const row = element && element.closest(".row, .facts div, .value");
  const value = element && element.closest("[data-edit]");
  document.querySelectorAll(".on").forEach((one) => one.classList.remove("on"));
  if (!row) return;
  const line = row.closest(".row, .facts div");
  if (line) line.classList.add("on");
  const items = new Set((line ? line.dataset.item : value.dataset.items).split(" "));
  const field = value ? value.dataset.field : null;
  const whole = line && !line.closest(".facts");
  for (const mark of document.querySelectorAll(".paper [data-items]")) {
    const mine = mark.dataset.items.split(" ").some((item) => items.has(item));
    const fields = (mark.dataset.fields || "").split("|");
    if (mine && (fields.includes(field) || (whole && (!value || mark.classList.contains("whole"))))) mark.classList.add("on");
  }
}

desk.addEventListener("focusin", (event) => light(event.target));
desk.addEventListener("pointerover", (event) => light(event.target.closest(".row, [data-edit], .facts div") || document.activeElement));
document.getElementById("single-keys").addEventListener("change", (event) => setSingleKeys(event.target.checked));
document.querySelector('[data-form="choice"]').addEventListener("change", (event) => event.currentTarget.requestSubmit());
window.addEventListener("popstate", () => location.reload());
document.documentElement.dataset.ready = ""; // keys act from now on
