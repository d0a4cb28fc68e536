// Finds texts by any piece of them in the small files that the build has written (pages/marking_index.py says how).

const SHORTEST = 2;
const START_SIGNS = 8;
// at most, for one question; together they stay below 200 kB
const MOST_FILES = { clear: 8, unclear: 24 };
const LONGEST = 80;
const ANY = "?";

export const searchable = (text) =>
  text
    .normalize("NFKC")
    .toUpperCase()
    .replace(/[^\p{L}\p{N}?]|[\u{10000}-\u{10ffff}]/gu, "");

// the first place in a sorted list that does not come before
const firstNotBefore = (list, isBefore) => {
  let low = 0;
  let high = list.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (isBefore(list[middle])) {
      low = middle + 1;
    } else {
      high = middle;
    }
  }
  return low;
};

// the files in which an ending that begins with the piece can stand
const filesWith = (piece, starts) => {
  const key = piece.slice(0, START_SIGNS);
  const first = Math.max(0, firstNotBefore(starts, (start) => start < key) - 1);
  const end = firstNotBefore(starts, (start) => start.slice(0, key.length) <= key);
  return { first, end };
};

const fits = (pattern, text, from) =>
  from >= 0 &&
  from + pattern.length <= text.length &&
  [...pattern].every((sign, at) => sign === ANY || text[from + at] === ANY || sign === text[from + at]);

const countUnread = (text) => text.split(ANY).length - 1;

// the whole text first, then the fewest unreadable signs, then its beginning, then the shortest
const ranks = (one) => [one.isWhole ? 0 : 1, one.unread, one.from ? 1 : 0, one.text.length];
const before = (a, b) => {
  const theirs = ranks(b);
  const differing = ranks(a).map((rank, place) => rank - theirs[place]);
  return differing.find((difference) => difference !== 0) ?? (a.text < b.text ? -1 : 1);
};

const longestRun = (pattern) =>
  [...pattern.matchAll(/[^?]+/g)].reduce((best, run) => (run[0].length > best[0].length ? run : best), { 0: "", index: 0 });

const pairsOf = (pattern) => {
  const pairs = new Map();
  for (let at = 0; at + SHORTEST <= pattern.length; at += 1) {
    const pair = pattern.slice(at, at + SHORTEST);
    if (!pair.includes(ANY) && !pairs.has(pair)) {
      pairs.set(pair, at);
    }
  }
  return pairs;
};

export class MarkingIndex {
  constructor(folder) {
    this.folder = folder;
    this.loading = new Map();
  }

  // each file once; one that could not be had is asked for again next time
  load(name) {
    if (!this.loading.has(name)) {
      const answer = fetch(new URL(`${name}.json`, this.folder)).then((got) => {
        if (!got.ok) {
          throw new Error(`answer ${got.status}`);
        }
        return got.json();
      });
      answer.catch(() => this.loading.delete(name));
      this.loading.set(name, answer);
    }
    return this.loading.get(name);
  }

  // all texts that fit, the best first; isShort: too little is known, isCut: more would fit than was looked through
  async find(query) {
    const pattern = searchable(query.slice(0, LONGEST));
    const run = longestRun(pattern);
    if (run[0].length < SHORTEST) {
      return { isShort: true, isCut: false, found: [] };
    }
    const starts = await this.load("starts");
    const asked = [["clear", run[0], run.index], ...[...pairsOf(pattern)].map(([pair, at]) => ["unclear", pair, at])];
    const found = new Map();
    const left = { ...MOST_FILES };
    const isCut = [];
    for (const [kind, piece, offset] of asked) {
      isCut.push(await this.collect(kind, piece, offset, pattern, starts[kind], left, found));
    }
    return { isShort: false, isCut: isCut.some(Boolean), found: [...found.values()].sort(before) };
  }

  async collect(kind, piece, offset, pattern, starts, left, found) {
    const { first, end } = filesWith(piece, starts);
    const wanted = [];
    let isCut = false;
    for (let number = first; number < end; number += 1) {
      const name = `${kind}/${number}`;
      if (!this.loading.has(name)) {
        if (left[kind] === 0) {
          isCut = true;
          continue;
        }
        left[kind] -= 1;
      }
      wanted.push(this.load(name));
    }
    for (const [text, at, row] of (await Promise.all(wanted)).flat()) {
      const from = at - offset;
      if (!found.has(row) && text.startsWith(piece, at) && fits(pattern, text, from)) {
        const isWhole = pattern.length === text.length;
        found.set(row, { row, text, from, isWhole, unread: countUnread(text) });
      }
    }
    return isCut;
  }

  // what is shown of one text: its rows, and how many there are beyond them
  async rowsOf(row) {
    const { rows } = await this.load("starts");
    const number = firstNotBefore(rows, (first) => first <= row) - 1;
    const file = await this.load(`rows/${number}`);
    return file[row - rows[number]];
  }
}
