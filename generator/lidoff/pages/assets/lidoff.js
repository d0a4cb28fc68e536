// The pages' one script. Every page reads without it; it adds sorting, filtering and comparisons of one's own choice.

const parts = [
  ["[data-table]", "./lidoff/tables.js"],
  ["[data-lookup]", "./lidoff/lookup.js"],
  ["[data-search]", "./lidoff/search.js"],
  ["[data-comparison]", "./lidoff/comparison.js"],
  ["[data-life-size]", "./lidoff/life_size.js"],
  ["table.lf-comparison", "./lidoff/ready_comparison.js"],
  [".lf-enlarge", "./lidoff/lightbox.js"],
  [".lf-page [data-mark]", "./lidoff/marks.js"],
  [".lf-page", "./lidoff/tray.js"],
];

for (const [selector, module] of parts) {
  if (document.querySelector(selector)) {
    import(module).then((part) => part.start());
  }
}
