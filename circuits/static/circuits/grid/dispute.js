// Two windows changed the same row: both versions side by side, field by field, and the person chooses.
import { escaped, make } from "./table.js";

// Resolves to the cells to store, or null to leave the matter open.
export function settleDispute({ one, columns, row, theirs }) {
  const dialog = make("dialog", "dispute");
  dialog.setAttribute("aria-labelledby", "dispute-title");
  dialog.innerHTML = theirs ? bothHtml(one, columns, row, theirs) : goneHtml(one, row);
  document.body.append(dialog);
  dialog.showModal();
  return new Promise((resolve) => {
    const all = (whose) => dialog.querySelectorAll(`input[value="${whose}"]`).forEach((input) => { input.checked = true; });
    dialog.addEventListener("click", (event) => {
      const what = event.target.closest("button")?.value;
      if (what === "mine" || what === "theirs") all(what);
      if (what === "later") dialog.close();
      if (what === "drop") { dialog.returnValue = "drop"; dialog.close(); }
    });
    dialog.querySelector("form").addEventListener("submit", (event) => {
      event.preventDefault();
      dialog.returnValue = "store";
      dialog.close();
    });
    dialog.addEventListener("close", () => {
      const chosen = dialog.returnValue === "store" ? chosenCells(dialog, columns, row, theirs) : null;
      const answer = { cells: chosen, drop: dialog.returnValue === "drop" };
      dialog.remove();
      resolve(answer);
    });
  });
}

function chosenCells(dialog, columns, row, theirs) {
  if (!theirs) return [...row.cells];
  return columns.map((column, c) => {
    const input = dialog.querySelector(`input[name="field-${c}"]:checked`);
    return input?.value === "theirs" ? theirs.cells[c] : row.cells[c];
  });
}

function bothHtml(one, columns, row, theirs) {
  const when = new Date(theirs.at).toLocaleString([], { dateStyle: "medium", timeStyle: "short" });
  const lines = columns.map((column, c) => {
    const [mine, other] = [row.cells[c], theirs.cells[c]];
    if (mine === other) return "";
    const untouched = row.base && mine === row.base[c]; // only they changed it
    const choice = (whose, text, picked) => `<td><label><input type="radio" name="field-${c}" value="${whose}"${picked ? " checked" : ""}> ${escaped(text) || "<i>blank</i>"}</label></td>`;
    return `<tr><th scope="row">${escaped(column.label)}</th>${choice("mine", mine, !untouched)}${choice("theirs", other, untouched)}</tr>`;
  }).join("");
  return `<form><h2 id="dispute-title">${escaped(theirs.cells[0] || row.cells[0])} was changed elsewhere</h2>
    <p>${escaped(theirs.by || "Somebody")} stored this ${escaped(one)} on ${escaped(when)}, after you had read it. Nothing of yours is stored yet. Choose what to store for each field.</p>
    <table class="table"><thead><tr><th scope="col">Field</th><th scope="col">Yours</th><th scope="col">Theirs, as stored</th></tr></thead><tbody>${lines}</tbody></table>
    <p class="actions"><button type="submit" class="button button-main" autofocus>Store as chosen</button><button type="button" class="button" value="mine">All mine</button><button type="button" class="button" value="theirs">All theirs</button><button type="button" class="button" value="later">Decide later</button></p></form>`;
}

function goneHtml(one, row) {
  return `<form><h2 id="dispute-title">${escaped(row.cells[0])} was taken out elsewhere</h2>
    <p>Somebody took this ${escaped(one)} out of the plan while you changed it. Nothing of yours is stored yet.</p>
    <p class="actions"><button type="submit" class="button button-main" autofocus>Put it back as I have it</button><button type="button" class="button" value="drop">Leave it out</button><button type="button" class="button" value="later">Decide later</button></p></form>`;
}
