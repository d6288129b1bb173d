// Between the rows on the page and the server: sends rows, takes answers in, keeps drafts of what is not yet stored.
import { Drafts } from "./drafts.js";
import { DISPUTED, EDITED, FAULTY, Row, SENDING, STORED, WAITING, mergeList } from "./rows.js";
import { Sender } from "./sender.js";

export class Store {
  // `grid` has rows, data, table; and is told: rowsChanged(), troubles(), summary(html), gone(row)
  constructor(grid) {
    this.grid = grid;
    this.trouble = "";
    this.sender = new Sender((trouble) => this.report(trouble));
    const { plan, name, person } = grid.data;
    this.drafts = new Drafts(`loomwright.${plan}.${name}.${person}`, grid.data.columns);
  }

  report(trouble) {
    this.trouble = trouble;
    for (const row of this.grid.rows) {
      if (trouble && row.state === SENDING) row.state = WAITING;
      if (!trouble && row.state === WAITING) row.state = SENDING;
      this.grid.table.paintState(row);
    }
    this.grid.troubles();
  }

  keep() {
    this.drafts.keep(this.grid.rows);
    this.grid.troubles();
  }

  get unstored() {
    return this.grid.rows.filter((row) => row.isUnstored && row.isEdited);
  }

  // Rows of one paste go together; rows in dispute wait for the person.
  save(rows) {
    const wanted = new Set();
    for (const row of rows) {
      for (const other of row.batch ? this.grid.rows.filter(({ batch }) => batch === row.batch) : [row]) wanted.add(other);
    }
    const sending = [...wanted].filter((row) => this.mayGo(row));
    if (!sending.length) return;
    sending.forEach((row) => this.mark(row, this.trouble ? WAITING : SENDING));
    let sent;
    this.sender.put(this.grid.data.urls.save, () => {
      sent = sending.filter((row) => this.mayGo(row)).map((row) => ({ row, cells: [...row.cells] }));
      return sent.length ? { known: this.grid.data.version, rows: sent.map(({ row }) => this.described(row)) } : null;
    }, (status, data) => this.answered(status, data, sent));
    this.keep();
  }

  mayGo(row) {
    return this.grid.rows.includes(row) && row.isEdited && !row.isBlank && row.state !== DISPUTED;
  }

  described(row) {
    const { columns } = this.grid.data;
    const { rows } = this.grid;
    const before = rows.slice(0, rows.indexOf(row)).reverse().find((other) => other.id !== null || other.batch === row.batch && row.batch);
    return {
      key: row.key, id: row.id, version: row.version, after: before ? before.id ?? before.key : 0,
      cells: Object.fromEntries(columns.map((column, c) => [column.name, row.cells[c]])),
    };
  }

  mark(row, state) {
    row.state = state;
    this.grid.table.paintState(row);
  }

  answered(status, data, sent) {
    if (status === 200) {
      this.grid.notes.unsay();
      for (const { row, cells } of sent) {
        if (data.rows[row.key]) row.settle(data.rows[row.key], cells);
      }
      this.takeIn(data);
      this.remove(sent.map(({ row }) => row).filter((row) => !this.grid.rows.includes(row))); // taken out while under way
    } else {
      sent.forEach(({ row }) => this.mark(row, EDITED));
      const byKey = new Map(sent.map(({ row }) => [row.key, row]));
      for (const fault of data.faults ?? []) this.faulty(byKey.get(fault.key), fault);
      for (const conflict of data.conflicts ?? []) this.disputed(byKey.get(conflict.key), conflict.theirs);
      if (data.message) this.grid.say(data.message, true);
      if (data.faults) this.grid.say(`Nothing stored: ${data.faults[0].message}${data.faults.length > 1 ? `, and ${data.faults.length - 1} more` : ""}.`, true);
    }
    sent.forEach(({ row }) => this.grid.rowPainted(row));
    this.keep();
  }

  faulty(row, { column, message }) {
    if (!row) return;
    const c = this.grid.data.columns.findIndex(({ name }) => name === column);
    row.faults.set(Math.max(0, c), message);
    this.mark(row, FAULTY);
  }

  disputed(row, theirs) {
    if (!row) return;
    if (theirs && theirs.cells.every((text, c) => text === row.cells[c])) { // the same edit, stored before
      row.settle(theirs, row.cells);
      this.mark(row, row.state);
      return;
    }
    row.theirs = theirs ?? "gone";
    this.mark(row, DISPUTED);
    this.grid.dispute(row);
  }

  // Everything an answer tells besides the rows sent.
  takeIn(data) {
    const { grid } = this;
    grid.data.version = data.version;
    Object.assign(grid.data.drawn, data.drawn);
    grid.data.lists = data.lists;
    if (data.list) {
      grid.setRows(() => mergeList(grid.rows, data.list));
    } else {
      const byId = new Map(grid.rows.map((row) => [row.id, row]));
      for (const other of data.others) {
        const row = byId.get(other.id);
        if (row?.state === STORED) Object.assign(row, { version: other.version, base: [...other.cells], cells: [...other.cells] });
        if (row) grid.table.paintCells(row);
      }
      for (const [id, result] of Object.entries(data.results)) {
        const row = byId.get(Number(id));
        if (!row) continue;
        row.result = result;
        grid.table.paintResult(row);
      }
    }
    grid.summary(data.summary);
    grid.stored();
  }

  // The list as another grid's change has left it.
  bring(data) {
    this.grid.data.version = data.version;
    Object.assign(this.grid.data.drawn, data.drawn);
    this.grid.data.lists = data.lists;
    this.grid.setRows(() => mergeList(this.grid.rows, data.rows), false);
  }

  remove(rows) {
    const stored = rows.filter((row) => row.id !== null);
    this.keep();
    if (!stored.length) return;
    this.sender.put(this.grid.data.urls.delete, () => ({
      known: this.grid.data.version, rows: stored.map(({ id, version }) => ({ id, version })),
    }), (status, data) => {
      if (status === 200) this.takeIn(data);
      else this.grid.putBack(stored, data);
    });
  }

  move(row) {
    this.sender.put(this.grid.data.urls.move, () => {
      const { rows } = this.grid;
      if (row.id === null || !rows.includes(row)) return null;
      const before = rows.slice(0, rows.indexOf(row)).reverse().find((other) => other.id !== null);
      return { known: this.grid.data.version, id: row.id, after: before ? before.id : 0 };
    }, (status, data) => { if (status === 200) this.takeIn(data); });
  }

  // Rows that this browser still keeps from before; those no longer as they were become disputes once sent.
  restore() {
    const drafts = this.drafts.takeUp();
    const { rows } = this.grid;
    for (const draft of drafts) {
      let row = rows.find((other) => other.id !== null && other.id === draft.id);
      if (!row) {
        row = new Row({ id: draft.id, version: draft.version, cells: draft.cells, base: draft.base, key: draft.key });
        row.given = null;
        const behind = rows.findIndex((other) => other.key === draft.behind);
        rows.splice(behind < 0 ? rows.length : behind + 1, 0, row);
      }
      Object.assign(row, { cells: [...draft.cells], version: draft.version, batch: draft.batch, state: EDITED });
      if (draft.base) row.base = [...draft.base];
    }
    return rows.filter((row) => row.state === EDITED && row.isEdited && !row.isBlank);
  }
}
