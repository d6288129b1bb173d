// A grid, second part: typing in cells; rows made, doubled, moved, taken out and put back.
import { wordsOf } from "./complete.js";
import { Editor } from "./editor.js";
import { DISPUTED, EDITED, FAULTY, Row, STORED, freeName, inherited } from "./rows.js";
import { Walking } from "./walking.js";

export class Changing extends Walking {
  edit(typed) {
    const { row, c } = this.active;
    if (!this.data.canEdit || !this.table.isInput(c) || row.state === DISPUTED) return;
    const column = this.data.columns[c];
    const cell = this.table.cell(row, c);
    cell.removeAttribute("tabindex"); // the input in it is the one target
    this.editor = new Editor({
      cell, column, typed, text: row.cells[c], fixed: this.place,
      label: `${column.label}, ${row.cells[0] || "new row"}`, described: this.notes.helpId,
      words: () => this.words(row, c),
      cancelled: () => { this.closed(row, c); },
      done: (text, move, byMouse) => {
        this.editor = null;
        this.change([[row, c, text]]);
        this.closed(row, c);
        if (!byMouse) this.after(move);
      },
    });
  }

  // The input is gone from its cell; a list that came in meanwhile is shown.
  closed(row, c) {
    this.editor = null;
    this.table.paintCell(row, c);
    if (this.active.row === row && this.active.c === c) this.table.cell(row, c).tabIndex = 0;
    const { later } = this;
    this.later = null;
    if (later) this.setRows(later);
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

  putIn(row, index) {
    this.rows.splice(index, 0, row);
    this.table.body.insertBefore(this.table.draw(row), this.table.body.children[index] ?? null);
    this.table.number(this.rows);
    return row;
  }

  insert() {
    const { row } = this.active;
    if (row.isBlank) return this.focusActive();
    const fresh = this.putIn(this.blankRow(row), this.rows.indexOf(row) + 1);
    this.history.push({ cells: [], added: [fresh], removed: [] });
    return this.setActive(fresh, 0);
  }

  duplicate() {
    const { row } = this.active;
    const copy = new Row({ cells: row.cells });
    if (this.data.columns[0].provides) copy.cells[0] = freeName(this.rows, 0, row.cells[0]);
    copy.given = null;
    this.putIn(copy, this.rows.indexOf(row) + 1);
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
      row.wasAt = this.rows.indexOf(row);
      this.rows.splice(this.rows.indexOf(row), 1);
      row.element.remove();
    }
    if (!this.rows.length) this.putIn(this.blankRow(null), 0);
    this.table.number(this.rows);
    this.active = null;
    this.setActive(this.rows[Math.min(index, this.rows.length - 1)], c);
    this.store.remove(rows);
  }

  // Rows the server would not take out: somebody changed them.
  putBack(rows, data) {
    for (const row of [...rows].reverse()) this.putIn(row, Math.min(row.wasAt, this.rows.length));
    const changed = new Map((data.conflicts ?? []).map((conflict) => [Number(conflict.key), conflict.theirs]));
    for (const row of rows) {
      const theirs = changed.get(row.id);
      if (theirs) Object.assign(row, { version: theirs.version, cells: [...theirs.cells], base: [...theirs.cells] });
      this.table.paintCells(row);
    }
    this.say(data.message ?? `Not taken out: ${rows[0].cells[0]} was changed elsewhere. It now shows what is stored; take it out again if you still want to.`, true);
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
      this.setActive(this.putIn(again, Math.min(index, this.rows.length)), 0);
      this.store.save([again]);
    }
    return this.say("Taken back.");
  }

  storeAll() {
    this.store.save(this.rows.filter((row) => [EDITED, FAULTY].includes(row.state)));
  }
}
