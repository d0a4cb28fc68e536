// Where the picture lies on the stage: its offset and its size on the screen for one pixel of its own.

import { clamp } from "./model.js";

const LARGEST = 24;
const MARGIN = 8;

export class View {
  constructor(stage, picture) {
    Object.assign(this, { stage, picture, x: 0, y: 0, scale: 1, size: [1, 1] });
  }

  get least() {
    const { clientWidth, clientHeight } = this.stage;
    const whole = Math.min((clientWidth - 2 * MARGIN) / this.size[0], (clientHeight - 2 * MARGIN) / this.size[1]);
    return Math.max(Math.min(whole, 1), 0.001);
  }

  get percent() {
    return Math.round(this.scale * 100);
  }

  fit() {
    this.scale = this.least;
    this.#place((this.stage.clientWidth - this.size[0] * this.scale) / 2, (this.stage.clientHeight - this.size[1] * this.scale) / 2);
  }

  /** Larger or smaller about a point of the stage, its middle when none is given. */
  zoom(factor, [x, y] = [this.stage.clientWidth / 2, this.stage.clientHeight / 2]) {
    const scale = clamp(this.scale * factor, this.least * 0.9, LARGEST);
    const by = scale / this.scale;
    this.scale = scale;
    this.#place(x - (x - this.x) * by, y - (y - this.y) * by);
  }

  shift(dx, dy) {
    this.#place(this.x + dx, this.y + dy);
  }

  /** From a point of the stage to fractions of the picture, and back. */
  toPicture([x, y]) {
    return [(x - this.x) / (this.size[0] * this.scale), (y - this.y) / (this.size[1] * this.scale)];
  }

  toStage([x, y]) {
    return [this.x + x * this.size[0] * this.scale, this.y + y * this.size[1] * this.scale];
  }

  get middle() {
    return this.toPicture([this.stage.clientWidth / 2, this.stage.clientHeight / 2]).map((value) => clamp(value, 0, 1));
  }

  /** Bring a point of the picture into sight. */
  show(point) {
    const [x, y] = this.toStage(point);
    const { clientWidth, clientHeight } = this.stage;
    const off = (value, most) => (value < 0 || value > most ? most / 2 - value : 0);
    if (off(x, clientWidth) || off(y, clientHeight)) this.shift(off(x, clientWidth), off(y, clientHeight));
  }

  // a piece of the picture always stays in sight
  #place(x, y) {
    const [width, height] = [this.size[0] * this.scale, this.size[1] * this.scale];
    const { clientWidth, clientHeight } = this.stage;
    this.x = clamp(x, Math.min(clientWidth / 2 - width, 0), Math.max(clientWidth / 2, clientWidth - width));
    this.y = clamp(y, Math.min(clientHeight / 2 - height, 0), Math.max(clientHeight / 2, clientHeight - height));
    this.picture.style.width = `${this.size[0]}px`;
    this.picture.style.height = `${this.size[1]}px`;
    this.picture.style.transform = `translate(${this.x}px, ${this.y}px) scale(${this.scale})`;
  }
}
