// The rows of a grid as the page knows them: what is stored, what was typed since, and where each row stands.

// stored: as the server has it. edited: typed, not sent. sending. waiting: the server did not answer.
// faulty: the server named cells it cannot read. disputed: somebody else changed the row meanwhile.
export const STORED = "stored";
export const EDITED = "edited";
export const SENDING = "sending";
export const WAITING = "waiting";
export const FAULTY = "faulty";
export const DISPUTED = "disputed";

// Used once for ever: a new row sent again, as its answer was lost, is known by it.
const newKey = () => `new-${Date.now().toString(36)}-${Math.random().toString(36).slice(2, 12)}`;

export class Row {
  constructor({ id = null, version = 0, cells, result = null, key = null, base = null }) {
    this.key = key ?? (id === null ? newKey() : String(id));
    this.id = id;
    this.version = version;
    this.cells = [...cells];
    this.base = base ? [...base] : id === null ? null : [...cells]; // null: never stored
    this.result = result;
    this.given = id === null ? [...cells] : null; // what a new row took over from its neighbour
    this.state = id === null ? EDITED : STORED;
    this.faults = new Map(); // column index -> message
    this.theirs = null;
    this.batch = null; // rows of one paste are stored together or not at all
    this.element = null;
  }

  get isEdited() {
    return this.base === null || this.cells.some((text, i) => text !== this.base[i]);
  }

  // A new row in which nobody has typed holds nothing that could be lost.
  get isBlank() {
    return this.id === null && this.given !== null && this.cells.every((text, i) => text === this.given[i]);
  }

  // Every cell that must hold something does.
  isComplete(columns) {
    return columns.every((column, c) => !column.required || this.cells[c].trim());
  }

  get isUnstored() {
    return this.state !== STORED && !this.isBlank;
  }

  settle({ id, version, cells }, sent) {
    const unchanged = this.cells.map((text, i) => text === sent[i]);
    this.id = id;
    this.version = version;
    this.base = [...cells];
    this.cells = this.cells.map((text, i) => (unchanged[i] ? cells[i] : text));
    this.given = null;
    this.batch = null;
    this.theirs = null;
    this.faults.clear();
    this.state = this.isEdited ? EDITED : STORED;
  }
}

// What a row above hands down to a new one.
export function inherited(columns, above) {
  return columns.map((column, i) => (above && column.inherit ? above.cells[i] : ""));
}

// A name like the given one that no row has: "fog lamp 2" after "fog lamp".
export function freeName(rows, nameColumn, name) {
  const taken = new Set(rows.map((row) => row.cells[nameColumn]));
  const stem = name.replace(/ \d+$/, "");
  for (let n = 2; ; n += 1) if (!taken.has(`${stem} ${n}`)) return `${stem} ${n}`;
}

// Lay the server's list over ours: rows at rest take its content, rows in work keep theirs, order is the server's.
export function mergeList(rows, listed) {
  const own = new Map(rows.filter((row) => row.id !== null).map((row) => [row.id, row]));
  const merged = listed.map((theirs) => {
    const row = own.get(theirs.id);
    if (!row) return new Row(theirs);
    own.delete(theirs.id);
    if (row.state === STORED) Object.assign(row, { version: theirs.version, base: [...theirs.cells], cells: [...theirs.cells] });
    row.result = theirs.result;
    return row;
  });
  rows.forEach((row, i) => { // new rows and rows in work that somebody took out stay behind their neighbour
    const stays = row.id === null || (own.has(row.id) && row.state !== STORED);
    if (!stays) return;
    const before = rows.slice(0, i).reverse().find((other) => merged.includes(other));
    merged.splice(before ? merged.indexOf(before) + 1 : 0, 0, row);
  });
  return merged;
}
