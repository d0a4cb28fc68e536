// Any two to six products side by side, as the address names them. Says the same as the ready-made pages.

import { MOST, picked, queryOf, setPicked } from "./picked.js";
import { comparisonTable, linesForCsv } from "./comparison_table.js";
import { make } from "./elements.js";
import { SLUG, adder, asked, load } from "./product_choice.js";
import { csv, save } from "./rows.js";

const show = async (place, slugs) => {
  const named = slugs.filter((slug) => SLUG.test(slug));
  const answers = await Promise.all(named.slice(0, MOST).map((slug) => load(slug, place.dataset.data)));
  const products = answers.flatMap((answer) => answer.product ?? []);
  const missing = answers.filter((answer) => !answer.product).map((answer) => answer.slug);
  const content = [];
  if (missing.length) {
    content.push(make("p", `No such product here: ${missing.join(", ")}.`, "lf-notice"));
  }
  // what has not the form of a name is counted, not shown: anybody can write a text into an address
  if (named.length < slugs.length) {
    content.push(make("p", `Names in the address that can't be a product's, and were left out: ${slugs.length - named.length}.`, "lf-notice"));
  }
  if (named.length > MOST) {
    content.push(make("p", `Six products at most stand side by side; left out: ${named.slice(MOST).join(", ")}.`, "lf-notice"));
  }
  if (products.some((one) => one.demo)) {
    content.push(make("p", "Invented demonstration data is among these products.", "lf-notice"));
  }
  content.push(chooser(place, products));
  if (products.length > 1) {
    content.push(comparisonTable(products, place.dataset.products), saveButton(products), scaleLink(products));
  } else {
    content.push(make("p", products.length ? "Choose one more product." : "Choose at least two products."));
  }
  place.replaceChildren(...content);
};

// only a choice made here changes the address and what is picked; a link that somebody sent changes nothing
const change = (place, products, slugs) => {
  const titles = new Map(products.map((one) => [one.slug, one.title]));
  setPicked(slugs.map((slug) => ({ slug, title: titles.get(slug) ?? slug })));
  history.replaceState(null, "", slugs.length ? `?${queryOf(slugs)}` : location.pathname);
  show(place, slugs);
};

const saveButton = (products) => {
  const button = make("button", "Save as CSV", "lf-button");
  button.type = "button";
  button.addEventListener("click", () => save(csv(linesForCsv(products)), "comparison"));
  return button;
};

const scaleLink = (products) => {
  const link = make("a", "See them side by side in life size");
  link.href = `../scale/?${queryOf(products.map((one) => one.slug))}`;
  return link;
};

const chooser = (place, products) => {
  const slugs = products.map((one) => one.slug);
  const form = make("form", "", "lf-choose");
  // Enter in the field makes it change, which is all that is wanted
  form.addEventListener("submit", (event) => event.preventDefault());
  for (const one of products) {
    const button = make("button", `Leave out ${one.title}`, "lf-button");
    button.type = "button";
    button.addEventListener("click", () => change(place, products, slugs.filter((slug) => slug !== one.slug)));
    form.append(button);
  }
  if (products.length < MOST) {
    form.append(...adder(place, "lf-products", (slug) => change(place, products, [...slugs, slug])));
  }
  return form;
};

export const start = () => {
  const place = document.querySelector("[data-comparison]");
  const slugs = asked();
  show(place, slugs.length ? slugs : picked().map((one) => one.slug));
};
