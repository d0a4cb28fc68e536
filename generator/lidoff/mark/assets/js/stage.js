// The picture with its boxes and points: what is drawn over it.

const SVG = "http://www.w3.org/2000/svg";
const HANDLES = ["nw", "n", "ne", "e", "se", "s", "sw", "w"];
const ROOM_FOR_MIDDLES = 56;
export const HIT = 24;

const make = (name, attributes = {}) => {
  const element = document.createElementNS(SVG, name);
  set(element, attributes);
  return element;
};
const set = (element, attributes) => Object.entries(attributes).forEach(([name, value]) => element.setAttribute(name, value));
const percent = (value) => `${(value * 100).toFixed(1)} %`;
export const boxInWords = ([left, top, width, height]) =>
  `left ${percent(left)}, top ${percent(top)}, width ${percent(width)}, height ${percent(height)}`;

/** Draws over the picture; things keep their elements from one drawing to the next, so that the focus stays. */
export class Overlay {
  constructor(svg, view) {
    Object.assign(this, { svg, view, held: new Map() });
  }

  draw(things) {
    const keys = new Set(things.map((thing) => thing.key));
    for (const [key, group] of this.held) {
      if (!keys.has(key)) {
        group.remove();
        this.held.delete(key);
      }
    }
    for (const thing of things) {
      let group = this.held.get(thing.key);
      if (!group) {
        group = this.#made(thing);
        this.held.set(thing.key, group);
        this.svg.append(group);
      }
      if (thing.kind === "box") this.#box(group, thing);
      else if (thing.kind === "point") this.#point(group, thing);
      else this.#line(group, thing);
    }
  }

  focus(key) {
    this.held.get(key)?.focus({ preventScroll: true });
  }

  #made(thing) {
    const group = make("g", { class: thing.kind, "data-key": thing.key });
    if (thing.kind === "box") {
      group.append(make("rect", { class: "halo" }), make("rect", { class: "edge" }), make("rect", { class: "flag" }), make("text"), make("g", { class: "handles" }));
    } else if (thing.kind === "point") {
      group.append(make("circle", { class: "hit", r: HIT / 2 }), make("path", { class: "halo" }), make("path", { class: "cross" }), make("text"));
    } else {
      group.append(make("path", { class: "halo" }), make("path", { class: "edge" }));
    }
    if (thing.kind !== "line") set(group, { role: "button", tabindex: "0" });
    return group;
  }

  #box(group, { box, label, words, chosen, draft }) {
    const [[x, y], [right, bottom]] = [this.view.toStage(box), this.view.toStage([box[0] + box[2], box[1] + box[3]])];
    const [width, height] = [right - x, bottom - y];
    const [halo, edge, flag, text, handles] = group.children;
    for (const rect of [halo, edge]) set(rect, { x, y, width, height });
    const wide = 8 * label.length + 10;
    const above = y > 20 ? y - 20 : y;
    set(flag, { x, y: above, width: wide, height: 20, rx: 2 });
    set(text, { x: x + 5, y: above + 14 });
    text.textContent = label;
    set(group, { "aria-label": words, "aria-pressed": String(chosen), class: `box${chosen ? " chosen" : ""}${draft ? " draft" : ""}` });
    this.#handles(handles, chosen && !draft, { x, y, width, height });
  }

  #handles(holder, wanted, { x, y, width, height }) {
    const roomy = Math.min(width, height) > ROOM_FOR_MIDDLES;
    const names = wanted ? HANDLES.filter((name) => roomy || name.length === 2) : [];
    if (holder.children.length !== names.length) {
      holder.replaceChildren(...names.map((name) => {
        const handle = make("g", { class: `handle ${name}`, "data-handle": name });
        handle.append(make("rect", { class: "hit", width: HIT, height: HIT }), make("rect", { class: "knob", width: 10, height: 10 }));
        return handle;
      }));
    }
    for (const handle of holder.children) {
      const name = handle.dataset.handle;
      const cx = x + (name.includes("w") ? 0 : name.includes("e") ? width : width / 2);
      const cy = y + (name.includes("n") ? 0 : name.includes("s") ? height : height / 2);
      set(handle.children[0], { x: cx - HIT / 2, y: cy - HIT / 2 });
      set(handle.children[1], { x: cx - 5, y: cy - 5 });
    }
  }

  #point(group, { point, label, words, chosen, family }) {
    const [x, y] = this.view.toStage(point);
    const [hit, halo, cross, text] = group.children;
    set(hit, { cx: x, cy: y });
    for (const path of [halo, cross]) set(path, { d: `M${x - 11} ${y}h8m6 0h8M${x} ${y - 11}v8m0 6v8` });
    set(text, { x: x + 9, y: y - 9 });
    text.textContent = label;
    set(group, { "aria-label": words, "aria-pressed": String(chosen), class: `point ${family}${chosen ? " chosen" : ""}` });
  }

  #line(group, { points, closed, family }) {
    const path = points.map((point) => this.view.toStage(point).join(" ")).join("L");
    for (const one of group.children) set(one, { d: `M${path}${closed ? "Z" : ""}` });
    set(group, { class: `line ${family}` });
  }
}
