// Sorting, filtering, choice of columns and CSV for a table that is there already.

import { PlaceFilters } from "./place_filters.js";
import { csv, elementOf, matching, readRow, rowFromData, save, sorted, tierWord } from "./rows.js";
import { make } from "./elements.js";

const STEP = 200;

const readColumns = (table) =>
  [...table.tHead.rows[0].cells].map((cell, place) => ({
    cell,
    place,
    key: cell.dataset.key ?? String(place),
    label: cell.textContent,
    isNumber: cell.classList.contains("n"),
    isShown: true,
  }));

class LiveTable {
  constructor(table) {
    this.table = table;
    this.name = table.dataset.table;
    this.columns = readColumns(table);
    this.rows = [...table.tBodies].flatMap((body) => [...body.rows]).map(readRow);
    this.body = table.tBodies[0] ?? table.createTBody();
    this.form = document.querySelector(`[data-filters="${CSS.escape(this.name)}"]`);
    this.sorting = { key: "", isDescending: false };
    this.limit = STEP;
    this.places = new PlaceFilters(this.form);
    this.status = make("p");
    this.status.setAttribute("role", "status");
    this.more = make("button", `Show ${STEP} more`, "lf-button");
    this.addSorting();
    this.addTools();
    if (this.form) {
      this.addFilters();
      this.readAddress();
    }
    this.showLoaded();
    this.loadFurther();
  }

  addSorting() {
    for (const column of this.columns) {
      const button = make("button", column.label, "lf-sort");
      button.type = "button";
      button.addEventListener("click", () => {
        const isSame = this.sorting.key === column.key;
        this.sorting = { key: column.key, isDescending: isSame ? !this.sorting.isDescending : column.isNumber };
        this.changed();
      });
      column.cell.replaceChildren(button);
    }
  }

  addTools() {
    const tools = make("div", "", "lf-tools");
    const download = make("button", "Save as CSV", "lf-button");
    for (const button of [download, this.more]) {
      button.type = "button";
    }
    download.addEventListener("click", () => this.download());
    this.more.addEventListener("click", () => {
      this.limit += STEP;
      this.show();
    });
    const choice = make("details");
    choice.append(make("summary", "Columns"), this.columnChoice());
    tools.append(this.status, download, choice);
    const scroller = this.table.closest(".lf-scroll") ?? this.table;
    scroller.before(tools);
    scroller.after(this.more);
  }

  columnChoice() {
    const group = make("fieldset");
    group.append(make("legend", "Columns to show"));
    for (const column of this.columns.slice(1)) {
      const label = make("label");
      const box = document.createElement("input");
      box.type = "checkbox";
      box.checked = true;
      column.box = box;
      box.addEventListener("change", () => {
        column.isShown = box.checked;
        this.changed();
      });
      label.append(box, ` ${column.label}`);
      group.append(label);
    }
    return group;
  }

  addFilters() {
    this.form.hidden = false;
    this.form.addEventListener("submit", (event) => event.preventDefault());
    this.form.addEventListener("input", () => this.filtered());
    this.form.addEventListener("reset", () => setTimeout(() => this.filtered()));
  }

  filtered() {
    this.limit = STEP;
    this.changed();
  }

  get words() {
    return this.form?.elements.q?.value ?? "";
  }

  get choices() {
    const selects = this.form ? [...this.form.querySelectorAll("select")] : [];
    return Object.fromEntries(selects.map((select) => [select.name, select.value]));
  }

  changed() {
    this.writeAddress();
    this.showLoaded();
  }

  // a choice without a column first needs its file; until then the rows stay as they are
  async showLoaded() {
    if (!this.places.isLoaded) {
      this.status.textContent = "Loading what the filter needs …";
      try {
        await this.places.load();
      } catch (error) {
        this.status.textContent = `The filter could not be loaded: ${error.message}`;
        return;
      }
    }
    this.show();
  }

  readAddress() {
    const given = new URLSearchParams(location.search);
    this.form.elements.q.value = given.get("q") ?? "";
    for (const select of this.form.querySelectorAll("select")) {
      select.value = given.get(select.name) ?? "";
      // a word that is no longer in the list must not empty the table unseen
      if (select.selectedIndex < 0) {
        select.value = "";
      }
    }
    const [key, direction] = (given.get("sort") ?? "").split(".");
    this.sorting = { key, isDescending: direction === "down" };
    const hidden = (given.get("without") ?? "").split(".").filter(Boolean);
    for (const column of this.columns.slice(1)) {
      column.isShown = !hidden.includes(column.key);
      column.box.checked = column.isShown;
    }
  }

  writeAddress() {
    if (!this.form) {
      return;
    }
    const { key, isDescending } = this.sorting;
    const hidden = this.columns.filter((column) => !column.isShown).map((column) => column.key);
    const said = { q: this.words.trim(), ...this.choices, sort: key && `${key}${isDescending ? ".down" : ""}`, without: hidden.join(".") };
    const query = new URLSearchParams(Object.entries(said).filter(([, value]) => value)).toString();
    history.replaceState(null, "", `${location.pathname}${query && `?${query}`}${location.hash}`);
  }

  get found() {
    const place = this.columns.findIndex((column) => column.key === this.sorting.key);
    return sorted(matching(this.rows, this.words, this.choices, this.columns, this.places.chosen), place, this.sorting.isDescending);
  }

  show() {
    const found = this.found;
    const shown = found.slice(0, this.limit).map((row) => elementOf(row, this.columns));
    this.body.replaceChildren(...shown);
    for (const column of this.columns) {
      const isSorted = column.key === this.sorting.key;
      column.cell.toggleAttribute("aria-sort", isSorted);
      if (isSorted) {
        column.cell.setAttribute("aria-sort", this.sorting.isDescending ? "descending" : "ascending");
      }
    }
    this.showColumns(shown);
    this.more.hidden = found.length <= this.limit;
    const all = this.rows.length;
    this.status.textContent = found.length === all ? `${all} rows` : `${found.length} of ${all} rows`;
    this.table.dispatchEvent(new CustomEvent("lidoff:rows", { bubbles: true }));
  }

  showColumns(rows) {
    for (const row of [this.table.tHead.rows[0], ...(this.table.tFoot?.rows ?? []), ...rows]) {
      for (const column of this.columns) {
        row.cells[column.place].hidden = !column.isShown;
      }
    }
  }

  download() {
    const columns = this.columns.filter((column) => column.isShown);
    // people read a minus sign and, in a tier, a dash; programs a hyphen-minus
    const isTier = (text, column) => column.key === "tier" || /^\d+–\d+ W$/u.test(text);
    const words = (text, column) => (isTier(text, column) ? tierWord(text) : text);
    const plain = (text, column) => (column.isNumber ? text.replace(/^\u2212/, "-") : words(text, column));
    const lines = this.found.map((row) => columns.map((column) => plain(row.cells[column.place].text, column)));
    save(csv([columns.map((column) => tierWord(column.label)), ...lines]), this.name);
  }

  async loadFurther() {
    const addresses = this.table.closest("[data-more]")?.dataset.more.split(" ").filter(Boolean) ?? [];
    for (const address of addresses) {
      const answer = await fetch(address);
      if (!answer.ok) {
        this.status.textContent += `; further rows could not be loaded (${answer.status})`;
        return;
      }
      this.rows.push(...(await answer.json()).map(rowFromData));
      this.show();
    }
  }
}

export const start = () => {
  for (const table of document.querySelectorAll("table[data-table]:not(.lf-comparison)")) {
    new LiveTable(table);
  }
};
