// What the frame needs a script for: the choice of colours, reaching wide code with the keyboard, and the search,
// whose page can do nothing without one.
(() => {
  "use strict";
  const root = document.documentElement;
  const key = "lidoff-colours";
  const systemIsDark = matchMedia("(prefers-color-scheme: dark)");

  // storage can be switched off in a browser
  const stored = () => {
    try {
      return localStorage.getItem(key);
    } catch {
      return null;
    }
  };
  const store = (choice) => {
    try {
      localStorage.setItem(key, choice);
    } catch {
      // nothing to do: the choice holds until the page is left
    }
  };

  // before the first paint, so that the page never flashes in the other colours
  const choice = stored();
  if (choice === "light" || choice === "dark") {
    root.dataset.colours = choice;
  }
  const isDark = () => (root.dataset.colours ? root.dataset.colours === "dark" : systemIsDark.matches);

  document.addEventListener("DOMContentLoaded", () => {
    const button = document.querySelector("[data-colours][type=button]");
    const label = () => {
      button.textContent = isDark() ? "Light colours" : "Dark colours";
    };
    button.addEventListener("click", () => {
      root.dataset.colours = isDark() ? "light" : "dark";
      store(root.dataset.colours);
      label();
    });
    systemIsDark.addEventListener("change", label);
    label();
    button.hidden = false;
    document.querySelector(".frame-search")?.toggleAttribute("hidden", false);

    const reach = () => {
      for (const code of document.querySelectorAll("pre > code, .notice pre")) {
        code.toggleAttribute("tabindex", false);
        if (code.scrollWidth > code.clientWidth) {
          code.tabIndex = 0;
        }
      }
    };
    reach();
    addEventListener("resize", reach);
  });
})();
