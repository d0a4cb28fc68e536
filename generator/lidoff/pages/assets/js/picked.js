// The products that were picked for comparison, kept in the browser while one looks around.

export const MOST = 6;
const KEY = "lidoff-compare";
let kept = null;

const isProduct = (one) => typeof one?.slug === "string" && /^[a-z0-9-]+\/[a-z0-9-]+$/.test(one.slug);

// storage can be switched off, and anybody can have written to it
export const picked = () => {
  if (kept === null) {
    try {
      const stored = JSON.parse(localStorage.getItem(KEY) ?? "[]");
      kept = Array.isArray(stored) ? stored.filter(isProduct).slice(0, MOST) : [];
    } catch {
      kept = [];
    }
  }
  return kept;
};

export const setPicked = (products) => {
  kept = products.slice(0, MOST);
  try {
    localStorage.setItem(KEY, JSON.stringify(kept));
  } catch {
    // without storage the choice lasts as long as the page
    return;
  }
};

// another tab has changed the choice
export const forget = () => {
  kept = null;
};

export const queryOf = (slugs) => slugs.map((slug) => `p=${slug}`).join("&");
export const siteBase = () => new URL("../../../", import.meta.url);
