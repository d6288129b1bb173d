// A grid, first part: the rows, the cell in hand, and going from cell to cell.
import { EDITED } from "./rows.js";

export class Walking {
  setActive(row, c, focuses = true, extends_ = false) {
    const left = this.active?.row;
    this.active?.row.element?.querySelector("[tabindex='0']")?.removeAttribute("tabindex");
    this.active = { row, c };
    if (!extends_) this.anchor = { row, c };
    const cell = this.table.cell(row, c);
    cell.tabIndex = 0;
    if (focuses) {
      cell.focus({ preventScroll: true });
      cell.scrollIntoView({ block: "nearest", inline: "nearest" });
    }
    this.paintPicked();
    if (left && left !== row) this.leave(left);
    this.notes.show(row, c);
  }

  // Leaving a row stores it; a new row in which nothing was typed goes away again. Somebody who only looks elsewhere
  // (`stays`) is not told of cells still to be filled in.
  leave(row, stays = false) {
    if (!row || !this.data.canEdit || !this.rows.includes(row)) return;
    if (row.isBlank && !stays && this.rows.length > 1 && this.active.row !== row) {
      this.rows.splice(this.rows.indexOf(row), 1);
      row.element.remove();
      this.table.number(this.rows);
    } else if (row.isEdited && row.state === EDITED && (!stays || row.id !== null || row.isComplete(this.data.columns))) this.store.save([row]);
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

  // Page of a row; empty where it has none.
  address(row) {
    return this.data.urls.open && row.id !== null ? this.data.urls.open.replace(/\/0\/$/, `/${row.id}/`) : "";
  }

  open() {
    const { row } = this.active;
    const address = this.address(row);
    if (!address) return;
    this.leave(row, true);
    const wait = (left) => (this.store.sender.isIdle || !left ? location.assign(address) : setTimeout(() => wait(left - 1), 50));
    wait(30);
  }
}
