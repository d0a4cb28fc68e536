// In the preview only: asks four times a second whether anything has changed, and loads the page again when it has.
(() => {
  "use strict";
  const own = new URL(document.currentScript.src);
  const seen = own.searchParams.get("seen");
  const state = new URL("state", own);
  state.searchParams.set("page", location.pathname);
  const look = async () => {
    try {
      const answer = await (await fetch(state, { cache: "no-store" })).json();
      if (answer.version !== seen) {
        location.reload();
        return;
      }
    } catch {
      // the preview was stopped: keep the page, and ask again in case it comes back
    }
    setTimeout(look, 250);
  };
  look();
})();
