// Single keys that act: when they are on, and when a key belongs to a field instead.

const NAME = "firstcap-single-keys";

export function singleKeys() {
  return localStorage.getItem(NAME) !== "off";
}

export function setSingleKeys(on) {
  localStorage.setItem(NAME, on ? "on" : "off");
}

/** True where the key is typed into a field, or is a command of the browser. */
export function isTyping(event) {
  if (event.ctrlKey || event.metaKey || event.altKey || event.isComposing) return true;
  return event.target instanceof Element && event.target.closest("input:not([type=checkbox]), textarea, select, dialog[open]") !== null;
}

/** Enter and the space bar press what is shown as a button without being one. */
export function pressed(event) {
  const button = event.target instanceof Element && event.target.closest("span[role=button]");
  if (!button || (event.key !== "Enter" && event.key !== " ")) return false;
  event.preventDefault();
  button.click();
  return true;
}
