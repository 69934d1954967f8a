// The overview: moving on with one key.
import "./net.js";
import { isTyping, singleKeys } from "./keys.js";

document.addEventListener("keydown", (event) => {
  if (!singleKeys() || isTyping(event)) return;
  if (event.key === "y" || event.key === "n") {
    const first = document.querySelector("a.button.main");
    if (first) location.assign(first.href);
  }
});
document.documentElement.dataset.ready = ""; // keys act from now on
