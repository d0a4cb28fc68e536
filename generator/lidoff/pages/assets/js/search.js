// The text search over the index that the build has made; only the pieces that a question needs are loaded.

import { linked, make } from "./elements.js";
import { SearchForm } from "./search_form.js";

const STEP = 10;

class Search extends SearchForm {
  constructor(page) {
    super(page);
    this.base = new URL(page.dataset.search, location.href);
    this.elsewhere = page.querySelector("[data-elsewhere]");
    this.tries = 0;
  }

  get step() {
    return STEP;
  }

  async engine() {
    this.loaded ??= this.load();
    try {
      return await this.loaded;
    } catch {
      this.loaded = null;
      this.tries += 1;
      throw new Error("its index is not there yet, or can't be reached. Search again in a moment");
    }
  }

  async load() {
    // some browsers keep the failure of an address for good
    const again = this.tries ? `?again=${this.tries}` : "";
    const engine = await import(new URL(`pagefind/pagefind.js${again}`, this.base));
    await engine.options({ baseUrl: this.base.pathname, noWorker: true });
    await engine.init();
    return engine;
  }

  async find({ q, ...choices }) {
    const where = new URL("parts/lookup/", this.base);
    where.search = q ? new URLSearchParams({ q }) : "";
    this.elsewhere.href = where;
    const engine = await this.engine();
    const filters = Object.fromEntries(Object.entries(choices).filter(([, word]) => word));
    const { results } = await engine.search(q || null, { filters });
    const count = results.length;
    return { said: count ? `${count} product${count === 1 ? "" : "s"}.` : "No product has these words.", items: results };
  }

  container() {
    const list = make("ol", "", "lf-found");
    list.setAttribute("aria-label", "Products found");
    return { outer: list, inner: list };
  }

  async draw(items) {
    const found = await Promise.all(items.map((item) => item.data()));
    return found.map(({ url, meta }) => {
      const item = make("li");
      item.append(linked(meta.title, url), make("p", meta.line ?? ""));
      return item;
    });
  }
}

export const start = () => {
  for (const page of document.querySelectorAll("[data-search]")) {
    new Search(page);
  }
};
