// What the page asks of the desk behind it, and the sign that it is still open.

const HEARTBEAT_MS = 2000;
const page = crypto.randomUUID();

/** The answer to a request: its status and data; status 0 where nobody answers any more. */
export async function ask(path, sent) {
  const body = sent === undefined ? {} : { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(sent) };
  try {
    const answer = await fetch(path, body);
    return { status: answer.status, data: await answer.json() };
  } catch {
    return { status: 0, data: {} };
  }
}

export const picture = (file) => `picture?file=${encodeURIComponent(file)}`;

/** Tell the desk that the page is open, and when it is closed; ``gone`` is called when nobody answers. */
export function stayInTouch(gone) {
  const tell = async () => gone((await ask("alive", { page })).status === 0);
  tell();
  setInterval(tell, HEARTBEAT_MS);
  addEventListener("pagehide", () => {
    navigator.sendBeacon("closed", new Blob([JSON.stringify({ page })], { type: "application/json" }));
  });
  addEventListener("pageshow", (event) => event.persisted && tell());
}
