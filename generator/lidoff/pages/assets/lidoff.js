// The pages' one script. Every page reads without it; it adds sorting, filtering and comparisons of one's own choice.

const parts = [
  ["[data-table]", "./lidoff/tables.js"],
  ["[data-comparison]", "./lidoff/comparison.js"],
  [".lf-page", "./lidoff/tray.js"],
];

for (const [selector, module] of parts) {
  if (document.querySelector(selector)) {
    import(module).then((part) => part.start());
  }
}
