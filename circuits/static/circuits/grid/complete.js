// What a cell may be completed to. Pure: no page is touched here.

const MOST_OFFERED = 9;

// Words a column knows: its fixed choices, or the shop's list with everything typed in columns that share it.
export function wordsOf(column, columns, rows, lists, current) {
  if (column.choices) return column.choices;
  if (!column.list) return [];
  const counted = new Map((lists[column.list] ?? []).map((word) => [word, 0]));
  columns.forEach((other, i) => {
    if (other.list !== column.list && other.provides !== column.list) return;
    for (const row of rows) {
      for (const word of other.many ? row.cells[i].split(";") : [row.cells[i]]) {
        const text = word.trim();
        if (text && !(row === current && other.provides === column.list)) counted.set(text, (counted.get(text) ?? 0) + 1);
      }
    }
  });
  const known = [...counted];
  return (column.rank === "given" ? known : known.sort((a, b) => b[1] - a[1])).map(([word]) => word);
}

// Words that fit what is typed: those that begin so, then those with a word that does, then those that hold it.
export function offers(typed, words) {
  const text = typed.trim().toLowerCase();
  if (!text) return words.slice(0, MOST_OFFERED);
  const ranked = [];
  for (const word of words) {
    const low = word.toLowerCase();
    const rank = low === text ? 0 : low.startsWith(text) ? 1 : new RegExp(`[\\s:/-]${escaped(text)}`).test(low) ? 2 : low.includes(text) ? 3 : 4;
    if (rank < 4) ranked.push([rank, word]);
  }
  return ranked.sort((a, b) => a[0] - b[0]).slice(0, MOST_OFFERED).map(([, word]) => word);
}

// The part of a cell that is being typed, where a cell holds several parts by ";".
export function lastPart(column, text) {
  if (!column.many) return { head: "", part: text };
  const cut = text.lastIndexOf(";") + 1;
  return { head: cut ? `${text.slice(0, cut)} ` : "", part: text.slice(cut).trimStart() };
}

const escaped = (text) => text.replace(/[.*+?^${}()|[\]\\]/g, "\\$&");
