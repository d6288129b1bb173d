// Every key of the grid, once: what it does, and how the list of keys names it.
import { make } from "./table.js";

export const KEYS = [
  ["Arrows, Home, End", "go to a cell; with Shift: pick a block of cells"],
  ["Ctrl + Home, Ctrl + End", "first row, last row"],
  ["Enter", "one row down; on the last row: a new row"],
  ["Tab, Shift + Tab", "next cell, cell before"],
  ["any letter or figure", "write over the cell"],
  ["F2", "change what the cell holds"],
  ["↓ ↑ while writing", "choose among the words offered; Enter or Tab takes the one picked"],
  ["Escape", "leave the cell as it was; then Tab leaves the table"],
  ["Delete", "empty the cells picked"],
  ["Ctrl + Enter", "new row below this one"],
  ["Ctrl + D", "the row once more, below"],
  ["Ctrl + Delete", "take the row out"],
  ["Alt + ↑, Alt + ↓", "move the row"],
  ["Ctrl + C, Ctrl + V", "copy and paste blocks, also from and to a spreadsheet"],
  ["Ctrl + Z", "take the last change back"],
  ["Ctrl + S", "store all rows now; a row is also stored when you leave it"],
  ["F8", "show or fold away the columns seldom used"],
  ["Enter on a result", "open the circuit: its wires, and why they are so"],
  ["?", "this list"],
];

export function keysDialog() {
  const dialog = make("dialog", "key-list");
  dialog.setAttribute("aria-labelledby", "key-list-title");
  dialog.innerHTML = `<form method="dialog"><h2 id="key-list-title">Keys</h2><dl>${KEYS.map(([keys, does]) =>
    `<div><dt>${keys.split(", ").map((key) => `<kbd>${key}</kbd>`).join(", ")}</dt><dd>${does}</dd></div>`).join("")}</dl>
    <p class="quiet">On a Mac keyboard ⌘ does what Ctrl does.</p><button class="button button-main" autofocus>Close</button></form>`;
  document.body.append(dialog);
  return dialog;
}

// The name of the command that a key press stands for outside of a cell being typed in; "" for none, "type" for text.
export function command(event) {
  const ctrl = event.ctrlKey || event.metaKey;
  const { key } = event;
  if (event.isComposing || key === "Process" || key === "Dead") return "type";
  if (event.altKey && !ctrl) return { ArrowUp: "move up", ArrowDown: "move down" }[key] ?? "";
  if (ctrl) {
    return {
      Home: "first row", End: "last row", Enter: "insert", d: "duplicate", D: "duplicate", Delete: "delete row", Backspace: "delete row",
      z: "undo", Z: "undo", s: "store", S: "store", a: "pick all", A: "pick all",
    }[key] ?? "";
  }
  const named = {
    ArrowUp: "up", ArrowDown: "down", ArrowLeft: "left", ArrowRight: "right", Home: "home", End: "end", PageUp: "page up", PageDown: "page down",
    Enter: "enter", Tab: event.shiftKey ? "back" : "forth", F2: "edit", Escape: "escape", Delete: "empty", Backspace: "empty", F8: "more", "?": "keys",
  }[key];
  if (named) return named;
  return key.length === 1 ? "type" : "";
}
