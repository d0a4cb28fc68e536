// What mouse, pen and fingers do on the stage. Each gesture ends in one step of the drawing.

import { between, clamp, moved, resized } from "./model.js";

const STILL = 4; // pixels within which a press is no drag

export class Hand {
  constructor(stage, view, desk) {
    Object.assign(this, { stage, view, desk, pointers: new Map(), gesture: null, corner: null });
    stage.addEventListener("pointerdown", (event) => this.#down(event));
    stage.addEventListener("pointermove", (event) => this.#move(event));
    stage.addEventListener("pointerup", (event) => this.#up(event));
    stage.addEventListener("pointercancel", (event) => this.#cancel(event));
    stage.addEventListener("wheel", (event) => this.#wheel(event), { passive: false });
  }

  /** Forget a half-drawn box. */
  drop() {
    const was = this.corner !== null || this.gesture !== null;
    this.corner = this.gesture = null;
    this.desk.draft(null);
    return was;
  }

  #at({ clientX, clientY }) {
    const { left, top } = this.stage.getBoundingClientRect();
    return [clientX - left - this.stage.clientLeft, clientY - top - this.stage.clientTop];
  }

  #down(event) {
    if (event.button > 1 || !this.desk.isReady) return;
    const at = this.#at(event);
    this.pointers.set(event.pointerId, at);
    this.stage.setPointerCapture(event.pointerId);
    if (this.pointers.size === 2) {
      this.gesture = { kind: "pinch" };
      this.corner = null;
      this.desk.draft(null);
      return;
    }
    event.preventDefault();
    this.stage.focus({ preventScroll: true });
    this.gesture = { ...this.#begun(event), start: at, last: at, from: this.view.toPicture(at), still: true };
  }

  #begun(event) {
    const group = event.target.closest("[data-key]");
    const handle = event.target.closest("[data-handle]")?.dataset.handle;
    if (event.button === 1 || this.desk.tool === "shift") return { kind: "shift" };
    if (group?.dataset.key.startsWith(`${this.desk.tool}:`)) return { kind: "point", key: group.dataset.key };
    if (this.desk.tool !== "box") return { kind: "place" };
    const box = group && this.desk.boxOf(group.dataset.key);
    if (handle) return { kind: "resize", id: box.id, box: box.box, handle };
    if (box && (this.desk.isChosen(box.id) || event.target.matches(".flag, text"))) return { kind: "move", id: box.id, box: box.box };
    return { kind: "draw", under: box?.id };
  }

  #move(event) {
    if (!this.pointers.has(event.pointerId)) {
      if (this.corner) this.desk.draft(between(this.corner, this.view.toPicture(this.#at(event))));
      return;
    }
    const at = this.#at(event);
    if (this.gesture?.kind === "pinch") this.#pinch(event.pointerId, at);
    this.pointers.set(event.pointerId, at);
    const gesture = this.gesture;
    if (!gesture || gesture.kind === "pinch") return;
    if (gesture.still && Math.hypot(at[0] - gesture.start[0], at[1] - gesture.start[1]) < STILL) return;
    gesture.still = false;
    const to = this.view.toPicture(at);
    if (gesture.kind === "shift") {
      this.view.shift(at[0] - gesture.last[0], at[1] - gesture.last[1]);
      this.desk.redraw();
    }
    gesture.last = at;
    if (gesture.kind === "draw") this.desk.draft(between(gesture.from, to));
    if (gesture.kind === "move") this.desk.preview(gesture.id, moved(gesture.box, to[0] - gesture.from[0], to[1] - gesture.from[1]));
    if (gesture.kind === "resize") this.desk.preview(gesture.id, resized(gesture.box, gesture.handle, to));
    if (gesture.kind === "point") this.desk.previewPoint(gesture.key, to.map((value) => clamp(value, 0, 1)));
  }

  #up(event) {
    const at = this.#at(event);
    this.pointers.delete(event.pointerId);
    const gesture = this.gesture;
    if (!gesture || (gesture.kind === "pinch" && this.pointers.size)) return;
    this.gesture = null;
    const to = this.view.toPicture(at);
    if (gesture.kind === "draw") this.#drawn(gesture, to);
    if (gesture.kind === "move" || gesture.kind === "resize") {
      this.desk.choose(gesture.id);
      this.desk.keepPreview(gesture.kind === "move" ? "moved" : "resized");
    }
    if (gesture.kind === "point") this.desk.keepPoint(gesture.key);
    if (gesture.kind === "place" && gesture.still) this.desk.placePoint(to.map((value) => clamp(value, 0, 1)));
  }

  // a press without a drag chooses what lies under it, or sets one corner; the next press then sets the other
  #drawn(gesture, to) {
    if (!gesture.still) {
      this.corner = null;
      this.desk.drawn(between(gesture.from, to));
    } else if (this.corner) {
      const box = between(this.corner, to);
      this.corner = null;
      this.desk.drawn(box);
    } else if (gesture.under) {
      this.desk.choose(gesture.under);
    } else if (this.desk.hasChosen) {
      this.desk.choose(null);
    } else {
      this.corner = gesture.from;
      this.desk.cornered();
    }
  }

  #cancel(event) {
    this.pointers.delete(event.pointerId);
    this.gesture = null;
    this.desk.preview(null);
    this.desk.draft(null);
  }

  #pinch(id, at) {
    const before = this.pointers.get(id);
    const other = [...this.pointers].find(([key]) => key !== id)?.[1];
    if (!other) return;
    const far = ([x, y]) => Math.max(Math.hypot(x - other[0], y - other[1]), 1);
    this.view.zoom(far(at) / far(before), other);
    this.view.shift((at[0] - before[0]) / 2, (at[1] - before[1]) / 2);
    this.desk.redraw();
  }

  #wheel(event) {
    if (!this.desk.isReady) return;
    event.preventDefault();
    this.view.zoom(Math.exp(-clamp(event.deltaY, -240, 240) / 400), this.#at(event));
    this.desk.redraw();
  }
}
