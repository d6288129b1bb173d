// Carries changes to the server, one request at a time and in order; waits and tries again where it does not answer.

const AGAIN_MS = 4000;
const KEPT_ALIVE = 30000; // browsers keep requests alive up to 64 KB in all

export class Sender {
  // `report(trouble)` is told "" when the server answers, else in words why it does not.
  constructor(report) {
    this.report = report;
    this.queue = [];
    this.busy = false;
    addEventListener("online", () => this.run());
  }

  get isIdle() {
    return !this.busy && this.queue.length === 0;
  }

  // `body` is called when its turn comes, so that it sees ids which earlier answers brought; null = nothing to send.
  put(url, body, answered) {
    this.queue.push({ url, body, answered });
    this.run();
  }

  async run() {
    clearTimeout(this.timer);
    if (this.busy) return;
    this.busy = true;
    while (this.queue.length) {
      const { url, body, answered } = this.queue[0];
      const content = body();
      if (content) {
        const { status, data, trouble } = await post(url, content);
        this.report(trouble);
        if (trouble) {
          this.timer = setTimeout(() => this.run(), AGAIN_MS);
          break;
        }
        this.queue.shift();
        answered(status, data);
      } else this.queue.shift();
    }
    this.busy = false;
  }
}

async function post(url, content) {
  let response;
  const body = JSON.stringify(content);
  try {
    response = await fetch(url, {
      method: "POST",
      keepalive: body.length < KEPT_ALIVE, // arrives even where the page is left at once
      redirect: "manual",
      headers: { "Content-Type": "application/json", "X-CSRFToken": token(), "X-Requested-With": "fetch" },
      body,
    });
  } catch {
    return { trouble: "The server does not answer." };
  }
  if (response.type === "opaqueredirect") return { trouble: "You are logged out: log in again in another window." };
  if (response.status === 403) return { trouble: "The server does not accept changes from this log-in: log in again in another window." };
  if (response.status >= 500) return { trouble: `The server failed (${response.status}).` };
  try {
    return { status: response.status, data: await response.json(), trouble: "" };
  } catch {
    if (response.status >= 400) return { status: response.status, data: { message: `The server refused this (${response.status}).` }, trouble: "" };
    return { trouble: `The server's answer makes no sense (${response.status}).` };
  }
}

// The cookie is read each time: a new log-in in another window changes it.
function token() {
  const cookie = document.cookie.split("; ").find((part) => part.startsWith("csrftoken="));
  return cookie ? cookie.slice("csrftoken=".length) : document.querySelector("[name=csrfmiddlewaretoken]")?.value ?? "";
}
