// A field that searches while one types: it keeps the address, says how many were found, and shows them step by step.

const PAUSE_MS = 200;

// What derives from it gives find(said) -> {said, items}, draw(items) -> elements, container() -> {outer, inner}, step.
export class SearchForm {
  constructor(page) {
    this.form = page.querySelector("form[role=search]");
    this.status = page.querySelector("[data-status]");
    this.results = page.querySelector("[data-results]");
    this.more = page.querySelector("[data-more]");
    this.turn = 0;
    page.querySelector("[data-without-script]").remove();
    this.form.hidden = false;
    this.readAddress();
    this.form.addEventListener("submit", (event) => {
      event.preventDefault();
      this.changed();
    });
    this.form.addEventListener("input", () => {
      clearTimeout(this.pause);
      this.pause = setTimeout(() => this.changed(), PAUSE_MS);
    });
    this.more.addEventListener("click", () => this.showMore());
    this.form.addEventListener("reset", () => setTimeout(() => this.changed()));
    // when what derives from it is complete
    queueMicrotask(() => this.search());
  }

  get fields() {
    return [...this.form.elements].filter((field) => field.name);
  }

  get said() {
    return Object.fromEntries(this.fields.map((field) => [field.name, field.value.trim()]));
  }

  readAddress() {
    const given = new URLSearchParams(location.search);
    for (const field of this.fields) {
      field.value = given.get(field.name) ?? "";
      // a word that is no longer in the list must not empty the results unseen
      if (field.selectedIndex < 0) {
        field.value = "";
      }
    }
  }

  changed() {
    clearTimeout(this.pause);
    const query = new URLSearchParams(Object.entries(this.said).filter(([, value]) => value)).toString();
    history.replaceState(null, "", `${location.pathname}${query && `?${query}`}`);
    return this.search();
  }

  // an answer that comes after a newer question is dropped
  async search() {
    this.turn += 1;
    const turn = this.turn;
    if (!Object.values(this.said).some(Boolean)) {
      this.show("", []);
      return;
    }
    try {
      const { said, items } = await this.find(this.said);
      if (turn === this.turn) {
        await this.show(said, items);
      }
    } catch (error) {
      if (turn === this.turn) {
        await this.show(`The search could not be loaded: ${error.message}`, []);
      }
    }
  }

  async show(said, items) {
    const turn = this.turn;
    const drawn = items.length ? await this.draw(items.slice(0, this.step)) : [];
    if (turn !== this.turn) {
      return;
    }
    this.rest = items.slice(this.step);
    this.results.replaceChildren();
    if (drawn.length) {
      const { outer, inner } = this.container();
      inner.append(...drawn);
      this.inner = inner;
      this.results.append(outer);
    }
    this.more.hidden = this.rest.length === 0;
    this.status.textContent = said;
  }

  async showMore() {
    const turn = this.turn;
    const drawn = await this.draw(this.rest.slice(0, this.step));
    if (turn !== this.turn) {
      return;
    }
    this.rest = this.rest.slice(this.step);
    this.inner.append(...drawn);
    this.more.hidden = this.rest.length === 0;
    // the button may be gone, and the focus with it
    drawn.map((element) => element.querySelector("a")).find(Boolean)?.focus();
  }
}
