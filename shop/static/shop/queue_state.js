// Says in words what is still on this phone, and what the server would not take.
const clock = (made) => new Date(made).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" });
const TROUBLE = {
  network: "No network: it goes by itself when the network is back.",
  "log in": "Log in again and load this page: it goes then.",
};

function line(item, more) {
  const row = document.createElement("li");
  const typed = item.fields.filter(([name]) => ["typed", "does", "what", "circuit"].includes(name)).map(([, value]) => value).join(", ");
  row.textContent = [`${clock(item.made)} ${item.words}`, typed, more].filter(Boolean).join(": ");
  return row;
}

export function showState({ mine, aside, trouble, onForget }) {
  const place = document.querySelector("[data-queue-state]");
  if (!place) return;
  place.querySelectorAll(".queue-note").forEach((note) => note.remove());
  if (mine.length && trouble) place.append(note(`Kept on this phone, not sent yet: ${mine.length}. ${TROUBLE[trouble]}`, mine.map((item) => line(item))));
  if (aside.length) {
    const rows = aside.map((item) => {
      const row = line(item, item.why);
      const button = document.createElement("button");
      button.type = "button";
      button.className = "button";
      button.textContent = "Seen";
      button.addEventListener("click", () => onForget(item.key));
      row.append(" ", button);
      return row;
    });
    place.append(note("Not taken:", rows));
  }
}

function note(words, rows) {
  const box = document.createElement("div");
  box.className = "queue-note";
  const said = document.createElement("p");
  said.textContent = words;
  const list = document.createElement("ul");
  list.append(...rows);
  box.append(said, list);
  return box;
}
