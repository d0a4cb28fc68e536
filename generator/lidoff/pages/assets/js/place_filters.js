// Filters whose words are in no column: a small file says at which places of the list each word's products stand.

export class PlaceFilters {
  constructor(form) {
    this.selects = form ? [...form.querySelectorAll("select[data-places]")] : [];
    this.files = new Map();
  }

  get wanted() {
    return this.selects.filter((select) => select.value);
  }

  get isLoaded() {
    return this.wanted.every((select) => this.files.has(select.name));
  }

  async load() {
    for (const select of this.wanted.filter((one) => !this.files.has(one.name))) {
      const answer = await fetch(select.dataset.places);
      if (!answer.ok) {
        throw new Error(`${answer.status} for ${select.name}`);
      }
      const found = Object.entries(await answer.json());
      this.files.set(select.name, new Map(found.map(([word, places]) => [word, new Set(places)])));
    }
  }

  get chosen() {
    return this.wanted
      .filter((select) => this.files.has(select.name))
      .map((select) => this.files.get(select.name).get(select.value) ?? new Set());
  }
}
