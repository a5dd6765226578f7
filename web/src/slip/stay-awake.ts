// Keeps the phone's screen on while films are on their way, where the browser lets
// it (only over https). Nothing is promised that is not so: held says whether it does.
let lock: WakeLockSentinel | undefined;
let asking = false;
let wanted = false;

/** Whether the screen is kept on right now. */
export const held = (): boolean => lock !== undefined && !lock.released;

/** Asks for the screen to stay on, or no more; changed is called when held may say something else. */
export function stayAwake(on: boolean, changed: () => void): void {
  wanted = on;
  if (!wanted) {
    void lock?.release();
    lock = undefined;
    return;
  }
  if (asking || held() || !("wakeLock" in navigator) || document.visibilityState !== "visible") return;
  asking = true;
  navigator.wakeLock
    .request("screen")
    .then((got) => {
      if (!wanted) return void got.release(); // all was sent before the browser answered
      lock = got;
      got.addEventListener("release", changed);
      changed();
    })
    .catch(() => undefined) // a low battery refuses it; the upload can be resumed anyway
    .finally(() => (asking = false));
}
