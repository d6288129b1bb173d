// Blocks of cells as spreadsheets put them on the clipboard: tabs between cells, one line a row, quotes where needed.

// A text that a spreadsheet would run carries an apostrophe there, as on every sheet we write.
const RISKY = /^[=+\-@\t\r\n＝＋－＠']/;
const guarded = (text) => (RISKY.test(text) ? `'${text}` : text);
const unguarded = (text) => (text.startsWith("'") ? text.slice(1) : text.trim());

export function readBlock(text) {
  const rows = [];
  let row = [];
  let cell = "";
  let quoted = false;
  const endCell = () => { row.push(unguarded(cell)); cell = ""; };
  const endRow = () => { endCell(); rows.push(row); row = []; };
  for (let i = 0; i < text.length; i += 1) {
    const sign = text[i];
    if (quoted) {
      if (sign !== '"') cell += sign;
      else if (text[i + 1] === '"') { cell += '"'; i += 1; } else quoted = false;
    } else if (sign === '"' && cell === "") quoted = true;
    else if (sign === "\t") endCell();
    else if (sign === "\n") endRow();
    else if (sign !== "\r") cell += sign;
  }
  if (cell !== "" || row.length) endRow();
  while (rows.length && rows.at(-1).every((text_) => text_ === "")) rows.pop();
  return rows;
}

export function writeBlock(rows) {
  const quoted = (text) => (/[\t\n"]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);
  return rows.map((row) => row.map((text) => quoted(guarded(text))).join("\t")).join("\n");
}

// Where each column of a block belongs: by its header line if it has one, else from the picked cell to the right.
export function placeBlock(block, columns, visible, from) {
  const names = new Map(columns.flatMap((column, i) => [[column.name.toLowerCase(), i], [column.label.toLowerCase(), i]]));
  const head = block[0].map((text) => names.get(text.toLowerCase()));
  if (block[0].length > 1 && head.every((index) => index !== undefined)) return { targets: head, lines: block.slice(1) };
  const start = Math.max(0, visible.indexOf(from));
  const width = Math.max(...block.map((line) => line.length));
  return { targets: visible.slice(start, start + width), lines: block, cutOff: start + width - visible.length };
}
