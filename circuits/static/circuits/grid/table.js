// The table on the page: draws rows, cells, figures and states. Knows nothing of keys or the server.
import { DISPUTED, FAULTY, SENDING, STORED, WAITING } from "./rows.js";

const STATE_WORDS = {
  edited: "not yet stored", [SENDING]: "being stored", [WAITING]: "waiting for the server",
  [FAULTY]: "cannot be read", [DISPUTED]: "changed elsewhere",
};
const STATE_SIGNS = { edited: "•", [SENDING]: "…", [WAITING]: "…", [FAULTY]: "!", [DISPUTED]: "≠" };

const GUTTER_REM = 2.4;
const FINDINGS_REM = 5.75;
const rem = (chars) => Math.round((chars + 2) * 46) / 100;

export class Table {
  constructor(data, place) {
    this.data = data;
    this.columns = data.columns;
    this.figureStart = data.columns.length;
    this.findingsAt = this.figureStart + data.figures.length;
    this.showsMore = false;
    this.frame = make("div", "grid-frame");
    this.table = make("table", "table grid-table");
    this.table.setAttribute("role", "grid");
    this.table.setAttribute("aria-label", data.name);
    if (!data.canEdit) this.table.setAttribute("aria-readonly", "true");
    this.body = document.createElement("tbody");
    this.table.append(this.head(), this.body);
    this.frame.append(this.table);
    place.append(this.frame);
    this.setMore(false);
  }

  get hasFindings() {
    return this.data.name === "circuits";
  }

  // Columns that can be seen, inputs first: what arrows walk over.
  visible() {
    const inputs = this.columns.map((_, i) => i).filter((i) => this.showsMore || this.columns[i].main);
    const figures = this.data.figures.map((_, i) => this.figureStart + i);
    return [...inputs, ...figures, ...(this.hasFindings ? [this.findingsAt] : [])];
  }

  isInput(column) {
    return column < this.figureStart;
  }

  setMore(shows) {
    this.showsMore = shows;
    this.table.classList.toggle("shows-more", shows);
    const shown = this.columns.filter((column) => shows || column.main);
    const all = [GUTTER_REM, ...shown.map(({ wide }) => rem(wide)), ...this.resultWidths()];
    this.table.style.width = `max(100%, ${all.reduce((sum, width) => sum + width, 0)}rem)`;
  }

  resultWidths() {
    return [...this.data.figures.map(({ wide }) => rem(wide)), ...(this.hasFindings ? [FINDINGS_REM] : [])];
  }

  head() {
    const widths = this.resultWidths();
    widths.forEach((_, i) => {
      const right = widths.slice(i + 1).reduce((sum, width) => sum + width, 0);
      this.table.style.setProperty(`--right-${i}`, `${right}rem`);
    });
    this.frame.style.setProperty("--results", `${widths.reduce((sum, width) => sum + width, 0)}rem`);
    const row = document.createElement("tr");
    const mark = '<abbr title="needed">*</abbr>';
    const inputs = this.columns.map((column, c) => this.headCell(c, rem(column.wide), `${escaped(column.label)}${column.required ? mark : ""}`));
    const figures = this.data.figures.map((figure, i) => this.headCell(this.figureStart + i, widths[i], escaped(figure.label)));
    if (this.hasFindings) figures.push(this.headCell(this.findingsAt, FINDINGS_REM, "Findings"));
    row.innerHTML = `<th class="gutter" scope="col"><span class="visually-hidden">Row</span></th>${inputs.join("")}${figures.join("")}`;
    const head = document.createElement("thead");
    head.append(row);
    return head;
  }

  headCell(c, width, html) {
    return `<th scope="col" style="width:${width}rem" class="${this.classes(c)}">${html}</th>`;
  }

  classes(c) {
    if (c === this.findingsAt) return `found from-right right-${c - this.figureStart}`;
    if (c >= this.figureStart) return `result figure from-right right-${c - this.figureStart}`;
    const column = this.columns[c];
    return [c === 0 ? "first" : "", column.main ? "" : "more", column.figure ? "figure" : "", column.required ? "needed" : ""].filter(Boolean).join(" ");
  }

  drawAll(rows) {
    this.body.replaceChildren(...rows.map((row) => this.draw(row)));
    this.number(rows);
  }

  draw(row) {
    const line = document.createElement("tr");
    const cells = this.columns.map((column, c) => {
      const required = column.required ? ' aria-required="true"' : "";
      return `<td${required} data-c="${c}" class="${this.classes(c)}">${escaped(row.cells[c])}</td>`;
    }).join("");
    let results = "";
    for (let c = this.figureStart; c < this.findingsAt + (this.hasFindings ? 1 : 0); c += 1) {
      results += `<td data-c="${c}" aria-readonly="true" class="${this.classes(c)}"></td>`;
    }
    line.innerHTML = `<td class="gutter"></td>${cells}${results}`;
    line.row = row;
    row.element = line;
    this.nameHeader(this.cell(row, 0), row);
    this.paintState(row);
    this.paintResult(row);
    return line;
  }

  number(rows) {
    rows.forEach((row, i) => {
      row.element.firstElementChild.dataset.number = i + 1;
    });
  }

  cell(row, c) {
    return row.element.querySelector(`[data-c="${c}"]`);
  }

  paintCell(row, c) {
    const cell = this.cell(row, c);
    cell.textContent = row.cells[c];
    if (c === 0) this.nameHeader(cell, row);
  }

  // The first cell heads its row as soon as it holds a name.
  nameHeader(cell, row) {
    if (row.cells[0]) cell.setAttribute("role", "rowheader");
    else cell.removeAttribute("role");
  }

  paintCells(row) {
    this.columns.forEach((_, c) => { if (!this.cell(row, c).querySelector("input")) this.paintCell(row, c); });
  }

  paintState(row) {
    const state = row.isBlank ? STORED : row.state;
    row.element.dataset.state = state;
    const gutter = row.element.firstElementChild;
    gutter.innerHTML = state === STORED ? "" : `<span aria-hidden="true">${STATE_SIGNS[state]}</span><span class="visually-hidden">${STATE_WORDS[state]}</span>`;
    gutter.title = state === STORED ? "" : STATE_WORDS[state];
    this.columns.forEach((_, c) => {
      const cell = this.cell(row, c);
      if (row.faults.has(c)) cell.setAttribute("aria-invalid", "true");
      else cell.removeAttribute("aria-invalid");
    });
  }

  paintResult(row) {
    const figures = row.result?.figures ?? [];
    this.data.figures.forEach((_, i) => { this.cell(row, this.figureStart + i).innerHTML = this.pieces(figures[i] ?? []); });
    if (!this.hasFindings) return;
    this.cell(row, this.findingsAt).innerHTML = countedHtml(row.result?.findings ?? []);
  }

  pieces(figure) {
    return figure.map((piece) => (Array.isArray(piece) ? this.data.drawn[piece[0]] ?? "" : escaped(piece))).join(" ");
  }
}

function countedHtml(findings) {
  const parts = ["error", "warning", "note"].map((severity) => [severity, findings.filter((finding) => finding[0] === severity).length]);
  return parts.filter(([, n]) => n).map(([severity, n]) => `<span class="count ${severity}">${n} ${severity}${n > 1 ? "s" : ""}</span>`).join(" ");
}

export function make(tag, css = "", text = "") {
  const element = document.createElement(tag);
  if (css) element.className = css;
  if (text) element.textContent = text;
  return element;
}

const SIGNS = { "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;" };
export const escaped = (text) => String(text).replace(/[&<>"]/g, (sign) => SIGNS[sign]);
