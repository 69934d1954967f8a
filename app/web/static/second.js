// Settling where two looks differ: one of the two values is let stand, saved at once.
import { ask, say } from "./net.js";

document.addEventListener("click", async (event) => {
  const button = event.target.closest("[data-take]");
  if (!button) return;
  const one = button.closest(".difference");
  const told = await ask("/acts/settle", {
    item: one.dataset.item,
    field: one.dataset.field,
    take: button.dataset.take,
    note: one.querySelector("[name=note]").value,
  });
  say(told.refused || told.say || "");
  if (told.status !== 200) return;
  document.getElementById("left").textContent = told.left;
  const next = one.nextElementSibling;
  one.remove();
  (next && next.querySelector("[data-take]") ? next.querySelector("[data-take]") : document.querySelector("h1")).focus();
});
document.documentElement.dataset.ready = ""; // keys act from now on
