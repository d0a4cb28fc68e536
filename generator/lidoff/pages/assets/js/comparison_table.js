// The table of a comparison: the words for differences are those of views/comparison.py, and a test holds them together.

import { make } from "./elements.js";

const FEW = 3;
const scaleFor = (count) => (count > FEW ? 0.3 : 0.6);
const SVG = "http://www.w3.org/2000/svg";
const SAME = "the same";

const rounded = (value) => {
  const text = value.toPrecision(3);
  return text.includes("e") ? String(Number(text)) : text;
};

const extremes = (values) => {
  const most = values.reduce((best, one) => (one.value > best.value ? one : best));
  const least = values.reduce((best, one) => (one.value < best.value ? one : best));
  if (least.value <= 0) {
    return `${most.title} most, ${least.title} least`;
  }
  return `${most.title} most, ${rounded(most.value / least.value)} times ${least.title}`;
};

const gapsText = (lines) => {
  const found = Map.groupBy(lines.filter((line) => !line.text), (line) => line.missing);
  const said = (word, many) => (many && word === "does not apply" ? "do not apply" : word);
  return [...found].map(([word, gaps]) => `${gaps.length} ${said(word, gaps.length > 1)}`).join(", ");
};

export const difference = (lines, titles) => {
  const known = lines.map((line, place) => ({ ...line, title: titles[place] })).filter((line) => line.text);
  if (known.length < 2) {
    return known.length ? `known of ${known[0].title} alone` : gapsText(lines);
  }
  const gaps = known.length === lines.length ? "" : `, ${gapsText(lines)}`;
  if (new Set(known.map((line) => line.text)).size === 1) {
    return gaps ? `${SAME} where known${gaps}` : SAME;
  }
  const values = known.filter((line) => line.value !== null);
  const isComparable = values.length === known.length && new Set(known.map((line) => line.unit)).size === 1;
  return (isComparable ? extremes(values) : "they differ") + gaps;
};

const compared = (products) => {
  const titles = products.map((one) => one.title);
  return products[0].comparison
    .map((first, place) => {
      const lines = products.map((one) => one.comparison[place]);
      return { section: first.section, label: first.label, lines, said: difference(lines, titles) };
    })
    .filter((row) => row.lines.some((line) => line.text));
};

const drawing = (size, scale) => {
  if (!size) {
    return document.createTextNode("not measured");
  }
  const [depth, height, width] = size.toSorted((a, b) => a - b).map((edge) => Number((scale * edge).toFixed(2)));
  const svg = document.createElementNS(SVG, "svg");
  const total = Number((width + depth + 3).toFixed(2));
  const attributes = { class: "lf-drawing lf-solid", viewBox: `0 0 ${total} ${height}`, width: `${total}mm`, height: `${height}mm`, "aria-hidden": "true", focusable: "false" };
  Object.entries(attributes).forEach(([name, value]) => svg.setAttribute(name, value));
  for (const [x, edge] of [[0, width], [width + 3, depth]]) {
    const rect = document.createElementNS(SVG, "rect");
    Object.entries({ x, width: edge, height, rx: 1 }).forEach(([name, value]) => rect.setAttribute(name, value));
    svg.append(rect);
  }
  return svg;
};

const row = (label, cells, className = "") => {
  const element = make("tr", "", className);
  const heading = make("th", label);
  heading.scope = "row";
  element.append(heading, ...cells);
  return element;
};

const headRow = (products, base) => {
  const element = make("tr");
  const links = products.map((one) => {
    const link = make("a", one.title);
    link.href = `${base}${one.slug}/`;
    return link;
  });
  for (const content of ["Asked", ...links, "Difference"]) {
    const cell = make("th");
    cell.scope = "col";
    cell.append(content);
    element.append(cell);
  }
  return element;
};

const lineCell = (line) => {
  const cell = make("td", line.text || line.missing);
  if (line.also) {
    cell.append(make("small", line.also));
  }
  return cell;
};

const sectionBody = (title, rows, width) => {
  const body = make("tbody");
  const heading = make("th", title);
  heading.scope = "rowgroup";
  heading.colSpan = width;
  const first = make("tr", "", "lf-section");
  first.append(heading);
  body.append(first);
  for (const one of rows) {
    const cells = [...one.lines.map(lineCell), make("td", one.said)];
    body.append(row(one.label, cells, one.said === SAME ? "" : "lf-differs"));
  }
  return body;
};

export const comparisonTable = (products, base) => {
  const title = "Products compared";
  const table = make("table", "", "lf-grid lf-comparison");
  const head = make("thead");
  head.append(headRow(products, base));
  const bodies = make("tbody");
  const scale = scaleFor(products.length);
  const drawn = products.map((one) => {
    const cell = make("td");
    cell.append(drawing(one.size_mm, scale));
    return cell;
  });
  bodies.append(row(`Body at ${scale} of life size`, [...drawn, make("td", "face and side of each")]));
  table.append(make("caption", title), head, bodies);
  for (const [section, rows] of Map.groupBy(compared(products), (one) => one.section)) {
    table.append(sectionBody(section, rows, products.length + 2));
  }
  const scroller = make("div", "", "lf-scroll");
  Object.entries({ role: "group", "aria-label": title, tabindex: "0" }).forEach(([name, value]) => scroller.setAttribute(name, value));
  scroller.append(table);
  return scroller;
};

export const linesForCsv = (products) => [
  ["Asked", ...products.map((one) => one.title), "Difference"],
  ...compared(products).map((one) => [one.label, ...one.lines.map((line) => (line.text || line.missing).replaceAll("\n", "; ")), one.said]),
];
