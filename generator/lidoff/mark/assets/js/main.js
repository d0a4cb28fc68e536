// The page: loads the record, and brings its pieces together.

import { Desk } from "./desk.js";
import { Hand } from "./hand.js";
import { pageKeys, stageKeys } from "./keys.js";
import { Lengths } from "./lengths.js";
import { Panel } from "./panel.js";
import { Saving } from "./saving.js";
import { View } from "./view.js";
import { ask, picture, stayInTouch } from "./server.js";
import { fromRecord } from "./model.js";

const byId = (id) => document.getElementById(id);
const HINTS = {
  box: "Drag to draw a box, or press on two corners. Press on a box to choose it, then drag it or its handles.",
  shift: "Drag to shift the view. Two fingers or the wheel make it larger and smaller.",
  known: "Press on both ends of a length that you know, such as a ruler in the picture, and give it in millimetres.",
  card: "Press on the four corners of an ID-1 card (85.60 × 53.98 mm), where its straight edges would meet. It must lie in the plane that is measured: raise it to the height of the board.",
  length: "Press on two points to measure between them.",
};

const stage = byId("stage");
const view = new View(stage, byId("picture"));
const say = (text) => { byId("said").textContent = text; };
const changed = () => {
  panel.render();
  lengths.render();
  saving.render();
  byId("zoom").textContent = `${view.percent} %`;
  byId("hint").textContent = desk.isReady ? `${HINTS[desk.tool]}${desk.tool === "box" && desk.next ? ` Next: ${desk.next}, ${desk.parts.get(desk.next).what}.` : ""}` : "";
  for (const button of byId("tools").children) button.setAttribute("aria-pressed", String(button.dataset.tool === desk.tool));
  desk.redraw();
};
const desk = new Desk({ view, svg: byId("overlay"), changed, say });
const panel = new Panel(desk, (place) => lay(place));
const lengths = new Lengths(desk);
const saving = new Saving(desk);
const hand = new Hand(stage, view, desk);

/** Lay a picture on the desk. */
function lay(place) {
  hand.drop();
  desk.place = place;
  desk.chosen = null;
  const { file, alt, size, fault } = desk.about;
  desk.isReady = Boolean(size) && !fault;
  stage.classList.toggle("empty", !desk.isReady);
  byId("broken").hidden = desk.isReady;
  byId("broken").textContent = desk.isReady ? "" : `${file}: ${fault}.`;
  byId("sheet-name").textContent = `Picture ${file}. ${alt}`;
  byId("picture").hidden = !desk.isReady;
  if (desk.isReady) {
    byId("picture").src = picture(file);
    view.size = size;
    view.fit();
  }
  if (!desk.next || !desk.openParts().some((part) => part.ref === desk.next)) desk.next = desk.openParts()[0]?.ref ?? null;
  desk.overlay.draw([]);
  changed();
}

saving.onRecord = () => {
  panel.pictures();
  lay(desk.place);
};

for (const button of byId("tools").children) button.addEventListener("click", () => desk.use(button.dataset.tool));
for (const [id, act] of [["larger", () => view.zoom(1.25)], ["smaller", () => view.zoom(0.8)], ["fit", () => view.fit()]]) {
  byId(id).addEventListener("click", () => { act(); changed(); });
}
byId("undo").addEventListener("click", () => desk.undo());
byId("redo").addEventListener("click", () => desk.redo());
byId("as-text").addEventListener("toggle", () => saving.text());
stageKeys(stage, desk, view, hand);
pageKeys(desk, () => saving.save());

const { status, data } = await ask("state");
if (status === 200) {
  desk.open(data, fromRecord(data));
  byId("title").textContent = data.title || "Mark pictures";
  document.title = `Mark ${data.title}`;
  byId("path").textContent = data.path;
  byId("desk").hidden = false;
  panel.pictures();
  lay(0);
  let width = stage.clientWidth;
  new ResizeObserver(() => {
    if (stage.clientWidth === width) return;
    width = stage.clientWidth;
    view.fit();
    changed();
  }).observe(stage);
} else {
  byId("saved").textContent = "";
  saving.tell("The record can't be read.", [data.message ?? "Start lidoff mark again."]);
}
stayInTouch((isGone) => saving.gone(isGone));
