// Products that an address names, and a field to add one: for pages that set any products side by side.

import { make } from "./elements.js";

export const SLUG = /^[a-z0-9-]+\/[a-z0-9-]+$/;

export const asked = () => [...new Set(new URLSearchParams(location.search).getAll("p"))];

export const load = async (slug, base) => {
  try {
    const answer = await fetch(`${base}${slug}.json`);
    return answer.ok ? { slug, product: await answer.json() } : { slug };
  } catch {
    return { slug };
  }
};

// the list of all products is fetched when somebody is about to choose from it, not before
export const adder = (place, listId, add) => {
  const label = make("label", "Add a product ");
  const input = document.createElement("input");
  const list = make("datalist");
  list.id = listId;
  input.setAttribute("list", list.id);
  input.name = "add";
  input.autocomplete = "off";
  label.append(input);
  const names = new Map();
  input.addEventListener("focus", () => fill(place, names, list), { once: true });
  input.addEventListener("change", () => {
    const slug = names.get(input.value) ?? input.value.trim();
    if (SLUG.test(slug)) {
      add(slug);
    }
  });
  return [label, list];
};

const fill = async (place, names, list) => {
  const answer = await fetch(place.dataset.names);
  if (!answer.ok) {
    return;
  }
  for (const [slug, title] of await answer.json()) {
    names.set(title, slug);
    const option = document.createElement("option");
    option.value = title;
    list.append(option);
  }
};
