// A grid, third part: blocks of cells to and from the clipboard.
import { placeBlock, readBlock, writeBlock } from "./blocks.js";
import { Changing } from "./changing.js";
import { Row } from "./rows.js";

export class Pasting extends Changing {
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
      const row = old ?? this.putIn(new Row({ cells: all.map(() => "") }), this.rows.length);
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
}
