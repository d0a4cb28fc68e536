// The desk: which picture lies on it, what is chosen, and every step that changes the drawing.

import { History } from "./history.js";
import { Overlay, boxInWords } from "./stage.js";
import { addBox, between, changeBox, clamp, differences, moved, newId, removeBox, setBoard, setPhoto } from "./model.js";

const LEAST_EDGE = 0.004;
const FIRST_SIZE_PX = 90;
const MOST = { known: 2, card: 4, length: 2 };
const NAMES = { known: "Known length", card: "Card", length: "Measure" };

export class Desk {
  constructor({ view, svg, changed, say }) {
    Object.assign(this, { view, changed, say, overlay: new Overlay(svg, view), place: -1, tool: "box", chosen: null, next: null });
    Object.assign(this, { ends: {}, previewed: null, drafted: null, sizes: {}, isReady: false, components: [], parts: new Map() });
  }

  /** Put a record on the desk. */
  open(state, drawing) {
    this.take(state);
    this.base = drawing;
    this.history = new History(drawing);
    this.next = this.openParts()[0]?.ref ?? null;
  }

  take(state) {
    this.state = state;
    this.components = state.components;
    this.parts = new Map(state.components.map((part) => [part.ref, part]));
    this.sizes = Object.fromEntries(state.photos.filter((photo) => photo.size).map((photo) => [photo.file, photo.size]));
  }

  get isOpen() { return this.history !== undefined; }
  get drawing() { return this.history.present; }
  get photo() { return this.drawing.photos[this.place]; }
  get about() { return this.state.photos[this.place]; }
  get size() { return this.sizes[this.photo.file]; }
  get isMeasuring() { return this.tool in MOST; }
  get isChanged() {
    const { photos, boards } = this.drawing === this.base ? { photos: [], boards: [] } : differences(this.base, this.drawing, this.sizes);
    return photos.length + boards.length > 0;
  }
  get hasChosen() { return this.chosen !== null; }
  get box() { return this.photo?.boxes.find((box) => box.id === this.chosen) ?? null; }
  boxOf(key) { return this.photo.boxes.find((box) => box.id === key) ?? null; }
  isChosen(key) { return this.chosen === key; }

  /** Parts that have no box in any picture; those of the board in sight come first. */
  openParts() {
    const boxed = new Set(this.drawing.photos.flatMap((photo) => photo.boxes.map((box) => box.ref)));
    const about = this.about;
    const off = (part) => (about?.board && part.board && part.board !== about.board ? 2 : 0) + (about?.side && part.side && part.side !== about.side ? 1 : 0);
    return this.components.filter((part) => !boxed.has(part.ref)).map((part) => ({ ...part, off: off(part) })).sort((a, b) => a.off - b.off);
  }

  step(drawing, key = "") {
    this.history.step(drawing, key);
    this.changed();
  }

  undo() { this.#back(this.history.undo(), "Undone"); }
  redo() { this.#back(this.history.redo(), "Done again"); }

  #back(was, word) {
    if (!was) return;
    if (this.chosen && !this.box && !this.pointAt(this.chosen)) this.chosen = null;
    this.say(word);
    this.changed();
  }

  use(tool) {
    this.tool = tool;
    this.chosen = null;
    this.changed();
  }

  choose(key) {
    this.chosen = key;
    if (this.box) this.say(`${this.box.ref} is chosen`);
    this.changed();
  }

  chooseNext(ref) {
    this.next = ref;
    this.say(`${ref} gets the next box`);
    this.changed();
  }

  // boxes

  draft(box) {
    this.drafted = box;
    this.redraw();
  }

  cornered() { this.say("First corner set. Press where the opposite corner is; Esc to leave it."); }

  drawn(box) {
    this.drafted = null;
    if (!box) {
      this.say("Too small for a box");
      return this.redraw();
    }
    const ref = this.next ?? this.components[0]?.ref;
    if (!ref) {
      this.say("The record has no parts yet; a box needs one");
      return this.redraw();
    }
    const made = { id: newId(), ref, box };
    this.chosen = made.id;
    this.history.step(addBox(this.drawing, this.place, made));
    this.next = this.openParts()[0]?.ref ?? null;
    this.say(`Box for ${ref}${this.next ? `; next is ${this.next}` : ""}`);
    this.changed();
  }

  /** A box in the middle of the view, for those who do not draw with a pointer. */
  drawnInTheMiddle() {
    const [x, y] = this.view.middle;
    const [width, height] = this.size.map((edge) => Math.min(FIRST_SIZE_PX / (edge * this.view.scale), 1) / 2);
    this.drawn(between([x - width, y - height], [x + width, y + height]));
    this.overlay.focus(this.chosen);
  }

  preview(id, box) {
    this.previewed = id === null ? null : { id, box };
    this.redraw();
  }

  keepPreview(how) {
    const one = this.previewed;
    this.previewed = null;
    if (one?.box) this.changeBox(one.id, { box: one.box }, "", how);
    else this.redraw();
  }

  changeBox(id, values, key = "", how = "changed") {
    this.step(changeBox(this.drawing, this.place, id, values), key);
    const box = this.boxOf(id);
    this.say(`${box.ref} ${how}: ${boxInWords(box.box)}`);
  }

  nudgeBox(dx, dy, isSize) {
    const { id, box } = this.box;
    const [left, top, width, height] = box;
    const sized = [left, top, clamp(width + dx, LEAST_EDGE, 1 - left), clamp(height + dy, LEAST_EDGE, 1 - top)];
    this.changeBox(id, { box: isSize ? sized : moved(box, dx, dy) }, `nudge ${id} ${isSize}`, isSize ? "resized" : "moved");
  }

  removeChosen() {
    if (this.box) {
      const { id, ref } = this.box;
      this.chosen = null;
      this.next = ref;
      this.say(`Box of ${ref} taken out`);
      this.step(removeBox(this.drawing, this.place, id));
    } else if (this.pointAt(this.chosen)) {
      this.dropPoints(this.chosen.split(":")[0]);
    }
  }

  // points

  points(family) {
    const { scale, card } = this.photo;
    return (family === "known" ? scale?.points : family === "card" ? card?.corners : this.ends[this.photo.file]) ?? [];
  }

  pointAt(key) {
    const [family, at] = (key ?? "").split(":");
    return at === undefined ? null : this.points(family)[Number(at)] ?? null;
  }

  #setPoints(family, points, key = "") {
    if (family === "length") {
      this.ends = { ...this.ends, [this.photo.file]: points };
      return this.changed();
    }
    const { scale } = this.photo;
    const empty = family === "known" ? !points.length && !scale?.length_mm : !points.length;
    const known = { ...(scale ?? { length_mm: null }), points };
    const values = family === "known" ? { scale: empty ? null : known } : { card: empty ? null : { corners: points } };
    this.step(setPhoto(this.drawing, this.place, values), key);
  }

  placePoint(point) {
    const family = this.tool;
    const held = this.points(family);
    const points = held.length < MOST[family] ? [...held, point] : family === "length" ? [point] : held;
    if (points === held) {
      this.say(`${NAMES[family]} has all its points; move them, or take them out`);
      return;
    }
    this.chosen = `${family}:${points.length - 1}`;
    this.#setPoints(family, points);
    this.say(`${NAMES[family]}: point ${points.length} of ${MOST[family]}`);
  }

  placeInTheMiddle() {
    this.placePoint(this.view.middle);
    this.overlay.focus(this.chosen);
  }

  previewPoint(key, point) {
    this.previewed = { key, point };
    this.chosen = key;
    this.redraw();
  }

  keepPoint(key) {
    const point = this.previewed?.key === key ? this.previewed.point : null;
    this.previewed = null;
    this.chosen = key;
    if (point) this.movePoint(key, point);
    else this.changed();
  }

  movePoint(key, point, merge = "") {
    const [family, at] = key.split(":");
    this.#setPoints(family, this.points(family).map((one, place) => (place === Number(at) ? point : one)), merge);
  }

  nudgePoint(dx, dy) {
    const [x, y] = this.pointAt(this.chosen);
    this.movePoint(this.chosen, [clamp(x + dx, 0, 1), clamp(y + dy, 0, 1)], `nudge ${this.chosen}`);
  }

  dropPoints(family = this.tool) {
    this.chosen = null;
    this.#setPoints(family, []);
    this.say(`${NAMES[family]}: points taken out`);
  }

  setKnown(length) {
    const scale = this.photo.scale ?? { points: [] };
    const empty = length === null && !scale.points.length;
    this.step(setPhoto(this.drawing, this.place, { scale: empty ? null : { ...scale, length_mm: length } }), "known");
  }

  setCamera(distance) { this.step(setPhoto(this.drawing, this.place, { camera_mm: distance }), "camera"); }

  keepEdge(id, edge, above) {
    const held = this.drawing.boards.find((board) => board.id === id).in_photo;
    const same = held?.file === this.photo.file ? held : {};
    const kept = { ...same, file: this.photo.file, [edge]: this.points("length") };
    if (above !== null) kept.above_mm = above;
    this.say(`Kept as the ${edge} of ${id}`);
    this.step(setBoard(this.drawing, id, kept));
  }

  dropEdges(id) { this.step(setBoard(this.drawing, id, null)); }

  // drawing

  redraw() { if (this.isReady) this.overlay.draw(this.isMeasuring ? this.#measures() : this.#boxes()); }

  #boxes() {
    const things = this.photo.boxes.map(({ id, ref, box }) => {
      const shown = this.previewed?.id === id && this.previewed.box ? this.previewed.box : box;
      const what = this.parts.get(ref)?.what;
      return { key: id, kind: "box", box: shown, label: ref, chosen: this.chosen === id, words: `Box of ${ref}${what ? `, ${what}` : ""}: ${boxInWords(shown)}` };
    });
    const draft = { key: "draft", kind: "box", box: this.drafted, label: this.next ?? "", words: "New box", draft: true };
    return this.drafted ? [...things, draft] : things;
  }

  #measures() {
    return Object.keys(MOST).flatMap((family) => {
      const points = this.points(family).map((point, at) => (this.previewed?.key === `${family}:${at}` ? this.previewed.point : point));
      const line = { key: `${family} line`, kind: "line", points, closed: points.length === 4, family };
      const marks = points.map((point, at) => ({
        key: `${family}:${at}`, kind: "point", point, family, chosen: this.chosen === `${family}:${at}`, label: String(at + 1),
        words: `${NAMES[family]}, point ${at + 1}: ${(point[0] * 100).toFixed(2)} % from the left, ${(point[1] * 100).toFixed(2)} % from the top`,
      }));
      return points.length > 1 ? [line, ...marks] : marks;
    });
  }
}
