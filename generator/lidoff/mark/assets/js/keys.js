// What the keyboard does: everything that a pointer does, and some things faster.

const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
const STEP_PX = 6; // on the screen
const VIEW_PX = 60;

/** Keys of the whole page. */
export function pageKeys(desk, save) {
  document.addEventListener("keydown", (event) => {
    if (!(event.ctrlKey || event.metaKey) || event.altKey || !desk.isOpen) return;
    const key = event.key.toLowerCase();
    const types = event.target.matches("input, textarea") && key !== "s";
    const act = { s: save, z: () => (event.shiftKey ? desk.redo() : desk.undo()), y: () => desk.redo() }[key];
    if (!act || types) return;
    event.preventDefault();
    act();
  });
}

/** Keys of the picture and of what lies over it. */
export function stageKeys(stage, desk, view, hand) {
  const redraw = () => desk.changed();
  const keys = {
    Enter: (event) => {
      const key = event.target.closest("[data-key]")?.dataset.key;
      if (key) return desk.choose(key);
      return desk.isMeasuring ? desk.placeInTheMiddle() : desk.drawnInTheMiddle();
    },
    " ": (event) => keys.Enter(event),
    Escape: () => (hand.drop() ? redraw() : leave()),
    Delete: () => remove(),
    Backspace: () => remove(),
    "+": () => { view.zoom(1.25); redraw(); },
    "=": () => { view.zoom(1.25); redraw(); },
    "-": () => { view.zoom(0.8); redraw(); },
    0: () => { view.fit(); redraw(); },
  };
  const leave = () => {
    desk.choose(null);
    stage.focus({ preventScroll: true });
  };
  const remove = () => {
    desk.removeChosen();
    stage.focus({ preventScroll: true });
  };
  const arrow = ([x, y], event) => {
    const fine = event.altKey ? 1 : STEP_PX / view.scale;
    const [dx, dy] = [(x * fine) / desk.size[0], (y * fine) / desk.size[1]];
    if (desk.box) desk.nudgeBox(dx, dy, event.shiftKey);
    else if (desk.pointAt(desk.chosen)) desk.nudgePoint(dx, dy);
    else {
      view.shift(-x * VIEW_PX, -y * VIEW_PX);
      redraw();
    }
  };
  stage.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || !desk.isReady) return;
    const act = ARROWS[event.key] ? () => arrow(ARROWS[event.key], event) : keys[event.key];
    if (!act) return;
    event.preventDefault();
    act(event);
  });
  stage.addEventListener("focusin", (event) => {
    const key = event.target.closest("[data-key]")?.dataset.key;
    // a press gives the focus to the stage, so that this came from the keyboard or from a screen reader
    if (!key || key === desk.chosen || !desk.isReady) return;
    desk.choose(key);
    const box = desk.box?.box;
    view.show(box ? [box[0] + box[2] / 2, box[1] + box[3] / 2] : desk.pointAt(key));
    redraw();
  });
}
