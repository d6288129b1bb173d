// Rows not yet stored, kept in this browser, so that a closed window or a dead network loses nothing typed.

const BEAT_MS = 2000;
const GONE_MS = 7000;

export class Drafts {
  constructor(prefix, columns) {
    this.prefix = prefix;
    this.names = columns.map((column) => column.name);
    try {
      this.tab = sessionStorage.getItem("loomwright-tab") ?? Math.random().toString(36).slice(2);
      sessionStorage.setItem("loomwright-tab", this.tab);
    } catch {
      this.tab = "only";
    }
    this.last = null;
    setInterval(() => { if (this.last) this.write(this.last); }, BEAT_MS);
  }

  get name() {
    return `${this.prefix}.${this.tab}`;
  }

  keep(rows) {
    const drafts = rows.filter((row) => row.isUnstored && row.isEdited).map((row) => ({
      key: row.key, id: row.id, version: row.version, batch: row.batch,
      cells: this.byName(row.cells), base: row.base && this.byName(row.base),
      behind: rows[rows.indexOf(row) - 1]?.key ?? null,
    }));
    this.last = drafts.length ? drafts : null;
    this.write(this.last);
  }

  // Drafts this window left when it was last closed, and those of windows that no longer live.
  takeUp() {
    const found = [];
    try {
      for (const name of Object.keys(localStorage)) {
        if (!name.startsWith(`${this.prefix}.`)) continue;
        const kept = JSON.parse(localStorage.getItem(name));
        if (name !== this.name && Date.now() - kept.seen < GONE_MS) continue;
        found.push(...kept.drafts);
        localStorage.removeItem(name);
      }
    } catch { /* a browser that keeps nothing, or a draft of an older release */ }
    return found.map((draft) => ({ ...draft, cells: this.inOrder(draft.cells), base: draft.base && this.inOrder(draft.base) }));
  }

  write(drafts) {
    try {
      if (drafts) localStorage.setItem(this.name, JSON.stringify({ seen: Date.now(), drafts }));
      else localStorage.removeItem(this.name);
    } catch { /* full or forbidden: the page itself still holds the rows */ }
  }

  byName(cells) {
    return Object.fromEntries(this.names.map((name, i) => [name, cells[i]]));
  }

  inOrder(byName) {
    return this.names.map((name) => byName[name] ?? "");
  }
}
