// What is drawn, as plain frozen data, and how each step changes it. Nothing here knows the page.

const LEAST = 0.004; // of the picture's edge: what is smaller was a slip of the hand
let number = 0;

export const newId = () => `m${(number += 1)}`;
export const clamp = (value, low, high) => Math.min(Math.max(value, low), high);
export const isSame = (one, other) => JSON.stringify(one) === JSON.stringify(other);

/** The drawing that a record holds; ``ids`` names the boxes of each picture that are known already, in the record's order. */
export function fromRecord(state, ids = {}) {
  return {
    photos: state.photos.map((photo) => ({
      file: photo.file,
      boxes: photo.callouts.map((one, at) => ({ id: ids[photo.file]?.[at] ?? newId(), ref: one.ref, box: one.box })),
      scale: photo.scale,
      card: photo.card,
      camera_mm: photo.camera_mm,
    })),
    boards: state.boards.map((board) => ({ id: board.id, in_photo: board.in_photo })),
  };
}

const withPhoto = (drawing, place, change) => ({
  ...drawing,
  photos: drawing.photos.map((photo, at) => (at === place ? { ...photo, ...change(photo) } : photo)),
});

export const setPhoto = (drawing, place, values) => withPhoto(drawing, place, () => values);

export const addBox = (drawing, place, box) => withPhoto(drawing, place, (photo) => ({ boxes: [...photo.boxes, box] }));

export const changeBox = (drawing, place, id, values) =>
  withPhoto(drawing, place, (photo) => ({ boxes: photo.boxes.map((box) => (box.id === id ? { ...box, ...values } : box)) }));

export const removeBox = (drawing, place, id) =>
  withPhoto(drawing, place, (photo) => ({ boxes: photo.boxes.filter((box) => box.id !== id) }));

export const setBoard = (drawing, id, inPhoto) => ({
  ...drawing,
  boards: drawing.boards.map((board) => (board.id === id ? { ...board, in_photo: inPhoto } : board)),
});

/** A box between two points, inside the picture; null where it is too small to be meant. */
export function between(first, second) {
  const [x1, y1, x2, y2] = [...first, ...second].map((value) => clamp(value, 0, 1));
  const [width, height] = [Math.abs(x2 - x1), Math.abs(y2 - y1)];
  return width < LEAST || height < LEAST ? null : [Math.min(x1, x2), Math.min(y1, y2), width, height];
}

/** A box moved, which stays within the picture. */
export const moved = ([left, top, width, height], dx, dy) => [
  clamp(left + dx, 0, 1 - width), clamp(top + dy, 0, 1 - height), width, height,
];

/** A box one of whose handles was drawn to a point; the handle is named by the sides that it moves, such as "ne". */
export function resized([left, top, width, height], handle, [x, y]) {
  let [right, bottom] = [left + width, top + height];
  if (handle.includes("w")) left = clamp(x, 0, right - LEAST);
  if (handle.includes("e")) right = clamp(x, left + LEAST, 1);
  if (handle.includes("n")) top = clamp(y, 0, bottom - LEAST);
  if (handle.includes("s")) bottom = clamp(y, top + LEAST, 1);
  return [left, top, right - left, bottom - top];
}

/** Corners of a card in order round it, beginning with a long edge. */
export function longEdgeFirst(corners, [width, height]) {
  const edge = (i) => Math.hypot((corners[i][0] - corners[(i + 1) % 4][0]) * width, (corners[i][1] - corners[(i + 1) % 4][1]) * height);
  return edge(0) + edge(2) >= edge(1) + edge(3) ? corners : [...corners.slice(1), corners[0]];
}

export const isWholeScale = (scale) => scale !== null && scale.points.length === 2 && scale.length_mm > 0;
export const isWholeCard = (card) => card !== null && card.corners.length === 4;

const round = (value, places) => Number(value.toFixed(places));
const points = (list) => list.map((point) => point.map((value) => round(value, 5)));

/** A picture's marks as they are sent and written; ``held`` are the boxes of the record, which give their places. */
function asSent(photo, size, held) {
  const at = (id) => held.findIndex((box) => box.id === id);
  return {
    file: photo.file,
    callouts: photo.boxes.map(({ id, ref, box }) => ({ at: at(id) < 0 ? null : at(id), ref, box: fitted(box) })),
    scale: isWholeScale(photo.scale) ? { ...photo.scale, points: points(photo.scale.points) } : null,
    card: isWholeCard(photo.card) ? { ...photo.card, corners: points(size ? longEdgeFirst(photo.card.corners, size) : photo.card.corners) } : null,
    camera_mm: photo.camera_mm,
  };
}

// four decimals; what rounding adds to the far edges is taken off, so that no box leaves its picture
const fitted = (box) => {
  const [left, top, width, height] = box.map((value) => round(value, 4));
  return [left, top, round(Math.min(width, 1 - left), 4), round(Math.min(height, 1 - top), 4)];
};

export const boardAsSent = ({ id, in_photo: seen }) => ({
  id,
  in_photo: seen && { ...seen, ...(seen.length && { length: points(seen.length) }), ...(seen.width && { width: points(seen.width) }) },
});

/** What differs between two drawings, ready to be sent. */
export function differences(before, after, sizes) {
  const changed = (list, key, bare) => after[list].flatMap((one) => {
    const old = before[list].find((other) => other[key] === one[key]);
    const now = bare(one, old);
    return old && isSame(bare(old, old), now) ? [] : [now];
  });
  return {
    photos: changed("photos", "file", (photo, old) => asSent(photo, sizes[photo.file], old?.boxes ?? [])),
    boards: changed("boards", "id", boardAsSent),
  };
}

/** The boxes of each picture in the order in which a record holds them once ``after`` was saved over ``before``. */
export const savedOrder = (before, after) => Object.fromEntries(after.photos.map((photo) => {
  const held = (before.photos.find((one) => one.file === photo.file)?.boxes ?? []).map((box) => box.id);
  const own = photo.boxes.map((box) => box.id);
  return [photo.file, [...held.filter((id) => own.includes(id)), ...own.filter((id) => !held.includes(id))]];
}));

/** One's own changes over a record that has changed meanwhile; ``clashes`` tells what both have changed, and one's own stands. */
export function over(fresh, before, mine) {
  const clashes = [];
  const merge = (old, own, theirs, name) => {
    if (isSame(old, own)) return theirs;
    if (!isSame(old, theirs) && !isSame(own, theirs)) clashes.push(name);
    return own;
  };
  const find = (list, key, value) => list.find((one) => one[key] === value);
  const photos = fresh.photos.map((theirs) => {
    const [old, own] = [before, mine].map((drawing) => find(drawing.photos, "file", theirs.file));
    if (!old || !own) return theirs;
    const values = ["scale", "card", "camera_mm"].map((key) => [key, merge(old[key], own[key], theirs[key], `${theirs.file}: ${key}`)]);
    const boxes = mergedBoxes(old.boxes, own.boxes, theirs.boxes, (ref) => clashes.push(`${theirs.file}: ${ref}`));
    return { ...theirs, ...Object.fromEntries(values), boxes };
  });
  const boards = fresh.boards.map((theirs) => {
    const [old, own] = [before, mine].map((drawing) => find(drawing.boards, "id", theirs.id));
    return old && own ? { ...theirs, in_photo: merge(old.in_photo, own.in_photo, theirs.in_photo, `board ${theirs.id}`) } : theirs;
  });
  return { drawing: { photos, boards }, clashes };
}

const content = (box) => box && [box.ref, ...fitted(box.box)];

// a box of the record is found again by its part, the first of several as the first
function mergedBoxes(old, own, theirs, clash) {
  const free = [...old];
  const merged = theirs.flatMap((box) => {
    const at = free.findIndex((one) => one.ref === box.ref);
    if (at < 0) return [box]; // they have added it
    const [was] = free.splice(at, 1);
    const mine = own.find((one) => one.id === was.id);
    if (isSame(content(mine), content(was))) return [box];
    if (!isSame(content(was), content(box)) && !isSame(content(mine), content(box))) clash(box.ref);
    return mine ? [{ ...mine, id: box.id }] : [];
  });
  const lost = own.filter((box) => free.some((one) => one.id === box.id && !isSame(content(one), content(box))));
  lost.forEach((box) => clash(box.ref));
  return [...merged, ...lost, ...own.filter((box) => !old.some((one) => one.id === box.id))];
}

/** The marks as lines of a record. */
export function asText(marks) {
  const yaml = (value) => JSON.stringify(value, (key, one) => (one === null || key === "at" ? undefined : one))
    .replace(/"([A-Za-z_][\w]*)":/g, "$1: ").replace(/,(?=\S)/g, ", ");
  const lines = marks.photos.flatMap((photo) => [
    `# ${photo.file}`,
    ...(photo.callouts.length ? ["callouts:", ...photo.callouts.map((one) => `  - ${yaml(one)}`)] : []),
    ...["scale", "card", "camera_mm"].filter((key) => photo[key] !== null && photo[key] !== undefined).map((key) => `${key}: ${yaml(photo[key])}`),
  ]);
  return [...lines, ...marks.boards.flatMap((board) => [`# board ${board.id}`, ...(board.in_photo ? [`in_photo: ${yaml(board.in_photo)}`] : [])])].join("\n");
}
