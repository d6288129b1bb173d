// A plan's list as a grid that is driven by keyboard alone. Starts one for every [data-grid] on the page.
import { lookAgain } from "./anew.js";
import { settleDispute } from "./dispute.js";
import { command, keysDialog } from "./keys.js";
import { Notes } from "./notes.js";
import { Pasting } from "./pasting.js";
import { DISPUTED, EDITED, Row, STORED } from "./rows.js";
import { Store } from "./store.js";
import { Table } from "./table.js";

const IDLE_MS = 700;
const PAGE_ROWS = 12;

class Grid extends Pasting {
  constructor(place, data) {
    super();
    this.place = place;
    this.data = data;
    this.table = new Table(data, place);
    this.notes = new Notes(this, place);
    this.rows = data.rows.map((row) => new Row(row));
    this.history = [];
    this.active = null; // { row, c }
    this.anchor = null;
    this.editor = null;
    this.lastKeyAt = 0;
    this.store = new Store(this);
    const kept = data.canEdit ? this.store.restore() : [];
    if (data.canEdit && !this.rows.length) this.rows.push(this.blankRow(null));
    this.table.drawAll(this.rows);
    if (this.rows.length) this.setActive(this.rows[0], 0, false);
    this.listen();
    place.hidden = false;
    if (kept.length) {
      this.say(`${kept.length} rows typed here earlier were not yet stored; they are sent now.`);
      this.store.save(kept);
    }
    this.troubles();
  }

  listen() {
    const { frame } = this.table;
    frame.addEventListener("keydown", (event) => this.pressed(event));
    frame.addEventListener("mousedown", (event) => this.clicked(event));
    frame.addEventListener("dblclick", (event) => this.doubleClicked(event));
    frame.addEventListener("copy", (event) => this.copy(event));
    frame.addEventListener("paste", (event) => this.paste(event));
    frame.addEventListener("focusout", () => setTimeout(() => this.lostFocus()));
    document.addEventListener("visibilitychange", () => { if (document.hidden) this.leave(this.active?.row, true); });
  }

  // The person went elsewhere on the page, or nowhere in particular.
  lostFocus() {
    const now = document.activeElement;
    if (this.place.contains(now) || document.querySelector("dialog[open]")) return;
    this.leave(this.active?.row, now === document.body);
  }

  // ---- keys and mouse ------------------------------------------------------------------------------------------------

  pressed(event) {
    this.lastKeyAt = Date.now();
    if (this.editor) return this.pressedInEditor(event);
    const name = command(event);
    const act = this.acts(event)[name];
    if (!act || !event.target.closest("[data-c]")) return undefined;
    if (act() !== false) event.preventDefault();
    return undefined;
  }

  acts(event) {
    const more = event.shiftKey;
    const reading = {
      up: () => this.go(-1, 0, more), down: () => this.go(1, 0, more), left: () => this.go(0, -1, more), right: () => this.go(0, 1, more),
      home: () => this.go(0, -999, more), end: () => this.go(0, 999, more), "page up": () => this.go(-PAGE_ROWS, 0, more), "page down": () => this.go(PAGE_ROWS, 0, more),
      "first row": () => this.go(-1e6, -999, more), "last row": () => this.go(1e6, 0, more), "pick all": () => this.pickAll(),
      enter: () => this.enter(), forth: () => !this.escaped && this.tab(1), back: () => !this.escaped && this.tab(-1), more: () => this.notes.toggleMore(),
      keys: () => this.showKeys(), escape: () => this.escape(),
    };
    if (event.key !== "Escape" && event.key !== "Tab" && event.key !== "Shift") this.escaped = false;
    if (!this.data.canEdit) return reading;
    return {
      ...reading,
      edit: () => this.edit(false), type: () => { this.edit(true); return false; }, empty: () => this.empty(), insert: () => this.insert(),
      duplicate: () => this.duplicate(), "delete row": () => this.deleteRows(), "move up": () => this.move(-1), "move down": () => this.move(1),
      undo: () => this.undo(), store: () => this.storeAll(),
    };
  }

  pressedInEditor(event) {
    const { editor } = this;
    const name = event.isComposing ? "" : command(event);
    const act = {
      up: () => editor.step(-1) || editor.typed && editor.finish("up"), down: () => editor.step(1) || editor.typed && editor.finish("down"),
      enter: () => editor.finish("enter"), forth: () => editor.finish("forth"), back: () => editor.finish("back"), insert: () => editor.finish("insert"),
      store: () => editor.finish("store"), escape: () => { if (editor.escape()) this.focusActive(); }, duplicate: () => editor.finish("duplicate"),
    }[name];
    if (!act) return;
    if (act() !== false) event.preventDefault();
  }

  // Escape, then Tab: the way out of the table.
  escape() {
    this.escaped = true;
    this.setActive(this.active.row, this.active.c);
    this.say("Tab now leaves the table.");
  }

  clicked(event) {
    const cell = event.target.closest("[data-c]");
    if (!cell || cell.querySelector("input") || event.target.closest("a")) return;
    event.preventDefault();
    const { row } = cell.parentElement;
    const c = Number(cell.dataset.c);
    const again = this.active.row === row && this.active.c === c && document.activeElement === cell;
    if (this.editor) this.editor.finish(null);
    this.setActive(row, c, true, event.shiftKey);
    if (again && matchMedia("(pointer: coarse)").matches) this.edit(false);
  }

  doubleClicked(event) {
    if (!event.target.closest("[data-c]") || this.editor) return;
    if (this.table.isInput(this.active.c)) this.edit(false);
    else this.open();
  }

  focusActive() {
    this.setActive(this.active.row, this.active.c);
  }

  showKeys() {
    this.keyList ??= keysDialog();
    this.keyList.showModal();
  }

  pickAll() {
    const columns = this.table.visible();
    this.anchor = { row: this.rows[0], c: columns[0] };
    this.setActive(this.rows.at(-1), columns.at(-1), true, true);
  }

  // ---- what the store tells ------------------------------------------------------------------------------------------

  // `merged` gives the rows of another list; the table is drawn anew once nobody types in it.
  setRows(merged, focuses = true) {
    if (this.editor) {
      this.later = merged;
      return;
    }
    const { row, c } = this.active ?? {};
    this.rows = merged();
    this.table.drawAll(this.rows);
    if (!this.rows.length) this.putIn(this.blankRow(null), 0);
    const had = this.place.contains(document.activeElement) || (focuses && document.activeElement === document.body);
    this.active = null;
    this.setActive(this.rows.includes(row) ? row : this.rows[0], c ?? 0, had && Boolean(row));
  }

  rowPainted(row) {
    if (!row.element || !this.rows.includes(row)) return;
    this.table.paintCells(row);
    this.table.paintState(row);
    this.notes.show(this.active.row, this.active.c);
  }

  dispute(row) {
    const wait = () => {
      if (this.editor || Date.now() - this.lastKeyAt < IDLE_MS || document.querySelector("dialog[open]")) setTimeout(wait, 200);
      else if (row.state === DISPUTED) this.settle(row);
    };
    wait();
  }

  async settle(row) {
    const theirs = row.theirs === "gone" ? null : row.theirs;
    const { cells, drop } = await settleDispute({ one: this.data.one, columns: this.data.columns, row, theirs });
    if (drop) this.takeOut([Object.assign(row, { id: null })]);
    if (cells) {
      if (theirs) Object.assign(row, { version: theirs.version, base: [...theirs.cells] });
      else Object.assign(row, { id: null, base: null, version: 0 });
      Object.assign(row, { cells, theirs: null, state: EDITED });
      if (!row.isEdited) row.state = STORED;
      this.rowPainted(row);
      this.store.save([row]);
      this.store.keep();
    }
    this.focusActive();
  }

  // Something of this list was stored: the rest of the page follows.
  stored() {
    lookAgain(grids, this);
  }

  summary(html) {
    const old = document.getElementById("plan-summary");
    if (!old || !html) return;
    const holder = document.createElement("template");
    holder.innerHTML = html;
    old.replaceWith(holder.content.querySelector("#plan-summary"));
  }

  troubles() {
    this.notes?.troubles();
  }

  say(text, isTrouble = false) {
    this.notes.say(text, isTrouble);
  }
}

const grids = [];

function start(place) {
  const grid = new Grid(place, JSON.parse(document.getElementById(`grid-${place.dataset.grid}`).textContent));
  grids.push(grid);
  document.addEventListener("click", (event) => {
    const link = event.target.closest("a[data-row]");
    const row = link && place.offsetParent && grid.rows.find(({ id }) => String(id) === link.dataset.row);
    if (!row || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    grid.setActive(row, 0);
  });
}

// A narrow window shows the list instead: the grid is made when there is room for it.
const roomy = matchMedia("(min-width: 48rem)");
function startAll() {
  if (!roomy.matches) return;
  roomy.removeEventListener("change", startAll);
  document.querySelectorAll("[data-grid]").forEach(start);
}
roomy.addEventListener("change", startAll);
startAll();
