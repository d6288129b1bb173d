// One cell being typed in: an input over the cell, and the list of words it may be completed to.
import { lastPart, offers } from "./complete.js";
import { make } from "./table.js";

let made = 0;

export class Editor {
  // `done(text, move)` is told what was typed and where to go; `words()` gives the words of the cell's column.
  constructor({ cell, column, text, label, described, typed, words, done, cancelled, fixed }) {
    Object.assign(this, { cell, column, words, done, cancelled, typed, before: text });
    made += 1;
    this.input = make("input", "cell-input");
    this.input.type = "text";
    this.input.value = typed ? "" : text;
    this.shown = this.input.value; // a line of input drops the line breaks a text may have
    this.input.setAttribute("aria-label", label);
    if (described) this.input.setAttribute("aria-describedby", described);
    if (column.figure) this.input.inputMode = "decimal";
    this.input.autocomplete = "off";
    this.input.spellcheck = false;
    this.list = make("ul", "words");
    this.list.id = `words-${made}`;
    this.list.setAttribute("role", "listbox");
    this.list.setAttribute("aria-label", column.label);
    this.list.hidden = true;
    this.picked = -1;
    this.offered = [];
    if (words().length || column.choices || column.list) this.asCombobox();
    cell.textContent = "";
    cell.append(this.input);
    fixed.append(this.list);
    this.input.focus({ preventScroll: true });
    if (!typed) this.input.setSelectionRange(text.length, text.length);
    this.input.addEventListener("input", () => this.offer(true));
    this.input.addEventListener("blur", () => this.close(true));
    this.list.addEventListener("mousedown", (event) => this.press(event));
    if (!typed && !text && this.input.getAttribute("role")) this.offer(false);
  }

  asCombobox() {
    for (const [name, value] of [["role", "combobox"], ["aria-autocomplete", "list"], ["aria-expanded", "false"], ["aria-controls", this.list.id]]) {
      this.input.setAttribute(name, value);
    }
  }

  offer(picksFirst) {
    if (!this.input.getAttribute("role")) return;
    const { part } = lastPart(this.column, this.input.value);
    this.offered = offers(part, this.words());
    if (this.offered.length === 1 && this.offered[0] === part) this.offered = [];
    this.list.replaceChildren(...this.offered.map((word, i) => {
      const item = make("li", "", word);
      item.setAttribute("role", "option");
      item.id = `${this.list.id}-${i}`;
      return item;
    }));
    this.pick(picksFirst && this.column.first && part.trim() && this.offered.length ? 0 : -1);
    this.show(this.offered.length > 0);
  }

  show(shows) {
    this.list.hidden = !shows;
    this.input.setAttribute("aria-expanded", String(shows));
    if (!shows) return;
    const box = this.cell.getBoundingClientRect();
    this.list.style.minWidth = `${box.width}px`;
    this.list.style.left = `${Math.max(4, Math.min(box.left, innerWidth - this.list.offsetWidth - 4))}px`;
    const below = box.bottom + this.list.offsetHeight < innerHeight - 8;
    this.list.style.top = below ? `${box.bottom}px` : `${box.top - this.list.offsetHeight}px`;
  }

  get isListed() {
    return !this.list.hidden;
  }

  pick(index) {
    this.picked = index;
    [...this.list.children].forEach((item, i) => item.setAttribute("aria-selected", String(i === index)));
    if (index >= 0) {
      this.input.setAttribute("aria-activedescendant", `${this.list.id}-${index}`);
      this.list.children[index].scrollIntoView({ block: "nearest" });
    } else this.input.removeAttribute("aria-activedescendant");
  }

  // Up and down: through the list where there is one.
  step(by) {
    if (!this.isListed) {
      if (this.typed || !this.input.getAttribute("role")) return false;
      this.offer(false);
    }
    const count = this.offered.length;
    if (count) this.pick((this.picked + by + count + (this.picked < 0 && by < 0 ? 1 : 0)) % count);
    return true;
  }

  press(event) {
    event.preventDefault();
    const index = [...this.list.children].indexOf(event.target.closest("li"));
    if (index < 0) return;
    this.pick(index);
    this.finish(null);
  }

  // What stands in the cell once the picked word is taken.
  get text() {
    if (!this.typed && this.input.value === this.shown && this.picked < 0) return this.before;
    const typed = this.input.value.trim();
    if (!this.isListed || this.picked < 0) return typed;
    return `${lastPart(this.column, this.input.value).head}${this.offered[this.picked]}`.trim();
  }

  // Escape: first the list goes, then the edit. True where the edit is over.
  escape() {
    if (this.isListed && this.picked >= 0) {
      this.pick(-1);
      this.show(false);
      return false;
    }
    this.close(false);
    this.cancelled();
    return true;
  }

  finish(move) {
    const { text } = this;
    this.close(false);
    this.done(text, move);
  }

  // Leaving by mouse or by another window keeps what was typed as it stands.
  close(keeps) {
    if (this.closed) return;
    this.closed = true;
    const text = !this.typed && this.input.value === this.shown ? this.before : this.input.value.trim();
    this.list.remove();
    this.input.remove();
    if (keeps) this.done(text, null, true);
  }
}
