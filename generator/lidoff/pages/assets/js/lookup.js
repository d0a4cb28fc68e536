// The lookup of prints and part numbers: the field, the address, and the table of what was found.

import { MarkingIndex } from "./marking_index.js";
import { SearchForm } from "./search_form.js";
import { make, linked } from "./elements.js";

const STEP = 20;
const HEADINGS = ["Print or part number", "Part", "How sure the part is", "Seen in"];

const cell = (name, ...children) => {
  const made = make(name);
  made.append(...children);
  return made;
};

class Lookup extends SearchForm {
  constructor(page) {
    super(page);
    this.base = new URL(page.dataset.lookup, location.href);
    this.index = new MarkingIndex(new URL("data/markings/", this.base));
  }

  async find({ q }) {
    const { isShort, isCut, found } = await this.index.find(q);
    if (isShort) {
      return { said: "Type at least two characters in a row that you can read.", items: [] };
    }
    const many = found.length === 1 ? "1 text fits" : `${found.length || "No"} texts fit`;
    const said = isCut ? `${many} among those looked through; there may be more: type more of it.` : `${many}.`;
    return { said: found.length || isCut ? said : "No record here has it.", items: found };
  }

  get step() {
    return STEP;
  }

  async draw(items) {
    const rows = await Promise.all(items.map((item) => this.index.rowsOf(item.row)));
    return rows.flatMap(([readings, rest]) => [
      ...readings.map((reading) => this.row(reading)),
      ...(rest > 0 ? [this.restRow(readings[0][0], rest)] : []),
    ]);
  }

  container() {
    const table = make("table", "", "lf-grid lf-lookup");
    const head = make("tr");
    for (const heading of HEADINGS) {
      const column = make("th", heading);
      column.scope = "col";
      head.append(column);
    }
    table.append(make("caption", "Texts that fit, and the parts on which they were seen"), cell("thead", head));
    const body = make("tbody");
    table.append(body);
    const scroller = make("div", "", "lf-scroll");
    scroller.tabIndex = 0;
    scroller.setAttribute("role", "group");
    scroller.setAttribute("aria-label", table.caption.textContent);
    scroller.append(table);
    return { outer: scroller, inner: body };
  }

  row([text, found, part, slug, roles, sure, count, products]) {
    const title = cell("th", make("code", text), make("small", found));
    title.scope = "row";
    const name = slug ? linked(part, new URL(`parts/${slug}/`, this.base)) : part;
    const seen = cell("td");
    for (const [place, [product, label]] of products.entries()) {
      seen.append(...(place ? [", "] : []), linked(label, new URL(`products/${product}/`, this.base)));
    }
    if (count > products.length) {
      seen.append(` and ${count - products.length} more`);
    }
    return cell("tr", title, cell("td", name, make("small", roles)), make("td", sure), seen);
  }

  restRow(text, rest) {
    const title = cell("th", make("code", text));
    title.scope = "row";
    const said = make("td", `and ${rest} more ${rest === 1 ? "part" : "parts"}, seen less often`);
    said.colSpan = HEADINGS.length - 1;
    return cell("tr", title, said);
  }
}

export const start = () => {
  for (const page of document.querySelectorAll("[data-lookup]")) {
    new Lookup(page);
  }
};
