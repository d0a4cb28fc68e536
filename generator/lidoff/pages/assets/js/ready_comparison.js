// A ready-made comparison as CSV, read from its table.

import { csv, save } from "./rows.js";

const textOf = (cell) =>
  [...cell.childNodes].map((part) => part.textContent.replaceAll("\n", "; ")).filter(Boolean).join("; ");

const linesOf = (table) =>
  [...table.rows].filter((row) => !row.querySelector("svg")).map((row) => [...row.cells].map(textOf));

export const start = () => {
  const table = document.querySelector("table.lf-comparison");
  const button = document.createElement("button");
  button.type = "button";
  button.className = "lf-button";
  button.textContent = "Save as CSV";
  button.addEventListener("click", () => save(csv(linesOf(table)), table.dataset.table));
  table.closest(".lf-scroll").after(button);
};
