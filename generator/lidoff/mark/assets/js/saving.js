// Saving, and what happens when the record has changed meanwhile: nothing that was drawn is ever lost.

import { asText, differences, fromRecord, over, savedOrder } from "./model.js";
import { element } from "./lists.js";
import { ask } from "./server.js";

const byId = (id) => document.getElementById(id);

export class Saving {
  constructor(desk) {
    Object.assign(this, { desk, isBusy: false, isGone: false });
    byId("save").addEventListener("click", () => this.save());
    addEventListener("beforeunload", (event) => this.desk.isOpen && this.desk.isChanged && event.preventDefault());
  }

  render() {
    const { desk } = this;
    const changed = desk.isChanged;
    byId("undo").disabled = !desk.history.past.length;
    byId("redo").disabled = !desk.history.future.length;
    byId("save").disabled = !changed || this.isBusy || this.isGone;
    byId("saved").textContent = this.isBusy ? "Saving …" : changed ? "Not saved yet" : "All saved";
    if (byId("as-text").open) this.text();
  }

  text() {
    const { base, drawing, sizes, isChanged } = this.desk;
    const empty = { photos: [], boards: [] };
    byId("text").value = asText(differences(isChanged ? base : empty, drawing, sizes));
  }

  async save() {
    const { desk } = this;
    if (this.isBusy || !desk.isChanged) return;
    this.isBusy = true;
    desk.changed();
    const { base, drawing } = desk;
    const { status, data } = await ask("save", { digest: desk.state.digest, ...differences(base, drawing, desk.sizes) });
    this.isBusy = false;
    if (status === 200) this.#saved(data, base, drawing);
    else if (status === 409 && data.state) this.#changedMeanwhile(data.state);
    else if (status === 0) this.gone(true);
    else this.tell("Nothing was saved.", data.problems ?? [data.message ?? `The answer was ${status}.`]);
    desk.changed();
  }

  #saved(state, base, drawing) {
    const { desk } = this;
    desk.take(state);
    desk.base = fromRecord(state, savedOrder(base, drawing));
    // what was drawn while the answer was on its way stays a change
    if (desk.drawing === drawing) desk.history.present = desk.base;
    this.hide();
    desk.say("Saved into the record");
  }

  #changedMeanwhile(state) {
    const take = element("button", { type: "button", className: "main" }, "Put my marks over it");
    take.addEventListener("click", () => {
      const { desk } = this;
      const fresh = fromRecord(state);
      const { drawing, clashes } = over(fresh, desk.base, desk.drawing);
      const file = desk.photo.file;
      desk.take(state);
      desk.base = fresh;
      desk.place = Math.max(0, state.photos.findIndex((photo) => photo.file === file));
      desk.chosen = null;
      desk.history.step(drawing);
      this.onRecord();
      if (clashes.length) this.tell("Both have changed these; yours stand here now. Look at them, then save.", clashes);
      else this.hide();
      desk.changed();
    });
    this.tell("The record has changed on the disk since it was read. Nothing was saved, and nothing that you drew is lost.", [
      "Your marks can be put over the record as it is now; what else has changed in it stays. Then save again.",
    ], take);
  }

  /** Say that nobody answers any more, or that somebody does again. */
  gone(isGone) {
    if (isGone === this.isGone) return;
    this.isGone = isGone;
    if (isGone) {
      const lost = this.desk.isOpen && this.desk.isChanged;
      this.tell("Lidoff no longer runs.", lost ? ["What you drew is still on this page: copy it from “Marks as text” below."] : ["Start lidoff mark again to go on."]);
      byId("as-text").open = lost;
    } else this.hide();
    if (this.desk.isOpen) this.desk.changed();
  }

  tell(title, lines, ...buttons) {
    byId("notice").replaceChildren(element("p", { className: "strong" }, title), ...lines.map((line) => element("p", {}, line)), ...buttons);
    byId("notice").hidden = false;
  }

  hide() { byId("notice").hidden = true; }
}
