// Asking the server: JSON with the token of the page. Where the server is away, says so and waits until it is back.

const token = document.querySelector('meta[name="firstcap-token"]').content;
const banner = document.getElementById("banner");
const said = document.getElementById("said");

/** Say a thing to the eye and to a screen reader; it stays until the next one. */
export function say(text) {
  said.textContent = text;
}

async function comeBack() {
  banner.hidden = false;
  banner.textContent = "The server does not answer. What was saved is saved; this page goes on as soon as it is back.";
  for (;;) {
    await new Promise((resolve) => setTimeout(resolve, 700));
    try {
      if ((await fetch("/health", { cache: "no-store" })).ok) break;
    } catch {
      // still away
    }
  }
  location.reload();
  return new Promise(() => {}); // the page is on its way
}

/** POST `body` and give {status, ...answer}. The answer's `refused` or `say` tells why a thing was not done. */
export async function ask(path, body) {
  let answer;
  try {
    answer = await fetch(path, {
      method: "POST",
      headers: { "content-type": "application/json", "x-firstcap-token": token },
      body: JSON.stringify(body),
    });
  } catch {
    return comeBack();
  }
  if (answer.status === 403) {
    // The server was started again and has another token: the page as it now is has it.
    location.reload();
    return new Promise(() => {});
  }
  const isJson = (answer.headers.get("content-type") || "").startsWith("application/json");
  const told = isJson ? await answer.json() : { say: `Not done: ${(await answer.text()).trim() || answer.statusText}` };
  return { status: answer.status, ...told };
}

const signer = document.querySelector('[data-form="reviewer"]');

async function sign(event) {
  event.preventDefault();
  const told = await ask("/acts/reviewer", { reviewer: signer.elements.reviewer.value });
  say(told.refused || told.say);
}

signer.addEventListener("submit", sign);
signer.addEventListener("change", sign);
