// Elements made of text, never of markup.

export const make = (name, text = "", className = "") => {
  const element = document.createElement(name);
  element.textContent = text;
  if (className) {
    element.className = className;
  }
  return element;
};

export const linked = (text, address) => {
  const link = make("a", text);
  link.href = address;
  return link;
};
