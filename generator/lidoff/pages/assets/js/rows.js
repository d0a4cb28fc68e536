// Rows of a table as data: read from the page, taken from further files, filtered, sorted, and set back as elements.

import { make } from "./elements.js";

export const readRow = (element) => ({
  element,
  cells: [...element.cells].map((cell) => {
    const note = cell.querySelector("small")?.textContent ?? "";
    const link = cell.querySelector("a");
    // a button of the tray may be in the cell already
    const parts = [...cell.childNodes].filter((part) => part.nodeName !== "SMALL" && part.nodeName !== "BUTTON");
    const text = parts.map((part) => part.textContent).join("");
    const order = cell.dataset.order === undefined ? null : Number(cell.dataset.order);
    return { text, href: link?.getAttribute("href") ?? "", note, order };
  }),
});

export const rowFromData = (cells) => ({
  element: null,
  cells: cells.map(([text, href, note, order]) => ({ text, href, note, order })),
});

const cellElement = (cell, place, column) => {
  const element = make(place === 0 ? "th" : "td", "", column.isNumber ? "n" : "");
  if (place === 0) {
    element.scope = "row";
  }
  if (cell.href) {
    const link = make("a", cell.text);
    link.href = cell.href;
    element.append(link);
  } else {
    element.textContent = cell.text;
  }
  if (cell.note) {
    element.append(make("small", cell.note));
  }
  return element;
};

// made once and only when it is first shown: thousands of rows wait as data
export const elementOf = (row, columns) => {
  if (!row.element) {
    row.element = document.createElement("tr");
    row.element.append(...row.cells.map((cell, place) => cellElement(cell, place, columns[place])));
  }
  return row.element;
};

// people read other words for tiers than addresses, filters and files have (rows/tiers.py)
export const tierWord = (text) =>
  text === "not stated" ? "unknown" : text.replace(/(^|[^\p{L}\p{N}.-])(\d+)–(\d+ W)\b/gu, "$1$2-$3");

const textOf = (row) => {
  if (!row.search) {
    const said = row.cells.map((cell) => `${cell.text} ${cell.note}`).join("\n");
    row.search = `${said}\n${tierWord(said)}`.replaceAll("\u00a0", " ").toLowerCase();
  }
  return row.search;
};

// ``places`` are the rows that a choice without a column leaves
export const matching = (rows, words, choices, columns, places) => {
  const wanted = words.toLowerCase().split(/\s+/).filter(Boolean);
  const chosen = Object.entries(choices)
    .filter(([, word]) => word)
    .map(([key, word]) => [columns.findIndex((column) => column.key === key), word]);
  return rows.filter(
    (row, at) =>
      places.every((set) => set.has(at)) &&
      chosen.every(([place, word]) => place < 0 || tierWord(row.cells[place].text) === word) &&
      wanted.every((word) => textOf(row).includes(word)),
  );
};

const collator = new Intl.Collator("en", { numeric: true, sensitivity: "base" });

// unknown values come last, whichever way the column is sorted
export const sorted = (rows, place, isDescending) => {
  if (place < 0) {
    return rows;
  }
  const direction = isDescending ? -1 : 1;
  return rows.toSorted((first, second) => {
    const a = first.cells[place];
    const b = second.cells[place];
    if (!a.text || !b.text) {
      return (a.text ? 0 : 1) - (b.text ? 0 : 1);
    }
    const difference = a.order !== null && b.order !== null ? a.order - b.order : collator.compare(a.text, b.text);
    return direction * difference;
  });
};

// a spreadsheet would run a cell that begins like a formula
const guarded = (text) => text.replace(/(^|[;\t\r\n])(?= *[=+\-@＝＋－＠])|^(?=[\t\r])/g, "$1'");
const quoted = (text) => (/[",\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);

export const csv = (lines) =>
  lines.map((line) => line.map((text) => quoted(guarded(text.replaceAll("\u00a0", " ").trim()))).join(",")).join("\n") + "\n";

export const save = (text, name) => {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([text], { type: "text/csv;charset=utf-8" }));
  link.download = `${name}.csv`;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 1000);
};
