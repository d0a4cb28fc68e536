// Undo and redo over drawings that never change themselves.

const MERGE_MS = 900; // steps of a held arrow key are one step

export class History {
  constructor(present) {
    this.start(present);
  }

  start(present) {
    this.past = [];
    this.future = [];
    this.present = present;
    this.last = { key: "", at: 0 };
  }

  /** Take a new drawing; steps with the same ``key`` in quick succession count as one. */
  step(present, key = "") {
    const now = performance.now();
    if (present === this.present) return;
    if (!key || key !== this.last.key || now - this.last.at > MERGE_MS) this.past.push(this.present);
    this.last = { key, at: now };
    this.future = [];
    this.present = present;
  }

  undo() {
    if (!this.past.length) return false;
    this.future.push(this.present);
    this.present = this.past.pop();
    this.last = { key: "", at: 0 };
    return true;
  }

  redo() {
    if (!this.future.length) return false;
    this.past.push(this.present);
    this.present = this.future.pop();
    this.last = { key: "", at: 0 };
    return true;
  }
}
