// Lengths: what is known in the picture, what is measured in it, and what is kept of a board.

import { element, show } from "./lists.js";
import { isWholeCard, isWholeScale, longEdgeFirst } from "./model.js";
import { ask } from "./server.js";

const byId = (id) => document.getElementById(id);
const number = (input) => (input.value === "" || !input.validity.valid ? null : Number(input.value));

export class Lengths {
  constructor(desk) {
    Object.assign(this, { desk, asked: "", turn: 0 });
    byId("known").addEventListener("change", (event) => desk.setKnown(number(event.target) || null));
    byId("camera").addEventListener("change", (event) => desk.setCamera(number(event.target) || null));
    byId("above").addEventListener("change", () => this.measure());
    byId("drop-points").addEventListener("click", () => desk.dropPoints());
    for (const edge of ["length", "width"]) {
      byId(`keep-${edge}`).addEventListener("click", () => desk.keepEdge(byId("board").value, edge, number(byId("above"))));
    }
  }

  render() {
    const { desk } = this;
    byId("measuring").hidden = !desk.isMeasuring;
    if (!desk.isMeasuring) return;
    for (const [id, value] of [["known", desk.photo.scale?.length_mm], ["camera", desk.photo.camera_mm]]) {
      if (document.activeElement !== byId(id)) byId(id).value = value ?? "";
    }
    byId("drop-points").disabled = desk.points(desk.tool).length === 0;
    this.#boards();
    this.measure();
  }

  #boards() {
    const { desk } = this;
    const boards = desk.drawing.boards;
    byId("keep").hidden = desk.points("length").length < 2 || !boards.length;
    const select = byId("board");
    const names = boards.map((board) => board.id).join(" ");
    if (select.dataset.names !== names) {
      select.dataset.names = names;
      select.replaceChildren(...boards.map((board) => element("option", { value: board.id }, board.id)));
      select.value = desk.about.board ?? boards[0]?.id;
    }
    const kept = boards.filter((board) => board.in_photo?.file === desk.photo.file);
    const make = () => {
      const item = element("li", {}, element("span"), element("button", { type: "button", textContent: "Take out" }));
      item.lastElementChild.addEventListener("click", () => desk.dropEdges(item.dataset.item));
      return item;
    };
    show(byId("kept"), kept.map((board) => ({ key: board.id, seen: board.in_photo })), make, (item, { key, seen }) => {
      const edges = ["length", "width"].filter((edge) => seen[edge]).join(" and ");
      item.firstElementChild.textContent = `Kept of board ${key}: ${edges}`;
      item.lastElementChild.setAttribute("aria-label", `Take out what is kept of board ${key}`);
    });
  }

  /** Ask for the length between the two points; the newest question alone is answered. */
  async measure() {
    const { desk } = this;
    const { file, scale, card, camera_mm } = desk.photo;
    const ends = desk.points("length");
    const whole = isWholeCard(card) && desk.size ? { corners: longEdgeFirst(card.corners, desk.size) } : null;
    const question = { file, ends, scale: isWholeScale(scale) ? scale : null, card: whole, camera_mm, above_mm: number(byId("above")) };
    const text = JSON.stringify(question);
    if (text === this.asked) return;
    this.asked = text;
    const turn = (this.turn += 1);
    if (ends.length < 2) return this.#tell("", [this.#whatIsMissing(scale, card)]);
    const { status, data } = await ask("measure", question);
    if (turn !== this.turn) return;
    this.#tell(data.text ?? "", status === 200 ? data.notes : data.problems ?? [data.message ?? "No answer."]);
  }

  #whatIsMissing(scale, card) {
    if (isWholeCard(card) || isWholeScale(scale)) return "Place two points with Measure.";
    if (scale?.points.length === 2) return "Give the known length in millimetres.";
    return "Mark a known length, or the four corners of a card, then two points with Measure.";
  }

  #tell(length, notes) {
    byId("reading").replaceChildren(...(length ? [element("p", { className: "value" }, length)] : []), ...notes.map((note) => element("p", { className: "quiet" }, note)));
  }
}
