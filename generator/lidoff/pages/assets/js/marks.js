// Ties the marks on pictures to the rows of the parts table: what is pointed at in one place is shown in the others.

import { make } from "./elements.js";

const ON = "lf-on";
const partsOf = (number) => document.querySelectorAll(`[data-mark="${CSS.escape(number)}"]`);
const rowOf = (element) => element.closest("table.lf-grid tr");

class Marks {
  constructor(page) {
    this.page = page;
    this.strip = page.querySelector(".lf-strip");
    this.kept = "";
    this.shown = "";
    this.pointer = "mouse";
    page.addEventListener("pointerover", (event) => event.pointerType === "mouse" && this.show(this.numberAt(event.target)));
    page.addEventListener("pointerleave", () => this.show(""));
    page.addEventListener("pointerdown", (event) => (this.pointer = event.pointerType), true);
    page.addEventListener("focusin", (event) => this.show(this.numberAt(event.target)));
    page.addEventListener("focusout", () => this.show(""));
    page.addEventListener("click", (event) => this.clicked(event));
    document.addEventListener("keydown", (event) => event.key === "Escape" && !document.querySelector("dialog[open]") && this.keep(""));
    addEventListener("hashchange", () => this.readAddress());
    this.addLabels();
    this.addSwitch();
    this.readAddress();
  }

  numberAt(element) {
    const own = element.closest("[data-mark]");
    const row = own ? null : rowOf(element)?.querySelector("[data-mark]");
    return (own ?? row)?.dataset.mark ?? "";
  }

  // with nothing to show, the part stays shown that was tapped or that the address names
  show(number) {
    const wanted = number || this.kept;
    if (wanted === this.shown) {
      return;
    }
    this.turn(this.shown, false);
    this.turn(wanted, true);
    this.shown = wanted;
    this.tell();
  }

  turn(number, isOn) {
    for (const part of number ? partsOf(number) : []) {
      part.classList.toggle(ON, isOn);
      rowOf(part)?.classList.toggle(ON, isOn);
      // a number lies above those of its neighbours while it is meant
      if (isOn && part.matches(".lf-marks g")) {
        part.parentElement.append(part);
      }
    }
  }

  keep(number) {
    this.kept = number;
    this.show("");
  }

  // a finger can't hover: its first tap shows what is marked, the second follows the link
  clicked(event) {
    const mark = event.target.closest(".lf-marks a[data-mark]");
    if (mark && this.pointer !== "mouse" && this.kept !== mark.dataset.mark) {
      event.preventDefault();
      this.keep(mark.dataset.mark);
    }
  }

  readAddress() {
    const place = location.hash.match(/^#(?:part|mark-\d+)-(\d+)$/);
    this.keep(place?.[1] ?? "");
    if (place) {
      this.bringIntoStrip(place[1]);
    }
  }

  addLabels() {
    for (const caption of this.page.querySelectorAll(".lf-strip figcaption")) {
      const told = make("a", "", "lf-told");
      told.tabIndex = -1;
      told.hidden = true;
      caption.append(told);
    }
  }

  // the words are those of the legend, so that nothing is said in two ways
  tell() {
    const number = this.shown;
    const words = number ? this.page.querySelector(`.lf-legend [data-mark="${CSS.escape(number)}"]`)?.closest("li").textContent : "";
    for (const told of this.page.querySelectorAll(".lf-told")) {
      const isHere = Boolean(words && told.closest("figure").querySelector(`.lf-marks .${ON}`));
      told.hidden = !isHere;
      told.textContent = isHere ? words : "";
      told.href = `#part-${number}`;
    }
    if (number) {
      this.bringIntoStrip(number);
    }
  }

  // only sideways: the page itself must stay where the reader is
  bringIntoStrip(number) {
    const figures = [...(this.strip?.children ?? [])].filter((figure) => figure.querySelector(`.lf-marks [data-mark="${CSS.escape(number)}"]`));
    if (!figures.length || this.strip.contains(document.activeElement) || this.strip.matches(":hover")) {
      return;
    }
    const strip = this.strip.getBoundingClientRect();
    const isSeen = (figure) => {
      const { left, right } = figure.getBoundingClientRect();
      return left >= strip.left - 1 && right <= strip.right + 1;
    };
    if (!figures.some(isSeen)) {
      this.strip.scrollLeft += figures[0].getBoundingClientRect().left - strip.left;
    }
  }

  addSwitch() {
    if (!this.strip) {
      return;
    }
    const tools = make("p", "", "lf-marks-tools");
    const button = make("button", "Hide the marks", "lf-button");
    button.type = "button";
    button.setAttribute("aria-pressed", "false");
    button.addEventListener("click", () => {
      const isBare = this.page.classList.toggle("lf-bare");
      button.setAttribute("aria-pressed", String(isBare));
    });
    tools.append(button);
    this.strip.after(tools);
  }
}

export const start = () => {
  for (const page of document.querySelectorAll(".lf-page:has([data-mark])")) {
    new Marks(page);
  }
};
