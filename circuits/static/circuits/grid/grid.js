// A plan's list as a grid that is driven by keyboard alone. Starts one for every [data-grid] on the page.
import { placeBlock, readBlock, writeBlock } from "./blocks.js";
import { wordsOf } from "./complete.js";
import { settleDispute } from "./dispute.js";
import { Editor } from "./editor.js";
import { command, keysDialog } from "./keys.js";
import { Notes } from "./notes.js";
import { DISPUTED, EDITED, FAULTY, Row, STORED, freeName, inherited } from "./rows.js";
import { Store } from "./store.js";
import { Table } from "./table.js";

const IDLE_MS = 700;
const PAGE_ROWS = 12;

class Grid {
  constructor(place, data) {
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
    frame.addEventListener("dblclick", (event) => { if (event.target.closest("[data-c]") && !this.editor) this.edit(false); });
    frame.addEventListener("copy", (event) => this.copy(event));
    frame.addEventListener("paste", (event) => this.paste(event));
    frame.addEventListener("focusout", (event) => {
      if (!this.moving && event.relatedTarget !== null && !this.place.contains(event.relatedTarget)) this.leave(this.active?.row);
    });
    document.addEventListener("visibilitychange", () => { if (document.hidden) this.leave(this.active?.row, true); });
  }

  // ---- where the person is -------------------------------------------------------------------------------------------

  setActive(row, c, focuses = true, extends_ = false) {
    const left = this.active?.row;
    this.active?.row.element?.querySelector("[tabindex='0']")?.removeAttribute("tabindex");
    this.active = { row, c };
    if (!extends_) this.anchor = { row, c };
    const cell = this.table.cell(row, c);
    cell.tabIndex = 0;
    if (focuses) {
      this.moving = true;
      cell.focus({ preventScroll: true });
      cell.scrollIntoView({ block: "nearest", inline: "nearest" });
      this.moving = false;
    }
    this.paintPicked();
    if (left && left !== row) this.leave(left);
    this.notes.show(row, c);
  }

  // Leaving a row stores it; a new row in which nothing was typed goes away again.
  leave(row, stays = false) {
    if (!row || !this.data.canEdit || !this.rows.includes(row)) return;
    if (row.isBlank && !stays && this.rows.length > 1 && this.active.row !== row) {
      this.rows.splice(this.rows.indexOf(row), 1);
      row.element.remove();
      this.table.number(this.rows);
    } else if (row.isEdited && row.state === EDITED) this.store.save([row]);
  }

  block() {
    const columns = this.table.visible();
    const [r1, r2] = [this.rows.indexOf(this.anchor.row), this.rows.indexOf(this.active.row)].sort((a, b) => a - b);
    const [c1, c2] = [columns.indexOf(this.anchor.c), columns.indexOf(this.active.c)].sort((a, b) => a - b);
    return { rows: this.rows.slice(Math.max(0, r1), r2 + 1), columns: columns.slice(Math.max(0, c1), c2 + 1) };
  }

  paintPicked() {
    for (const cell of this.table.body.querySelectorAll("[aria-selected]")) cell.removeAttribute("aria-selected");
    if (this.anchor.row === this.active.row && this.anchor.c === this.active.c) return;
    const { rows, columns } = this.block();
    for (const row of rows) for (const c of columns) this.table.cell(row, c).setAttribute("aria-selected", "true");
  }

  go(rowBy, columnBy, extends_ = false) {
    const columns = this.table.visible();
    const r = Math.min(this.rows.length - 1, Math.max(0, this.rows.indexOf(this.active.row) + rowBy));
    const c = Math.min(columns.length - 1, Math.max(0, columns.indexOf(this.active.c) + columnBy));
    this.setActive(this.rows[r], columns[c], true, extends_);
  }

  // Next or previous cell to type in; false at the ends of the table, where Tab leaves it.
  tab(by) {
    const columns = this.table.visible().filter((c) => this.table.isInput(c) || !this.data.canEdit);
    let r = this.rows.indexOf(this.active.row);
    let c = columns.indexOf(this.active.c) + by;
    if (columns.indexOf(this.active.c) < 0) c = by > 0 ? columns.length : columns.length - 1;
    if (c >= columns.length) { r += 1; c = 0; }
    if (c < 0) { r -= 1; c = columns.length - 1; }
    if (r < 0 || r >= this.rows.length) return false;
    this.setActive(this.rows[r], columns[c]);
    return true;
  }

  enter() {
    if (!this.table.isInput(this.active.c)) return this.open();
    if (this.active.row !== this.rows.at(-1) || !this.data.canEdit) return this.go(1, 0);
    if (!this.active.row.isBlank) return this.insert();
    return undefined;
  }

  open() {
    const { row } = this.active;
    if (!this.data.urls.open || row.id === null) return;
    this.leave(row, true);
    const address = this.data.urls.open.replace(/\/0\/$/, `/${row.id}/`);
    const wait = (left) => (this.store.sender.isIdle || !left ? location.assign(address) : setTimeout(() => wait(left - 1), 50));
    wait(30);
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

  // ---- changing ------------------------------------------------------------------------------------------------------

  edit(typed) {
    const { row, c } = this.active;
    if (!this.data.canEdit || !this.table.isInput(c) || row.state === DISPUTED) return;
    const column = this.data.columns[c];
    const cell = this.table.cell(row, c);
    this.editor = new Editor({
      cell, column, typed, text: row.cells[c], fixed: this.place,
      label: `${column.label}, ${row.cells[0] || "new row"}`, described: this.notes.helpId,
      words: () => this.words(row, c),
      cancelled: () => { this.editor = null; this.table.paintCell(row, c); },
      done: (text, move, byMouse) => {
        this.editor = null;
        this.change([[row, c, text]]);
        this.table.paintCell(row, c);
        if (!byMouse) this.after(move);
      },
    });
  }

  words(row, c) {
    const column = this.data.columns[c];
    const known = wordsOf(column, this.data.columns, this.rows, this.data.lists, row);
    const named = column.name === "load" && row.cells[0] ? [row.cells[0], ...known.filter((word) => word !== row.cells[0])] : known;
    return named;
  }

  after(move) {
    const acts = {
      enter: () => this.enter(), up: () => this.go(-1, 0), down: () => this.go(1, 0), insert: () => this.insert(), duplicate: () => this.duplicate(),
      forth: () => this.tab(1) || this.focusActive(), back: () => this.tab(-1) || this.focusActive(), store: () => { this.focusActive(); this.storeAll(); },
    };
    (acts[move] ?? (() => this.focusActive()))();
  }

  // Lay texts in cells as one step that can be taken back.
  change(edits) {
    const differing = edits.filter(([row, c, text]) => row.cells[c] !== text);
    if (!differing.length) return;
    const rows = [...new Set(differing.map(([row]) => row))];
    this.history.push({ cells: rows.map((row) => [row, [...row.cells]]), added: [], removed: [] });
    for (const [row, c, text] of differing) {
      row.cells[c] = text;
      row.faults.delete(c);
    }
    rows.forEach((row) => this.touched(row));
  }

  touched(row) {
    if (row.state !== DISPUTED) row.state = row.isEdited ? EDITED : STORED;
    this.table.paintCells(row);
    this.table.paintState(row);
    this.notes.show(this.active.row, this.active.c);
    this.store.keep();
  }

  blankRow(above) {
    return new Row({ cells: inherited(this.data.columns, above) });
  }

  place_(row, index) {
    this.rows.splice(index, 0, row);
    this.table.body.insertBefore(this.table.draw(row), this.table.body.children[index] ?? null);
    this.table.number(this.rows);
    return row;
  }

  insert() {
    const { row } = this.active;
    if (row.isBlank) return this.focusActive();
    const fresh = this.place_(this.blankRow(row), this.rows.indexOf(row) + 1);
    this.history.push({ cells: [], added: [fresh], removed: [] });
    return this.setActive(fresh, 0);
  }

  duplicate() {
    const { row } = this.active;
    const copy = new Row({ cells: row.cells });
    if (this.data.columns[0].provides) copy.cells[0] = freeName(this.rows, 0, row.cells[0]);
    copy.given = null;
    this.place_(copy, this.rows.indexOf(row) + 1);
    this.history.push({ cells: [], added: [copy], removed: [] });
    this.setActive(copy, 0);
    this.touched(copy);
  }

  deleteRows() {
    const { rows } = this.block();
    this.history.push({ cells: [], added: [], removed: rows.map((row) => [row, this.rows.indexOf(row)]) });
    this.takeOut(rows);
    this.say(`${rows.map((row) => row.cells[0] || "new row").join(", ")} taken out. Ctrl + Z puts back.`);
  }

  takeOut(rows) {
    const index = this.rows.indexOf(rows[0]);
    const { c } = this.active;
    for (const row of rows) {
      this.rows.splice(this.rows.indexOf(row), 1);
      row.element.remove();
    }
    if (!this.rows.length) this.place_(this.blankRow(null), 0);
    this.table.number(this.rows);
    this.active = null;
    this.setActive(this.rows[Math.min(index, this.rows.length - 1)], c);
    this.store.remove(rows);
  }

  // Rows the server would not take out: somebody changed them.
  putBack(rows, data) {
    for (const row of rows) this.place_(row, this.rows.length);
    const changed = new Map((data.conflicts ?? []).map((conflict) => [Number(conflict.key), conflict.theirs]));
    for (const row of rows) {
      const theirs = changed.get(row.id);
      if (theirs) Object.assign(row, { version: theirs.version, cells: [...theirs.cells], base: [...theirs.cells] });
      this.table.paintCells(row);
    }
    this.say(data.message ?? `Not taken out: ${rows[0].cells[0]} was changed elsewhere. It now shows what is stored; take it out again if you still want to.`);
  }

  move(by) {
    const { row, c } = this.active;
    const from = this.rows.indexOf(row);
    const to = from + by;
    if (to < 0 || to >= this.rows.length) return;
    this.rows.splice(from, 1);
    this.rows.splice(to, 0, row);
    this.table.body.insertBefore(row.element, this.table.body.children[by > 0 ? to + 1 : to] ?? null);
    this.table.number(this.rows);
    this.setActive(row, c);
    this.store.move(row);
  }

  empty() {
    const { rows, columns } = this.block();
    this.change(rows.flatMap((row) => columns.filter((c) => this.table.isInput(c)).map((c) => [row, c, ""])));
  }

  undo() {
    const step = this.history.pop();
    if (!step) return this.say("Nothing to take back.");
    for (const [row, before] of step.cells) {
      if (!this.rows.includes(row)) continue;
      row.cells = [...before];
      row.faults.clear();
      this.touched(row);
      this.store.save([row]);
    }
    const here = step.added.filter((row) => this.rows.includes(row));
    if (here.length) this.takeOut(here);
    for (const [row, index] of step.removed) {
      if (row.isBlank) continue;
      const again = new Row({ cells: row.cells });
      again.given = null;
      this.setActive(this.place_(again, Math.min(index, this.rows.length)), 0);
      this.store.save([again]);
    }
    return this.say("Taken back.");
  }

  storeAll() {
    this.store.save(this.rows.filter((row) => [EDITED, FAULTY].includes(row.state)));
  }

  // ---- clipboard -----------------------------------------------------------------------------------------------------

  copy(event) {
    if (this.editor) return;
    const { rows, columns } = this.block();
    event.preventDefault();
    event.clipboardData.setData("text/plain", writeBlock(rows.map((row) => columns.map((c) => row.cells[c] ?? this.table.cell(row, c).textContent))));
    this.say(`${rows.length * columns.length} cells copied.`);
  }

  paste(event) {
    if (this.editor || !this.data.canEdit) return;
    event.preventDefault();
    const block = readBlock(event.clipboardData.getData("text/plain"));
    if (!block.length) return;
    if (block.length === 1 && block[0].length === 1) return this.fill(block[0][0]);
    this.pasteBlock(block);
  }

  fill(text) {
    const { rows, columns } = this.block();
    this.change(rows.flatMap((row) => columns.filter((c) => this.table.isInput(c)).map((c) => [row, c, text])));
  }

  pasteBlock(block) {
    const all = this.data.columns.map((_, c) => c);
    const seen = this.table.visible().filter((c) => this.table.isInput(c));
    let placed = placeBlock(block, this.data.columns, seen, this.active.c);
    if (placed.cutOff > 0) placed = placeBlock(block, this.data.columns, all, this.active.c);
    if (placed.cutOff > 0) return this.say(`Not pasted: the block is ${placed.cutOff} columns too wide from here.`);
    if (placed.targets.some((c) => !this.data.columns[c].main)) this.notes.setMore(true);
    const start = this.rows.indexOf(this.active.row);
    const step = { cells: [], added: [], removed: [] };
    const batch = `paste-${Date.now()}`;
    const rows = placed.lines.map((line, i) => {
      const old = this.rows[start + i];
      const row = old ?? this.place_(new Row({ cells: all.map(() => "") }), this.rows.length);
      if (old) step.cells.push([row, [...row.cells]]); else step.added.push(row);
      row.given = null;
      row.batch = batch;
      row.faults.clear();
      placed.targets.forEach((c, j) => { row.cells[c] = line[j] ?? ""; });
      return row;
    });
    this.history.push(step);
    rows.forEach((row) => this.touched(row));
    this.store.save(rows);
    return this.say(`${rows.length} rows pasted.`);
  }

  // ---- what the store tells ------------------------------------------------------------------------------------------

  setRows(rows) {
    const { row, c } = this.active ?? {};
    this.rows = rows;
    const typing = this.editor;
    if (typing) return; // the table is drawn anew once the cell is left: see rowPainted
    this.table.drawAll(rows);
    if (!rows.length) this.place_(this.blankRow(null), 0);
    const had = this.place.contains(document.activeElement) || document.activeElement === document.body;
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

  say(text) {
    this.notes.say(text);
  }
}

for (const place of document.querySelectorAll("[data-grid]")) {
  const grid = new Grid(place, JSON.parse(document.getElementById(`grid-${place.dataset.grid}`).textContent));
  document.addEventListener("click", (event) => {
    const link = event.target.closest("a[data-row]");
    const row = link && place.offsetParent && grid.rows.find(({ id }) => String(id) === link.dataset.row);
    if (!row || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    grid.setActive(row, 0);
  });
}
