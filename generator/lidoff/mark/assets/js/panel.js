// The side of the page: the chosen box, and the parts with and without one.

import { element, fillPart, partItem, show } from "./lists.js";
import { clamp } from "./model.js";
import { picture } from "./server.js";

const byId = (id) => document.getElementById(id);
const EDGES = ["left", "top", "width", "height"];
const short = (file) => file.replace(/^photos\//, "");

export class Panel {
  constructor(desk, go) {
    Object.assign(this, { desk, go });
    byId("ref").addEventListener("change", (event) => desk.changeBox(desk.chosen, { ref: event.target.value }, "", "assigned"));
    byId("remove").addEventListener("click", () => {
      desk.removeChosen();
      byId("stage").focus();
    });
    EDGES.forEach((name, at) => byId(name).addEventListener("change", (event) => this.#typed(at, event.target)));
    this.open = partItem((ref) => desk.chooseNext(ref));
    this.here = partItem((id) => this.#toBox(desk.place, id));
    this.other = partItem((key) => this.#toBox(Number(key.split(" ")[0]), key.split(" ")[1]));
  }

  #typed(at, input) {
    const box = [...this.desk.box.box];
    if (input.value === "" || !input.validity.valid) return this.render();
    box[at] = Number(input.value) / 100;
    const [left, top] = [clamp(box[0], 0, 0.99), clamp(box[1], 0, 0.99)];
    this.desk.changeBox(this.desk.chosen, { box: [left, top, Math.min(box[2], 1 - left), Math.min(box[3], 1 - top)] });
  }

  #toBox(place, id) {
    const { desk } = this;
    if (place !== desk.place) this.go(place);
    if (desk.isMeasuring) desk.use("box");
    desk.choose(id);
    const [left, top, width, height] = desk.box.box;
    desk.view.show([left + width / 2, top + height / 2]);
    desk.redraw();
  }

  /** A button for each picture. */
  pictures() {
    const make = (place) => {
      const about = this.desk.state.photos[place];
      const image = about.size ? element("img", { src: picture(about.file), alt: "", loading: "lazy" }) : element("span", { className: "none" });
      const button = element("button", { type: "button", title: about.alt }, image, element("span", {}, short(about.file)), element("span", { className: "count" }));
      button.addEventListener("click", () => this.go(place));
      return button;
    };
    byId("pictures").replaceChildren(...this.desk.state.photos.map((_, place) => make(place)));
  }

  render() {
    const { desk } = this;
    [...byId("pictures").children].forEach((button, place) => {
      button.setAttribute("aria-pressed", String(place === desk.place));
      const { length } = desk.drawing.photos[place].boxes;
      button.lastElementChild.textContent = `${length} ${length === 1 ? "box" : "boxes"}`;
    });
    this.#chosen();
    const named = (part) => [part?.what, part?.named].filter(Boolean).join(" · ");
    const open = desk.openParts();
    show(byId("open"), open.map((part) => ({ key: part.ref, ref: part.ref, what: named(part) + this.#elsewhere(part), chosen: part.ref === desk.next })), this.open, fillPart);
    byId("open-count").textContent = open.length;
    byId("all-done").hidden = open.length > 0;
    const here = desk.photo.boxes;
    show(byId("here"), here.map(({ id, ref }) => ({ key: id, ref, what: named(desk.parts.get(ref)), chosen: id === desk.chosen })), this.here, fillPart);
    byId("here-count").textContent = here.length;
    const others = desk.drawing.photos.flatMap((photo, place) => (place === desk.place ? [] : photo.boxes.map(({ id, ref }) => ({
      key: `${place} ${id}`, ref, what: short(photo.file), chosen: false,
    }))));
    show(byId("else"), others, this.other, fillPart);
    byId("else-count").textContent = others.length;
  }

  #elsewhere(part) {
    const { about } = this.desk;
    if (about.board && part.board && part.board !== about.board) return ` (on board ${part.board})`;
    if (part.side === "off-board") return " (off the board)";
    return about.side && part.side && part.side !== about.side ? ` (${part.side} side)` : "";
  }

  #chosen() {
    const { desk } = this;
    const { box } = desk;
    byId("chosen").hidden = !box || desk.isMeasuring;
    if (!box) return;
    const refs = desk.components.map((part) => part.ref);
    const select = byId("ref");
    if (select.dataset.refs !== refs.join(" ")) {
      select.dataset.refs = refs.join(" ");
      select.replaceChildren(...desk.components.map((part) => element("option", { value: part.ref }, `${part.ref}  ${part.what}`)));
    }
    select.value = box.ref;
    byId("chosen-name").textContent = `Box of ${box.ref}`;
    EDGES.forEach((name, at) => {
      if (document.activeElement !== byId(name) || Number(byId(name).value) !== box.box[at] * 100) byId(name).value = (box.box[at] * 100).toFixed(2);
    });
  }
}
