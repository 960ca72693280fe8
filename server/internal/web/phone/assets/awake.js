// Keeps the screen from going dark while names are being called: in the view of now, for a while after
// something was last marked by anybody. Browsers allow that at secure addresses only; elsewhere, and where
// the battery is low, the screen goes dark as always.

const after = 10 * 60_000;

let lock = null, asked = false;

export async function stayAwake(wanted, last, now) {
  const on = wanted && !document.hidden && now - last < after;
  if (!on) {
    lock?.release().catch(() => {});
    lock = null;
    return;
  }
  if (lock || asked || !navigator.wakeLock) return;
  asked = true;
  try {
    lock = await navigator.wakeLock.request("screen");
    lock.addEventListener("release", () => { lock = null; });
  } catch {
    lock = null; // not now
  } finally {
    asked = false;
  }
}
