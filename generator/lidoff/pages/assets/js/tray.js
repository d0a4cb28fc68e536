// "Add to comparison" on products and rows, and the tray at the foot of the page that holds what was picked.

import { MOST, forget, picked, queryOf, setPicked, siteBase } from "./picked.js";
import { make } from "./elements.js";

const tray = make("div", "", "lf-tray");

const toggle = (slug, title) => {
  const others = picked().filter((one) => one.slug !== slug);
  setPicked(others.length < picked().length ? others : [...others, { slug, title }]);
  showAll();
};

const showButton = (button) => {
  const isPicked = picked().some((one) => one.slug === button.dataset.compare);
  button.textContent = isPicked ? "Remove from comparison" : "Add to comparison";
  button.disabled = !isPicked && picked().length >= MOST;
  button.hidden = false;
};

const showTray = () => {
  const products = picked();
  tray.hidden = products.length === 0 || Boolean(document.querySelector("[data-comparison]"));
  const text = make("p", `To compare: ${products.map((one) => one.title || one.slug).join(", ")}`);
  const link = make("a", "Compare them");
  link.href = new URL(`compare/?${queryOf(products.map((one) => one.slug))}`, siteBase()).href;
  const clear = make("button", "Empty");
  clear.type = "button";
  clear.addEventListener("click", () => {
    setPicked([]);
    showAll();
  });
  const next = products.length > 1 ? link : make("span", "Pick one more.");
  tray.replaceChildren(text, next, clear);
};

const showAll = () => {
  document.querySelectorAll("[data-compare]").forEach(showButton);
  showTray();
};

const addToRows = (table) => {
  for (const link of table.querySelectorAll('tbody th[scope="row"] > a[href*="products/"]')) {
    const slug = /products\/([a-z0-9-]+\/[a-z0-9-]+)\/$/.exec(link.getAttribute("href"))?.[1];
    if (slug && !link.parentElement.querySelector("[data-compare]")) {
      const button = make("button", "", "lf-pick");
      button.type = "button";
      button.dataset.compare = slug;
      button.dataset.title = link.textContent;
      link.parentElement.append(button);
      showButton(button);
    }
  }
};

export const start = () => {
  document.querySelector(".lf-page").append(tray);
  tray.setAttribute("role", "region");
  tray.setAttribute("aria-label", "Products to compare");
  document.addEventListener("click", (event) => {
    const button = event.target.closest("[data-compare]");
    if (button) {
      toggle(button.dataset.compare, button.dataset.title);
    }
  });
  document.addEventListener("lidoff:rows", (event) => addToRows(event.target));
  document.querySelectorAll(".lf-page table.lf-grid:not(.lf-comparison)").forEach(addToRows);
  addEventListener("storage", () => {
    forget();
    showAll();
  });
  showAll();
};
