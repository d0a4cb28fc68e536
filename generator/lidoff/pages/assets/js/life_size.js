// Bodies and boards of the products that the address names, all at one scale. The drawings come ready from the site.

import { linked, make } from "./elements.js";
import { picked, queryOf } from "./picked.js";
import { SLUG, adder, asked, load } from "./product_choice.js";

const SVG = "http://www.w3.org/2000/svg";

const element = (name, attributes, text = "") => {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) {
    made.setAttribute(key, value);
  }
  made.textContent = text;
  return made;
};

const drawn = (title, life) => {
  const picture = element("svg", {
    class: "lf-drawing lf-body lf-true", viewBox: `0 0 ${life.width} ${life.height}`,
    width: `${life.width}mm`, height: `${life.height}mm`, role: "img", "aria-label": title,
  });
  for (const [x, y, width, height, rx, text, sort] of life.outlines) {
    const group = element("g", { class: `lf-${sort}` });
    group.append(element("rect", { x, y, width, height, rx }));
    if (text) {
      group.append(element("text", { x: x + width / 2, y: y + height + 4.4 }, text));
    }
    picture.append(group);
  }
  return picture;
};

const figure = (place, slugs, product) => {
  const made = make("figure", "", "lf-figure lf-one");
  made.tabIndex = 0;
  made.setAttribute("aria-label", `${product.title}, may scroll sideways`);
  const caption = make("figcaption");
  caption.append(linked(product.title, `${place.dataset.products}${product.slug}/`));
  if (product.life_size) {
    made.append(drawn(product.title, product.life_size));
    caption.append(` ${product.life_size.note}`);
  } else {
    caption.append(": neither its body nor a board was measured.");
  }
  const away = make("button", `Leave out ${product.title}`, "lf-button");
  away.type = "button";
  away.addEventListener("click", () => change(place, slugs.filter((slug) => slug !== product.slug)));
  caption.append(" ", away);
  made.append(caption);
  return made;
};

const row = (figures) => {
  const made = make("div", "", "lf-row");
  made.append(...figures);
  return made;
};

const show = async (place, slugs) => {
  const most = Number(place.dataset.most);
  const answers = await Promise.all(slugs.slice(0, most).map((slug) => load(slug, place.dataset.data)));
  const products = answers.flatMap((answer) => answer.product ?? []);
  const missing = answers.filter((answer) => !answer.product).map((answer) => answer.slug);
  const notices = [
    missing.length && `No such product here: ${missing.join(", ")}.`,
    slugs.length > most && `Left out, since ${most} products fit at most: ${slugs.slice(most).join(", ")}.`,
  ].filter(Boolean);
  place.replaceChildren(
    ...notices.map((text) => make("p", text, "lf-notice")),
    chooser(place, products.map((one) => one.slug)),
    row(products.map((one) => figure(place, slugs, one))),
  );
};

const change = (place, slugs) => {
  history.replaceState(null, "", slugs.length ? `?${queryOf(slugs)}` : location.pathname);
  show(place, slugs);
};

const chooser = (place, slugs) => {
  const form = make("form", "", "lf-choose");
  form.addEventListener("submit", (event) => event.preventDefault());
  form.append(...adder(place, "lf-life-products", (slug) => change(place, [...new Set([...slugs, slug])])));
  return form;
};

export const start = () => {
  const place = document.querySelector("[data-life-size]");
  const slugs = asked().filter((slug) => SLUG.test(slug));
  show(place, slugs.length ? slugs : picked().map((one) => one.slug));
};
