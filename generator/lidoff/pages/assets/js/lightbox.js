// The large view of a picture: a native dialog in which one goes closer with wheel, pinch, keys or buttons, and drags.

import { make } from "./elements.js";

const STEP = 1.4;
const STRIDE = 80;
const LINE = 16; // pixels of a line, for wheels that count lines
const LEAST_MOST = 4;

class Lightbox {
  constructor(page) {
    this.dialog = make("dialog", "", "lf-lightbox");
    this.title = make("p");
    this.scaleShown = make("output");
    this.view = make("div", "", "lf-lightbox-view");
    this.stage = make("div", "", "lf-lightbox-stage");
    this.image = make("img");
    this.pointers = new Map();
    this.addTools();
    this.view.tabIndex = 0;
    this.view.setAttribute("role", "group");
    this.view.setAttribute("aria-label", "The picture; scrolls when it is larger than this window");
    this.view.append(this.stage);
    this.dialog.append(this.tools, this.view);
    page.append(this.dialog);
    this.listen();
  }

  addTools() {
    const button = (text, name, act) => {
      const made = make("button", text);
      made.type = "button";
      made.setAttribute("aria-label", name);
      made.title = name;
      made.addEventListener("click", act);
      return made;
    };
    this.tools = make("div", "", "lf-lightbox-tools");
    this.marksButton = button("Marks", "Show the marks", () => this.showMarks(this.marksButton.getAttribute("aria-pressed") !== "true"));
    this.closeButton = button("Close", "Close", () => this.dialog.close());
    this.tools.append(
      this.title,
      this.scaleShown,
      button("+", "Closer (+)", () => this.closer(STEP)),
      button("−", "Farther (−)", () => this.closer(1 / STEP)),
      button("Whole", "Whole picture (0)", () => this.whole()),
      this.marksButton,
      this.closeButton,
    );
  }

  listen() {
    this.dialog.addEventListener("keydown", (event) => this.pressed(event));
    this.dialog.addEventListener("close", () => {
      this.pointers.clear();
      this.stage.replaceChildren();
      this.link.focus();
    });
    this.view.addEventListener("wheel", (event) => this.wheeled(event), { passive: false });
    this.view.addEventListener("pointerdown", (event) => this.took(event));
    this.view.addEventListener("pointermove", (event) => this.moved(event));
    for (const name of ["pointerup", "pointercancel"]) {
      this.view.addEventListener(name, (event) => this.pointers.delete(event.pointerId));
    }
    this.view.addEventListener("dblclick", (event) => this.zoom(this.scale > 1 ? 1 / this.scale : 2.5, this.pointOf(event)));
    addEventListener("resize", () => this.dialog.open && this.draw());
  }

  open(link) {
    const small = link.querySelector("img");
    this.link = link;
    this.ratio = small.getAttribute("width") / small.getAttribute("height");
    this.title.textContent = link.dataset.title;
    this.dialog.setAttribute("aria-label", `${link.dataset.title}, large view`);
    this.image = make("img");
    this.image.alt = small.alt;
    this.image.draggable = false;
    this.image.src = link.href;
    this.stage.replaceChildren(this.image);
    const marks = link.parentElement.querySelector(".lf-marks")?.cloneNode(true);
    this.marksButton.hidden = !marks;
    if (marks) {
      for (const part of marks.querySelectorAll("a")) {
        part.removeAttribute("id");
        part.removeAttribute("href");
      }
      this.stage.append(marks);
      this.showMarks(false);
    }
    this.dialog.showModal();
    this.closeButton.focus();
    this.whole();
  }

  showMarks(isShown) {
    this.marksButton.setAttribute("aria-pressed", String(isShown));
    this.stage.classList.toggle("lf-bare", !isShown);
  }

  // the view's size without the scroll bars that a larger picture brings about
  get fit() {
    const { offsetWidth, offsetHeight } = this.view;
    const width = Math.min(offsetWidth, offsetHeight * this.ratio);
    return { width, height: width / this.ratio };
  }

  // two screen pixels for one of the picture's: closer shows nothing more
  get most() {
    return Math.max(LEAST_MOST, (2 * (this.image.naturalWidth || 0)) / (this.fit.width || 1));
  }

  whole() {
    this.scale = 1;
    this.draw();
  }

  // from the middle of the view
  closer(factor) {
    this.zoom(factor, { x: this.view.clientWidth / 2, y: this.view.clientHeight / 2 });
  }

  // the point under the finger or the pointer stays where it is
  zoom(factor, point) {
    const { view, stage, image } = this;
    const across = (view.scrollLeft + point.x - stage.offsetLeft) / image.width;
    const down = (view.scrollTop + point.y - stage.offsetTop) / image.height;
    this.scale = Math.min(this.most, Math.max(1, this.scale * factor));
    this.draw();
    view.scrollLeft = across * image.width + stage.offsetLeft - point.x;
    view.scrollTop = down * image.height + stage.offsetTop - point.y;
  }

  // the policy of the site allows no styles made by scripts; a picture's size and a view's scrolling are none
  draw() {
    this.image.width = Math.floor(this.fit.width * this.scale);
    this.image.height = Math.floor(this.fit.height * this.scale);
    this.scaleShown.textContent = `${Math.round(100 * this.scale)} %`;
  }

  pan(x, y) {
    this.view.scrollLeft -= x;
    this.view.scrollTop -= y;
  }

  pointOf({ clientX, clientY }) {
    const box = this.view.getBoundingClientRect();
    return { x: clientX - box.left, y: clientY - box.top };
  }

  pressed(event) {
    const acts = {
      "+": () => this.closer(STEP),
      "=": () => this.closer(STEP),
      "-": () => this.closer(1 / STEP),
      0: () => this.whole(),
      ArrowLeft: () => this.pan(STRIDE, 0),
      ArrowRight: () => this.pan(-STRIDE, 0),
      ArrowUp: () => this.pan(0, STRIDE),
      ArrowDown: () => this.pan(0, -STRIDE),
    };
    const act = event.ctrlKey || event.metaKey || event.altKey ? null : acts[event.key];
    if (act) {
      event.preventDefault();
      act();
    }
  }

  wheeled(event) {
    event.preventDefault();
    const turned = event.deltaY * (event.deltaMode ? LINE : 1);
    this.zoom(Math.exp(-turned / 400), this.pointOf(event));
  }

  took(event) {
    this.view.setPointerCapture(event.pointerId);
    this.pointers.set(event.pointerId, this.pointOf(event));
  }

  moved(event) {
    const before = this.pointers.get(event.pointerId);
    if (!before) {
      return;
    }
    const now = this.pointOf(event);
    const other = [...this.pointers].find(([id]) => id !== event.pointerId)?.[1];
    this.pointers.set(event.pointerId, now);
    if (!other) {
      this.pan(now.x - before.x, now.y - before.y);
      return;
    }
    const apart = (point) => Math.hypot(point.x - other.x, point.y - other.y) || 1;
    this.pan((now.x - before.x) / 2, (now.y - before.y) / 2);
    this.zoom(apart(now) / apart(before), { x: (now.x + other.x) / 2, y: (now.y + other.y) / 2 });
  }
}

export const start = () => {
  let lightbox = null;
  document.addEventListener("click", (event) => {
    const link = event.target.closest?.("a.lf-enlarge");
    if (!link || event.button !== 0 || event.ctrlKey || event.metaKey || event.shiftKey || event.altKey) {
      return;
    }
    event.preventDefault();
    lightbox ??= new Lightbox(link.closest(".lf-page"));
    lightbox.open(link);
  });
};
