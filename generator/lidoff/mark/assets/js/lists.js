// Lists whose items keep their elements while what they show changes, so that the focus stays where it is.

/** Show items in a list; each has a ``key``, and ``fill`` puts it into its element. */
export function show(list, items, make, fill) {
  const held = new Map([...list.children].map((element) => [element.dataset.item, element]));
  const wanted = items.map((item) => {
    const element = held.get(item.key) ?? make();
    element.dataset.item = item.key;
    fill(element, item);
    return element;
  });
  if (wanted.length !== list.children.length || wanted.some((element, at) => list.children[at] !== element)) {
    const focused = document.activeElement;
    list.replaceChildren(...wanted);
    if (list.contains(focused)) focused.focus();
  }
}

export function element(name, values = {}, ...children) {
  const made = Object.assign(document.createElement(name), values);
  made.append(...children);
  return made;
}

/** A part as a button in a list item. */
export const partItem = (press) => () => {
  const item = element("li");
  const button = element("button", { type: "button", className: "part" }, element("b"), element("span"));
  button.addEventListener("click", () => press(item.dataset.item));
  item.append(button);
  return item;
};

export function fillPart(item, { ref, what, chosen }) {
  const [button] = item.children;
  button.children[0].textContent = ref;
  button.children[1].textContent = what;
  button.setAttribute("aria-pressed", String(chosen));
}
