// What stands around the table: the state of storing, help for the cell in hand, faults and findings of the row in hand.
import { DISPUTED, FAULTY, WAITING } from "./rows.js";
import { make } from "./table.js";

const SEVERITIES = { error: "Error", warning: "Warning", note: "Note" };

export class Notes {
  constructor(grid, place) {
    this.grid = grid;
    this.bar = make("div", "grid-bar");
    this.state = make("p", "grid-state");
    this.state.setAttribute("role", "status");
    this.said = make("p", "grid-said");
    this.said.setAttribute("role", "status");
    const seldom = grid.data.columns.filter((column) => !column.main).length;
    this.more = make("button", "button", `Show ${seldom} more columns`);
    this.more.setAttribute("aria-pressed", "false");
    this.more.addEventListener("click", () => this.toggleMore());
    const keys = make("button", "button", "Keys");
    keys.addEventListener("click", () => grid.showKeys());
    for (const button of [this.more, keys]) button.type = "button";
    this.bar.append(this.state, this.said, ...(seldom ? [this.more] : []), keys);
    this.help = make("p", "grid-help");
    this.help.id = `${grid.data.name}-help`;
    this.row = make("div", "row-notes");
    this.list = make("ul", "grid-troubles plain-list");
    place.prepend(this.bar);
    place.append(this.help, this.row, this.list);
    grid.table.table.setAttribute("aria-describedby", this.help.id);
  }

  get helpId() {
    return this.help.id;
  }

  toggleMore() {
    this.setMore(!this.grid.table.showsMore);
  }

  setMore(shows) {
    this.grid.table.setMore(shows);
    this.more.setAttribute("aria-pressed", String(shows));
    const { row, c } = this.grid.active;
    if (!this.grid.table.visible().includes(c)) this.grid.setActive(row, 0);
  }

  // What was just done; a trouble stays until the server has taken something.
  say(text, isTrouble = false) {
    this.said.textContent = text;
    this.saysTrouble = isTrouble;
    clearTimeout(this.timer);
    if (!isTrouble) this.timer = setTimeout(() => { this.said.textContent = ""; }, 8000);
  }

  unsay() {
    if (this.saysTrouble) this.say("");
  }

  show(row, c) {
    this.help.textContent = row.faults.get(c) ?? this.helpFor(c);
    this.help.classList.toggle("is-fault", row.faults.has(c));
    const faults = [...row.faults.values()].map((message) => line("error", "Cannot be read", message, ""));
    const findings = (row.result?.findings ?? []).map(([severity, message, cure]) => line(severity, SEVERITIES[severity], message, cure));
    const head = make("h2", "", row.cells[0] || `New ${this.grid.data.one}`);
    const address = this.grid.address(row);
    if (address) {
      const link = make("a", "", "wires, and why they are so");
      link.href = address;
      head.append(": ", link);
    }
    const list = make("ul", "findings");
    list.append(...faults, ...findings);
    this.row.replaceChildren(...(address || faults.length ? [head, list] : []));
  }

  helpFor(c) {
    const column = this.grid.data.columns[c];
    if (!column) return this.grid.data.urls.open ? "Enter opens the circuit: its wires, and why they are so." : "";
    return `${column.label}: ${column.help}${column.choices ? ` One of ${column.choices.join(", ")}.` : ""}`;
  }

  // The state of storing in words, and every row that waits for the person.
  troubles() {
    const { rows, store } = this.grid;
    const unstored = store?.unstored ?? [];
    const waiting = rows.filter((row) => row.state === WAITING).length;
    if (store?.trouble) {
      this.state.textContent = `${store.trouble} ${count(Math.max(waiting, unstored.length))} kept in this browser and sent again by itself.`;
    } else if (!this.grid.data.canEdit) this.state.textContent = "You may read this plan, not change it.";
    else this.state.textContent = unstored.length ? `${count(unstored.length)} not yet stored.` : "All rows are stored.";
    this.bar.classList.toggle("in-trouble", Boolean(store?.trouble));
    const open = rows.flatMap((row) => (row.state === FAULTY ? [...row.faults].map(([c, message]) => this.trouble(row, c, message))
      : row.state === DISPUTED ? [this.trouble(row, 0, "changed elsewhere while you changed it", true)] : []));
    this.list.replaceChildren(...open);
  }

  trouble(row, c, message, disputed = false) {
    const item = make("li");
    const button = make("button", "plain", `Row ${this.grid.rows.indexOf(row) + 1}${row.cells[0] ? `, ${row.cells[0]}` : ""}`);
    button.type = "button";
    button.addEventListener("click", () => (disputed ? this.grid.settle(row) : this.grid.setActive(row, c)));
    item.append(button, ` ${message}.`);
    return item;
  }
}

const count = (n) => (n === 1 ? "1 row is" : `${n} rows are`);

function line(severity, word, message, cure) {
  const item = make("li", `finding ${severity}`);
  const text = make("span", "finding-text", message);
  if (cure) text.append(" ", make("span", "cure", cure));
  item.append(make("span", "finding-word", word), text);
  return item;
}
