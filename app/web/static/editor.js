// The form in which a value is corrected or a promise is struck: opens below the sentence, shows at once how typed
// words are understood, and hands over to `save` when the person agrees.
import { ask } from "./net.js";

let turn = 0;

/** Show a form inside `place`; `about` is what every request about it says, `save` gets the typed words. */
export async function openForm(place, path, about, save, opener) {
  const told = await ask(path, about);
  if (!told.html) return told;
  place.innerHTML = told.html;
  const form = place.querySelector("form");
  const field = form.querySelector("#written");
  const close = () => {
    turn += 1;
    place.replaceChildren();
    if (opener && opener.isConnected) opener.focus();
  };
  if (form.dataset.form === "correct") {
    field.addEventListener("input", () => understand(form, about, field.value));
  }
  form.addEventListener("click", (event) => {
    const offer = event.target.closest("[data-offer]");
    if (offer) {
      field.value = offer.dataset.offer;
      understand(form, about, field.value);
      field.focus();
    } else if (event.target.closest("[data-close]")) {
      close();
    }
  });
  form.addEventListener("keydown", (event) => {
    if (event.key === "Escape") {
      event.stopPropagation();
      close();
    }
  });
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const refused = await save(field.value);
    if (refused) show(form, { refused });
  });
  field.focus();
  field.select();
  form.scrollIntoView({ block: "nearest" });
  return told;
}

async function understand(form, about, written) {
  const mine = (turn += 1);
  await new Promise((resolve) => setTimeout(resolve, 60));
  if (mine !== turn || !written.trim()) return;
  const told = await ask("/ask/understood", { ...about, written });
  if (mine === turn) show(form, told);
}

function show(form, told) {
  const place = form.querySelector("#understood");
  place.replaceChildren();
  place.classList.toggle("refused", Boolean(told.refused || told.say));
  place.classList.toggle("fine", Boolean(told.shown));
  if (told.refused || told.say) {
    place.textContent = told.refused || told.say;
    return;
  }
  place.append(span("shown", told.shown), span("sense", told.sentence || ""));
}

function span(name, text) {
  const made = document.createElement("span");
  made.className = name;
  made.textContent = text;
  return made;
}
