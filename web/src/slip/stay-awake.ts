// Keeps the phone's screen on while films are on their way, where the browser lets
// it (only over https).
let lock: WakeLockSentinel | undefined;
let asking = false;

export function stayAwake(wanted: boolean): void {
  if (!wanted) {
    void lock?.release();
    lock = undefined;
    return;
  }
  if (asking || (lock && !lock.released) || !("wakeLock" in navigator) || document.visibilityState !== "visible") return;
  asking = true;
  navigator.wakeLock
    .request("screen")
    .then((got) => (lock = got))
    .catch(() => undefined) // a low battery refuses it; the upload can be resumed anyway
    .finally(() => (asking = false));
}
